"""What stations and loops may hold: caps against a cycle, quotas against the gate."""

from __future__ import annotations

from collections.abc import Iterator

from loopwright.finding import Finding, new_finding
from loopwright.model.near import listed, nearest
from loopwright.model.outline import Outline
from loopwright.model.source import Step

COUNTING = ("auto", "counted", "windowed", "scarcest-first")
"""Gates that count what they let in."""


def check_held(outline: Outline) -> list[Finding]:
    """Caps and quotas of what is no input, caps that no cycle can start with, idle quotas."""
    return [*_caps(outline), *_quotas(outline)]


def _caps(outline: Outline) -> Iterator[Finding]:
    for process in outline.keys("processes"):
        path: tuple[Step, ...] = ("processes", process)
        inputs = outline.keys(*path, "inputs")
        for name in outline.keys(*path, "caps"):
            if name not in inputs:
                yield _no_input(outline, (*path, "caps", name), inputs)
                continue
            cap, least = (outline.whole(0, *path, side, name) for side in ("caps", "inputs"))
            if cap is not None and least is not None and 0 < cap < least:
                yield new_finding(
                    "LW148",
                    f"a station may hold {cap} of {name}, a cycle takes {least}",
                    outline.place(*path, "caps", name),
                    value=str(cap),
                    allowed=f"at least {least}",
                )


def _quotas(outline: Outline) -> Iterator[Finding]:
    named = outline.keys("choices", "quotas")
    inputs = dict.fromkeys(
        name
        for process in outline.keys("processes")
        for name in outline.keys("processes", process, "inputs")
    )
    for name in named:
        if name not in inputs:
            yield _no_input(outline, ("choices", "quotas", name), tuple(inputs))
    gate = outline.text("choices", "gate")
    if named and gate is not None and gate not in COUNTING:
        yield new_finding(
            "LW155",
            f"a gate that is {gate} does not count, so quotas are not looked at",
            outline.key_place("choices", "quotas"),
            value=gate,
            allowed=listed(COUNTING),
        )


def _no_input(outline: Outline, path: tuple[Step, ...], inputs: tuple[str, ...]) -> Finding:
    name = str(path[-1])
    near = nearest(name, inputs)
    return new_finding(
        "LW147",
        f"{name[:40]!r} is no input",
        outline.key_place(*path),
        value=name[:80],
        allowed=listed(inputs),
        remedy=f"did you mean {near!r}?" if near else None,
    )
