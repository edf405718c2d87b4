"""How functions of the kernel are compiled; the one place where compiler flags live."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import numba

Function = TypeVar("Function", bound=Callable[..., Any])

FLAGS: dict[str, Any] = {"error_model": "numpy"}
INNER: dict[str, Any] = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
"""What calls these is compiled, too; ways in for every function double the time to compile."""

APART: set[str] = set()
"""Names in the object code, as far as they are known, of functions that stay functions there."""


def kernel(function: Function) -> Function:
    """Compile `function` into whatever calls it."""
    compiled: Function = numba.njit(**FLAGS, **INNER)(function)
    return compiled


def apart(function: Function) -> Function:
    """Compile `function` as one of its own: for what is called from several places, or rarely."""
    APART.add(mangled(function.__module__, function.__qualname__))
    return kernel(function)


def mangled(*names: str) -> str:
    """How the names of compiled functions begin that are in the module, or are the function, of
    these names."""
    words = ".".join(names).split(".")
    return "_ZN" + "".join(f"{len(word)}{word}" for word in words)
