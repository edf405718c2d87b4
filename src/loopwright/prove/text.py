"""Verdicts as text for people: loops of one shape are told once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from loopwright.prove.claim import ASSUMPTIONS
from loopwright.prove.verdict import Recovery, Verdict


def verdicts_text(verdicts: Sequence[Verdict]) -> str:
    """All verdicts, each with its numbers and with what to change."""
    groups: dict[tuple[object, ...], list[Verdict]] = {}
    for verdict in verdicts:
        groups.setdefault((verdict.ring.shape(), verdict.outcome, verdict.question), []).append(
            verdict
        )
    blocks: dict[tuple[str, ...], list[str]] = {}
    for group in groups.values():
        names = tuple(verdict.loop for verdict in group)
        blocks.setdefault(names, list(_heading(group[0], names))).extend(_lines(group[0]))
    return "\n\n".join("\n".join(lines) for lines in blocks.values()) or "There are no loops."


def _heading(verdict: Verdict, names: Sequence[str]) -> Iterator[str]:
    ring = verdict.ring
    gate = f"{ring.gate}, {ring.rule}" if ring.gate else "no gate"
    yield (
        f"{names[0]}: {ring.kind} of {ring.cells} cells, {len(ring.drawers)} stations, {gate}, "
        f"{', '.join(ring.materials)}"
    )
    if len(names) > 1:
        yield f"  and {len(names) - 1} alike: {', '.join(names[1:])}"


def _lines(verdict: Verdict) -> Iterator[str]:
    yield f"  {verdict.question}: {verdict.outcome.upper()}"
    for because in verdict.because:
        yield f"    {because}"
    if verdict.claim is not None:
        yield f"    by theorem {verdict.claim.theorem}, given that"
        yield from (f"      {name} {ASSUMPTIONS[name]}" for name in verdict.claim.given)
    if verdict.jam is not None:
        yield f"    ! {verdict.jam.sentence}"
    yield from (f"    {line}" for line in runs_text(verdict.runs))
    if verdict.outcome != "proved" and verdict.remedies:
        yield f"    what to change: {'; or '.join(verdict.remedies)}"


def runs_text(runs: Iterable[Recovery]) -> Iterator[str]:
    """What was measured, in one sentence; none where nothing was."""
    told = [
        f"{percent(run.share)} "
        + (
            f"after {run.span} s without {run.missing}"
            if run.missing
            else f"undisturbed from {run.scenario.start}"
        )
        + ("" if run.lasting else ", still rising")
        for run in runs
    ]
    if told:
        yield f"measured, share of full rate in the end: {', '.join(told)}"


def percent(share: Fraction) -> str:
    """`share` in percent with one decimal, rounded to nearest."""
    tenths = round(share * 1000)
    return f"{tenths // 10}.{tenths % 10} %"
