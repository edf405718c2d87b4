"""No float in the exact stages: no literal, no conversion, no float mathematics."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.repository.repository import PACKAGE, imports_of, short, tree_of

EXACT_ROOMS = ("exact", "grid", "model", "plan", "block", "layout", "prove")
NO_QUANTITIES = {"src/loopwright/model/near.py: 0.6"}
"""Floats that measure nothing of a design: how alike two spellings must be."""
WHOLE_MATHEMATICS = {"gcd", "lcm", "isqrt", "comb", "perm", "prod", "factorial", "floor", "ceil"}


def _floats(path: Path) -> list[str]:
    found = []
    for node in ast.walk(tree_of(path)):
        if (
            isinstance(node, ast.Constant)
            and isinstance(node.value, float)
            and f"{short(path)}: {node.value}" not in NO_QUANTITIES
        ):
            found.append(f"{short(path)}:{node.lineno}: {node.value}")
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "float":
            found.append(f"{short(path)}:{node.lineno}: float()")
    for line, name in imports_of(path):
        head, _, rest = name.partition(".")
        if head in ("numpy", "cmath", "statistics") or (
            head == "math" and rest not in WHOLE_MATHEMATICS
        ):
            found.append(f"{short(path)}:{line}: {name}")
    return found


@pytest.mark.parametrize("room", EXACT_ROOMS)
def test_no_float_in(room: str) -> None:
    files = sorted((PACKAGE / room).rglob("*.py"))
    assert [line for path in files for line in _floats(path)] == []
