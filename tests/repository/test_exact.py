"""No float in the exact stages: no literal, no conversion, no float mathematics."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.repository.repository import PACKAGE, imports_of, short, tree_of

EXACT_ROOMS = ("exact", "grid", "model", "plan", "block", "layout", "prove")
NO_QUANTITIES = {"src/loopwright/model/near.py: 0.6"}
"""Floats that measure nothing of a design: how alike two spellings must be."""
FLOAT_SOLVERS = {PACKAGE / "plan" / "basis.py", PACKAGE / "layout" / "power" / "solver.py"}
"""Where a float solver is asked: for a basis, which is solved again in fractions, and for a choice
of cells, which is counted over."""
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
    files = sorted(set((PACKAGE / room).rglob("*.py")) - FLOAT_SOLVERS)
    assert [line for path in files for line in _floats(path)] == []


def test_float_solvers_are_asked_in_their_places_only() -> None:
    found = {
        short(path)
        for path in PACKAGE.rglob("*.py")
        for _, name in imports_of(path)
        if name.split(".")[0] == "highspy"
    }
    assert found == {short(path) for path in FLOAT_SOLVERS}
