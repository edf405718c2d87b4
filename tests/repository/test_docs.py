"""What has to be said about code is said, and links lead somewhere."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from loopwright.cli.command import COMMANDS
from loopwright.finding import REGISTER
from tests.repository.findings_page import PAGE, page_text
from tests.repository.repository import ROOT, package_files, short, tracked_files, tree_of


def _public(node: ast.AST, name: str) -> Iterator[tuple[str, ast.AST]]:
    """Modules, classes and functions that others may use, by name."""
    yield name, node
    for child in getattr(node, "body", []):
        if isinstance(child, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
            inside_function = isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
            if not child.name.startswith("_") and not inside_function:
                yield from _public(child, f"{name}.{child.name}")


def _needs_none(node: ast.AST) -> bool:
    """An empty file, a property setter or an overload says nothing by itself."""
    if isinstance(node, ast.Module):
        return not node.body
    decorators = [ast.unparse(entry) for entry in getattr(node, "decorator_list", [])]
    return any(entry.endswith((".setter", "overload", "override")) for entry in decorators)


def test_everything_public_has_a_docstring() -> None:
    missing = [
        f"{short(path)}: {name}"
        for path in package_files()
        for name, node in _public(tree_of(path), path.stem)
        if not _needs_none(node)
        and isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        and not ast.get_docstring(node)
    ]
    assert missing == []


def test_the_page_of_findings_is_that_of_the_register() -> None:
    assert PAGE.read_text("utf-8") == page_text(), "run: make pages"


def test_every_code_in_the_package_is_registered() -> None:
    used = {
        (match, short(path))
        for path in package_files()
        for match in re.findall(r"\bLW\d{3}\b", path.read_text("utf-8"))
    }
    assert [entry for entry in sorted(used) if entry[0] not in REGISTER] == []


def _pages() -> list[str]:
    return [short(path) for path in tracked_files() if path.suffix == ".md"]


@pytest.mark.parametrize("page", _pages())
def test_links_lead_somewhere(page: str) -> None:
    path = ROOT / page
    text = re.sub(r"```.*?```", "", path.read_text("utf-8"), flags=re.DOTALL)
    broken = []
    for target in re.findall(r"\]\(([^)\s]+)\)", text):
        address, _, _ = target.partition("#")
        if not address or "://" in address or address.startswith("mailto:"):
            continue
        found = Path(path.parent / address).resolve()
        there = any(found.iterdir()) if found.is_dir() else found.exists()
        if not there:
            broken.append(target)
    assert broken == []


def _console_lines(page: str) -> list[str]:
    blocks = re.findall(r"```console\n(.*?)```", (ROOT / page).read_text("utf-8"), re.DOTALL)
    return re.findall(r"^\$ (.*)$", "\n".join(blocks), re.MULTILINE)


@pytest.mark.parametrize("page", _pages())
def test_commands_in_the_docs_are_there(page: str) -> None:
    commands = {command.name for command in COMMANDS} | {"--help", "--version"}
    targets = set(re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text("utf-8"), re.MULTILINE))
    unknown = []
    for line in _console_lines(page):
        program, _, rest = line.partition(" ")
        word = rest.split()[0] if rest.split() else ""
        if (program == "loopwright" and word not in commands) or (
            program == "make" and word not in targets
        ):
            unknown.append(line)
    assert unknown == []
