"""Calls that could run what a file says are nowhere."""

from __future__ import annotations

import ast
from pathlib import Path

from tests.repository.repository import imports_of, python_files, short, source_files, tree_of

NO_MODULES = {"pickle", "cPickle", "marshal", "shelve", "dill", "cloudpickle", "joblib"}
NO_CALLS = {"eval", "exec", "compile", "__import__"}
NO_METHODS = {
    ("yaml", "load"),
    ("yaml", "load_all"),
    ("yaml", "unsafe_load"),
    ("os", "system"),
    ("os", "popen"),
    ("tempfile", "mktemp"),
}


def _unsafe(path: Path) -> list[str]:
    found = []
    for line, name in imports_of(path):
        if name.split(".")[0] in NO_MODULES:
            found.append(f"{short(path)}:{line}: {name}")
    for node in ast.walk(tree_of(path)):
        if not isinstance(node, ast.Call):
            continue
        name = ast.unparse(node.func)
        pair = tuple(name.split(".")[-2:])
        shell = any(
            keyword.arg == "shell" and ast.unparse(keyword.value) != "False"
            for keyword in node.keywords
        )
        if name in NO_CALLS or pair in NO_METHODS or shell or _reads_unsafe_yaml(node):
            found.append(f"{short(path)}:{node.lineno}: {name}")
        if any(k.arg == "allow_pickle" and ast.unparse(k.value) != "False" for k in node.keywords):
            found.append(f"{short(path)}:{node.lineno}: allow_pickle")
    return found


def _reads_unsafe_yaml(call: ast.Call) -> bool:
    """YAML(typ="unsafe") builds any object that the file names; "base" and "rt" do not."""
    if ast.unparse(call.func).split(".")[-1] != "YAML":
        return False
    values = [*call.args, *(keyword.value for keyword in call.keywords if keyword.arg == "typ")]
    return any("unsafe" in ast.unparse(value) for value in values)


def test_nothing_runs_what_a_file_says() -> None:
    assert [line for path in python_files() for line in _unsafe(path)] == []


def test_the_package_starts_no_other_program() -> None:
    """But the interpreter that it runs in: the engine is built in a process of its own."""
    found = [
        path
        for path in source_files()
        for _, name in imports_of(path)
        if name.split(".")[0] == "subprocess"
    ]
    assert [short(path) for path in found] == ["src/loopwright/simulate/kernel/engine.py"]
    starts = [
        ast.unparse(node.args[0])
        for node in ast.walk(tree_of(found[0]))
        if isinstance(node, ast.Call) and ast.unparse(node.func).startswith("subprocess.")
    ]
    assert starts == ["[sys.executable, '-c', BUILD, cell, *sys.path]"]
