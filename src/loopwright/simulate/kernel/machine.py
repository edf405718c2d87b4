"""The machine as the compiler sees it, and object code made callable on it."""

from __future__ import annotations

import ctypes
from collections.abc import Callable, Mapping
from hashlib import sha256
from typing import Any

from llvmlite import binding as llvm

llvm.initialize_native_target()
llvm.initialize_native_asmprinter()

Call = Callable[..., None]

_kept_alive: list[Any] = []
"""Code that is loaded stays where it is as long as the process runs."""


def target_machine() -> Any:
    """What makes object code for this machine, with all that its processor can do."""
    target = llvm.Target.from_triple(llvm.get_process_triple())
    return target.create_target_machine(
        cpu=llvm.get_host_cpu_name(),
        features=llvm.get_host_cpu_features().flatten(),
        opt=3,
        codemodel="jitdefault",
        jit=True,
    )


def machine_digest() -> str:
    """Differs for machines that cannot run each other's code."""
    features = llvm.get_host_cpu_features().flatten()
    told = (llvm.get_process_triple(), llvm.get_host_cpu_name(), features)
    return sha256("\n".join(told).encode()).hexdigest()[:12]


def load(code: bytes, arguments: Mapping[str, int]) -> dict[str, Call]:
    """The functions in `code`, each with how many arguments it takes, all of 64 bits."""
    engine = llvm.create_mcjit_compiler(llvm.parse_assembly(""), target_machine())
    engine.add_object_file(llvm.ObjectFileRef.from_data(code))
    engine.finalize_object()
    _kept_alive.append(engine)
    return {
        name: c_function(engine.get_function_address(name), count)
        for name, count in arguments.items()
    }


def c_function(address: int, arguments: int) -> Call:
    """The compiled function at `address`, which takes so many arguments of 64 bits."""
    return ctypes.CFUNCTYPE(None, *arguments * (ctypes.c_int64,))(address)
