"""Who may import what, where the layer contract cannot say it."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.repository.repository import PACKAGE, REFERENCE, imports_of, package_files, short

KERNEL = PACKAGE / "simulate" / "kernel"
STANDARD = set(sys.stdlib_module_names)


def _begins(name: str, allowed: tuple[str, ...]) -> bool:
    return any(name == start or name.startswith(start + ".") for start in allowed)


def _strays(folder: Path, allowed: tuple[str, ...], *, standard: bool) -> list[str]:
    return [
        f"{short(path)}:{line}: {name}"
        for path in sorted(folder.rglob("*.py"))
        for line, name in imports_of(path)
        if not _begins(name, allowed) and not (standard and name.split(".")[0] in STANDARD)
    ]


def test_the_kernel_imports_arrays_and_their_columns_only() -> None:
    arrays = ("numpy", "numba", "llvmlite")
    ours = ("loopwright.simulate.columns", "loopwright.simulate.kernel")
    assert _strays(KERNEL, arrays + ours, standard=True) == []


def test_the_reference_uses_the_standard_library_only() -> None:
    assert _strays(REFERENCE, ("reference",), standard=True) == []


def test_numba_is_met_in_the_kernel_only() -> None:
    found = [
        f"{short(path)}:{line}"
        for path in package_files()
        for line, name in imports_of(path)
        if name.split(".")[0] in ("numba", "llvmlite") and KERNEL not in path.parents
    ]
    assert found == []
