"""The one place where compiler flags live."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import numba

Function = TypeVar("Function", bound=Callable[..., Any])

FLAGS: dict[str, Any] = {"nogil": True, "error_model": "numpy", "_nrt": False}
"""Without `_nrt=False` the reference counts of the many arrays cost more than the work itself.
The kernel allocates nothing, so it needs no counts."""


numba.config.LOOP_VECTORIZE = 0  # type: ignore[attr-defined]
"""Our loops take a few turns; written out for eight or sixteen at once they only get longer. What
is wide is told in `vector.py`."""

INNER: dict[str, Any] = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
"""Only the entry is called from Python; ways in for every function double the time to compile."""


def _edition() -> str:
    """Digest of all that goes into the compiled code."""
    here = Path(__file__).parent
    digest = hashlib.sha256()
    lists = [here.parent / name for name in ("columns.py", "records.py")]
    for path in sorted([*here.glob("*.py"), *lists]):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:12]


def kernel(function: Function) -> Function:
    """Compile `function` into whatever calls it: a call would hand over every array."""
    compiled: Function = _njit(function, {"forceinline": True, **INNER})
    return compiled


def apart(function: Function) -> Function:
    """Compile `function` as one of its own; for what is called from several places, and rarely."""
    compiled: Function = _njit(function, INNER)
    return compiled


def entry(function: Function) -> Function:
    """Compile `function`, which is called from outside, and keep the result on disk if possible.

    The store knows only whether the file of `function` changed, not those of the functions that it
    calls; so the name under which it is kept carries a digest of the whole kernel.
    """
    function.__qualname__ = f"{function.__qualname__}_{_edition()}"
    compiled: Function
    try:
        compiled = _njit(function, {"cache": True})
    except RuntimeError:  # nowhere to write: compile anew each time
        compiled = _njit(function, {})
    return compiled


def _njit(function: Callable[..., Any], more: dict[str, Any]) -> Any:
    try:
        return numba.njit(**FLAGS, **more)(function)
    except KeyError:  # a version of the compiler that does not know `_nrt`
        flags = {name: value for name, value in FLAGS.items() if name != "_nrt"}
        return numba.njit(**flags, **more)(function)
