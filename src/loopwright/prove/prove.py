"""Whether a loop can ever jam, and whether it recovers."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from loopwright.layout.layout import Layout
from loopwright.prove.claim import CANNOT_JAM, FULL_RATE, Claim
from loopwright.prove.finder import find_recovery, find_safety
from loopwright.prove.jam import SLACK, find_jam, measure_recovery
from loopwright.prove.obstacle import Obstacle
from loopwright.prove.ring import Ring
from loopwright.prove.rings import find_rings
from loopwright.prove.verdict import PROVED, REFUTED, UNDECIDED, Recovery, Verdict


def prove_loops(
    layout: Layout, *, runs: bool = True, progress: Callable[[float], None] | None = None
) -> tuple[Verdict, ...]:
    """Two verdicts for each loop of `layout`: that it cannot jam, and that it returns to full
    rate by itself.

    What no theorem settles is tried out in runs of the layout, unless `runs` is off; a run can
    refute, it never proves. `progress` is called with the share of the loops that is done.

    Raises
    ------
    LayoutError
        The devices do not fit each other.
    """
    verdicts: list[Verdict] = []
    told: dict[tuple[object, ...], tuple[Verdict, Verdict]] = {}
    rings = find_rings(layout)
    for number, ring in enumerate(rings, start=1):
        alike = told.get(ring.shape())
        safety = _safety(layout, ring, runs, alike[0] if alike else None)
        recovery = _recovery(layout, ring, runs, safety, alike[1] if alike else None)
        told.setdefault(ring.shape(), (safety, recovery))
        verdicts += [safety, recovery]
        if progress is not None:
            progress(number / len(rings))
    return tuple(verdicts)


def _safety(layout: Layout, ring: Ring, runs: bool, alike: Verdict | None) -> Verdict:
    found = find_safety(ring)
    if isinstance(found, Claim):
        return Verdict(ring, CANNOT_JAM, PROVED, _told(found), found)
    because, remedies = _obstacles(found)
    jam = None
    hint = alike.jam if alike is not None else None
    if runs and ring.kind != "tangle" and ring.drawers and (alike is None or hint is not None):
        jam = find_jam(layout, ring, hint)
    if jam is not None:
        return Verdict(ring, CANNOT_JAM, REFUTED, because, jam=jam, remedies=remedies)
    return Verdict(ring, CANNOT_JAM, UNDECIDED, because, remedies=remedies)


def _recovery(
    layout: Layout, ring: Ring, runs: bool, safety: Verdict, alike: Verdict | None
) -> Verdict:
    found = find_recovery(ring)
    if isinstance(found, Claim):
        return Verdict(ring, FULL_RATE, PROVED, _told(found), found)
    because, remedies = _obstacles(found)
    if safety.jam is not None:
        why = ("a loop that jams does not return",)
        return Verdict(ring, FULL_RATE, REFUTED, why, jam=safety.jam, remedies=safety.remedies)
    if not runs or ring.kind == "tangle" or not ring.drawers:
        return Verdict(ring, FULL_RATE, UNDECIDED, because, remedies=remedies)
    measured = measure_recovery(layout, ring) if alike is None else _renamed(alike, ring)
    short = _short(ring, measured)
    outcome = UNDECIDED if short is None else REFUTED
    return Verdict(
        ring, FULL_RATE, outcome, because, shortfall=short, runs=measured, remedies=remedies
    )


def _short(ring: Ring, runs: Iterable[Recovery]) -> Recovery | None:
    """The run that falls short most, if one does and stays so.

    A loop that lives on what others leave over has no rate of its own to be held to.
    """
    if ring.strangers:
        return None
    lost = [run for run in runs if run.lasting and run.share < 1 - SLACK]
    return min(lost, key=lambda run: run.share, default=None)


def _renamed(alike: Verdict, ring: Ring) -> tuple[Recovery, ...]:
    """The runs of a loop of the same shape, said of this one: rows do not touch each other."""
    return tuple(replace(run, loop=ring.name) for run in alike.runs)


def _told(claim: Claim) -> tuple[str, ...]:
    wanted = {
        "quota": ("room",),
        "ratio": ("missing",),
        "drain": ("places",),
        "flow": ("flow", "bridge"),
        "share": ("flow", "bridge"),
        "siding": ("room",),
        "refill": ("flow", "bridge"),
    }
    topics = wanted[claim.theorem]
    return tuple(reason.text for reason in claim.reasons if reason.topic in topics)


def _obstacles(found: Iterable[Obstacle]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    texts = tuple(dict.fromkeys(obstacle.text for obstacle in found))
    remedies = tuple(dict.fromkeys(obstacle.remedy for obstacle in found if obstacle.remedy))
    return texts, remedies
