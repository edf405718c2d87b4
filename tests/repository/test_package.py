"""The front of the package: the functions of the story, loaded when first used."""

from __future__ import annotations

import importlib
import pkgutil
import subprocess
import sys
from types import ModuleType

import pytest

import loopwright


@pytest.mark.parametrize("name", loopwright.__all__)
def test_a_stage_is_one_function_of_the_package(name: str) -> None:
    function = getattr(loopwright, name)
    assert function.__name__ == name


def test_other_names_are_not_there() -> None:
    with pytest.raises(AttributeError, match="no attribute 'nonsense'"):
        loopwright.nonsense  # noqa: B018


def test_importing_the_package_loads_nothing_of_it() -> None:
    code = "import sys, loopwright; print([m for m in sys.modules if m.startswith('loopwright.')])"
    found = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=30
    )
    assert found.stdout.strip() == "[]"


def _packages() -> list[ModuleType]:
    found = pkgutil.walk_packages(loopwright.__path__, "loopwright.")
    return [importlib.import_module(info.name) for info in found if info.ispkg]


def test_what_a_package_loads_when_asked_is_named_unlike_its_modules() -> None:
    """Whoever imports a module of that name first would get it in place of the function."""
    late = [package for package in _packages() if hasattr(package, "_HOMES")]
    assert len(late) >= 3
    for package in late:
        modules = {info.name for info in pkgutil.iter_modules(package.__path__)}
        assert not modules & set(package._HOMES), package.__name__
