"""The commands of `loopwright`, in the order of the story.

A command is a module of this folder with a function `run`, which returns an exit code, and
`EXAMPLES`, pairs of a command line and what it does. To add one, write the file and name it here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from loopwright.cli import (
    block,
    check,
    compare,
    demo,
    import_,
    layout,
    mix,
    new,
    plan,
    prove,
    readings,
    recover,
    report,
    schema,
    simulate,
    stress,
    studio,
    verify,
)


@dataclass(frozen=True, slots=True)
class Command:
    """One command: what the user types, what it does, and lines to try."""

    name: str
    run: Callable[..., int]
    examples: tuple[tuple[str, str], ...]


COMMANDS = (
    Command("new", new.run, new.EXAMPLES),
    Command("import", import_.run, import_.EXAMPLES),
    Command("check", check.run, check.EXAMPLES),
    Command("schema", schema.run, schema.EXAMPLES),
    Command("plan", plan.run, plan.EXAMPLES),
    Command("block", block.run, block.EXAMPLES),
    Command("mix", mix.run, mix.EXAMPLES),
    Command("layout", layout.run, layout.EXAMPLES),
    Command("simulate", simulate.run, simulate.EXAMPLES),
    Command("readings", readings.run, readings.EXAMPLES),
    Command("prove", prove.run, prove.EXAMPLES),
    Command("recover", recover.run, recover.EXAMPLES),
    Command("verify", verify.run, verify.EXAMPLES),
    Command("stress", stress.run, stress.EXAMPLES),
    Command("compare", compare.run, compare.EXAMPLES),
    Command("report", report.run, report.EXAMPLES),
    Command("studio", studio.run, studio.EXAMPLES),
    Command("demo", demo.run, demo.EXAMPLES),
)


def examples_text(examples: tuple[tuple[str, str], ...]) -> str:
    """The section that ends the help page of a command, set as it stands."""
    width = max(len(line) for line, _ in examples)
    lines = [f"  {line:<{width}}  {meaning}" for line, meaning in examples]
    return "\n".join(["\b", "Examples:", *lines])
