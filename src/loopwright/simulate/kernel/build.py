"""Kernel -> object code, in a process of its own."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Collection, Iterator
from typing import Any

import numba
from llvmlite import binding as llvm
from numba.core import types

from loopwright.simulate.columns import Part, column_of
from loopwright.simulate.kernel.array import Column, group_type
from loopwright.simulate.kernel.census import count_cells
from loopwright.simulate.kernel.engine import ARGUMENTS, NUMBER, WAYS_IN, Call, plain_name
from loopwright.simulate.kernel.film import film
from loopwright.simulate.kernel.jit import APART, FLAGS, mangled
from loopwright.simulate.kernel.machine import c_function, load, target_machine
from loopwright.simulate.kernel.tick import run_to
from loopwright.simulate.kernel.view import view_belts, view_pickers, view_stations

FROM_LIBRARY = {"memcpy", "memmove", "memset"}
"""What compiled code may call besides itself: it must run in a process without the compiler."""

FUNCTIONS: tuple[Any, ...] = (run_to, count_cells, film, view_belts, view_stations, view_pickers)

_kept_alive: list[tuple[str, Any]] = []


def _callbacks(cell: str) -> Iterator[tuple[str, Any]]:
    """Name, and compiled function, of all that is called from outside."""
    part = group_type(Part, cell)
    functions = {function.py_func.__name__: function.py_func for function in FUNCTIONS}
    for name, kinds in WAYS_IN.items():
        signature = types.void(part, *map(_type, kinds))
        yield name, numba.cfunc(signature, **FLAGS)(functions[plain_name(name)])


def _type(kind: str) -> Any:
    if kind == NUMBER:
        return types.int64
    dtype, extents, _ = column_of(kind, "")
    return Column(dtype, len(extents))


def build(cell: str) -> bytes:
    """Object code for plants whose cells are of the type `cell`.

    The compiler makes plain code of each function by itself; all of it is optimised once, together.
    """
    whole = llvm.parse_assembly("")
    names = []
    for name, callback in _callbacks(cell):
        module = llvm.parse_assembly(callback.inspect_llvm())
        module.get_function(callback.native_name).name = name
        whole.link_in(module)
        names.append(name)
    _say_what_is_inlined(whole, names)
    target = target_machine()
    tuning = llvm.create_pipeline_tuning_options(speed_level=3)
    # loops over inputs and outlets take two or three turns: wide ones cost speed
    tuning.loop_vectorization = tuning.slp_vectorization = False
    builder = llvm.create_pass_builder(target, tuning)
    builder.getModulePassManager().run(whole, builder)
    asked = {f.name for f in whole.functions if f.is_declaration and not f.name.startswith("llvm.")}
    assert asked <= FROM_LIBRARY, asked
    return bytes(target.emit_object(whole))


def _say_what_is_inlined(whole: Any, ways_in: Collection[str]) -> None:
    """Tell the optimiser that nobody calls inner functions from outside, and where each goes."""
    ours, apart = mangled(*__package__.split(".")), set(APART)
    for function in whole.functions:
        if function.is_declaration or function.name in ways_in:
            continue
        function.linkage = "internal"
        if not function.name.startswith(ours):
            continue
        found = {name for name in APART if function.name.startswith(name + "B")}
        function.add_function_attribute("noinline" if found else "alwaysinline")
        apart -= found
    assert not apart, f"not found in the compiled code: {sorted(apart)}"


def compiled_here(cell: str) -> dict[str, Call]:
    """The functions of the engine as the compiler makes them in this process: slower to come by,
    and not to be kept."""
    made_now = list(_callbacks(cell))
    _kept_alive.extend(made_now)
    return {name: c_function(made.address, ARGUMENTS[name]) for name, made in made_now}


def main(cell: str) -> None:
    """Write the code to standard output, and to nowhere else what others write there.

    It is loaded first: where that fails, this process ends badly and not the one that asked.
    """
    gc.disable()  # a tenth of the time, in a process that ends anyway
    out = os.dup(sys.stdout.fileno())
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    with open(out, "wb") as file:  # noqa: PTH123
        code = build(cell)
        load(code, ARGUMENTS)
        file.write(code)
