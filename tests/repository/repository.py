"""What the tests of the repository look at: its files and their syntax trees."""

from __future__ import annotations

import ast
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "loopwright"
REFERENCE = ROOT / "reference"


def package_files() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def source_files() -> list[Path]:
    return package_files() + sorted(REFERENCE.rglob("*.py"))


def python_files() -> list[Path]:
    others = [path for name in ("tests", "benchmarks") for path in (ROOT / name).rglob("*.py")]
    return source_files() + sorted(others)


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def short(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def imports_of(path: Path) -> Iterator[tuple[int, str]]:
    """Line and full name of every module or name that the file imports."""
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Import):
            for name in node.names:
                yield node.lineno, name.name
        elif isinstance(node, ast.ImportFrom):
            for name in node.names:
                yield node.lineno, f"{node.module}.{name.name}"


def tracked_files() -> list[Path]:
    """Files that git knows; all files of the usual folders where this is no clone."""
    found = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if found.returncode == 0 and found.stdout:
        paths = [ROOT / name for name in found.stdout.split("\0") if name]
    else:
        folders = ("src", "reference", "tests", "docs", "benchmarks", "examples")
        paths = [path for name in folders for path in (ROOT / name).rglob("*")]
        paths += list(ROOT.glob("*.*"))
    return [path for path in paths if path.is_file()]
