"""What rows of a pass leave over: what its collector and its make-up row ask for."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from loopwright.compare.change import Change, Edit
from loopwright.compare.remedies.asked import Bench, Candidate
from loopwright.prove.law.left import Leftovers, leftovers_of
from loopwright.simulate.reading.text import figure, percent


def asked_drain(bench: Bench) -> Iterator[Candidate]:
    """A make-up row that lets go what it has no room for, so that nothing behind it stands."""
    if bench.block.architecture == "pass" and bench.block.gate != "drained":
        yield Candidate(
            Change((Edit(("choices", "gate"), "drained"),)),
            "make-up row: the collector goes first at its head, and what comes back and has no "
            "room is drained, so neither stands",
        )


def asked_collector(bench: Bench) -> Iterator[Candidate]:
    """A faster collector, and pickers that leave no carrier part-used."""
    left = _fullest(bench)
    if left is None or left.carriers <= 1:
        return
    project, block = bench.project, bench.block
    belts, pickers = project.equipment.belts, project.equipment.pickers
    wanted = left.speed * left.carriers
    faster = [name for name, kind in belts.items() if kind.speed > left.speed]
    if faster:
        enough = [name for name in faster if belts[name].speed >= wanted]
        belt = min(enough or faster, key=lambda n: abs(belts[n].speed - wanted))
        yield Candidate(Change((Edit(("choices", "collector_belt"), belt),)), _told(left))
    hand = max(project.materials[name].stack for name in project.processes[block.process].inputs)
    whole = [
        name
        for name, kind in pickers.items()
        if (kind.habit, kind.takes) == ("commit", "carriers") and kind.hand >= hand
    ]
    if pickers[block.picker].takes != "carriers" and whole:
        best = min(whole, key=lambda name: (pickers[name].swing, pickers[name].effort, name))
        edits = [Edit(("choices", "picker"), best)]
        if project.choices.output_picker == "auto":
            edits.append(Edit(("choices", "output_picker"), block.output_picker))
        yield Candidate(
            Change(tuple(edits)),
            f"whole carriers: what is left over is then full ones, {percent(left.fill)} of the "
            "collector",
        )


def collector_advice(bench: Bench) -> Iterator[str]:
    """What would help a collector but cannot be said in the file."""
    left = _fullest(bench)
    if left is None:
        return
    faster = [k for k in bench.project.equipment.belts.values() if k.speed > left.speed]
    if left.carriers > 1 and not faster:
        yield (
            f"{_told(left)}; the catalogue has no faster belt for it than {figure(left.speed)} "
            f"carriers/s, {figure(left.speed * left.carriers)} would do"
        )
    yield (
        f"a tree of alternating merges in place of the {left.inlets} side merges of "
        f"{left.collector}: the layout builds side merges only. Here they pass all that comes, as "
        "belts move cell by cell; where carriers stand anywhere on a belt a chain of them passes "
        f"four fifths of it, and it gets {percent(left.fill)} in full carriers"
    )


def _fullest(bench: Bench) -> Leftovers | None:
    found = leftovers_of(bench.layout)
    return max(found, key=lambda left: left.carriers, default=None)


def _told(left: Leftovers) -> str:
    part = Fraction(left.fill, left.carriers)
    return (
        f"collector: {left.lanes} lanes leave over {percent(left.fill)} of a belt in full "
        f"carriers; part-used, at {percent(part)} of a full one, they take {percent(left.carriers)}"
    )
