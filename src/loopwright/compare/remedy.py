"""What would make every loop of a design safe: changes, tried out, proved and priced."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Any

from loopwright.block import Block
from loopwright.compare.change import Change, Edit
from loopwright.compare.change import changed as changed_project
from loopwright.compare.price import Price, price_design
from loopwright.finding import DesignError
from loopwright.layout import design_project
from loopwright.layout.layout import Layout
from loopwright.model import Project
from loopwright.prove.prove import prove_loops
from loopwright.prove.ring import Ring
from loopwright.prove.rings import find_rings
from loopwright.simulate.reading.document import plain

SHORTER = Fraction(3, 4)
"""A shorter row has so many of the stations."""

NOT_OFFERED = (
    "sidings with sorted return, and quotas or caps for single materials, are not built by the "
    "layout, so they are not tried"
)


@dataclass(frozen=True, slots=True)
class Remedy:
    """One `change` tried. `outcomes` are the answers of all loops, two each: cannot jam, returns to
    full rate; `price` is None and `refusal` says why where such a design cannot be built."""

    change: Change
    outcomes: tuple[tuple[str, str], ...]
    price: Price | None
    refusal: str = ""

    @property
    def green(self) -> bool:
        """Whether both is proved of every loop, or there are none."""
        return self.price is not None and all(one == ("proved", "proved") for one in self.outcomes)


def try_remedies(project: Project) -> Iterator[Remedy]:
    """The project as it is, then changes in the order of preference.

    The order: the habit of the pickers, where they take ahead, for nothing else helps then; the
    gate, last one that drains leftovers; larger buffers; pickers that take units; a faster belt;
    shorter rows; and the plain design without loops.
    """
    yield try_change(project, Change())
    for change in changes_for(project):
        yield try_change(project, change)


def remedies_document(tried: Iterable[Remedy]) -> dict[str, Any]:
    """What was tried, for other programs."""
    return {"tried": [plain(one) | {"told": str(one.change), "green": one.green} for one in tried]}


def try_change(project: Project, change: Change) -> Remedy:
    """The design with `change`, proved and priced."""
    after = changed_project(project, change)
    try:
        design = design_project(after)
    except DesignError as error:
        return Remedy(change, (), None, error.findings[0].message)
    verdicts = prove_loops(design.layout, runs=not change.edits)
    answers = [verdict.outcome for verdict in verdicts]
    return Remedy(
        change, tuple(zip(answers[::2], answers[1::2], strict=True)), price_design(design)
    )


def changes_for(project: Project) -> Iterator[Change]:
    """Changes that may help `project`, in the order of preference; none twice."""
    design = design_project(project)
    block, layout = design.block, design.layout
    base = _habit(project, block)
    rules = ("windowed", "scarcest-first", "drained")
    gates = [Change((Edit(("choices", "gate"), rule),)) for rule in rules]
    seen = {Change()}
    for change in (
        base,
        *(base + gate for gate in gates),
        base + gates[0] + _buffers(project, block, layout),
        base + gates[0] + _takes(project, block),
        base + gates[0] + _belt(project, block),
        base + gates[0] + _row(block),
        Change((Edit(("choices", "architecture"), "plain"),)),
    ):
        if change not in seen:
            seen.add(change)
            yield change


def _habit(project: Project, block: Block) -> Change:
    """Pickers at the inlets that take only what there is room for."""
    pickers = project.equipment.pickers
    if pickers[block.picker].habit == "commit":
        return Change()
    fitting = [
        name
        for name, kind in pickers.items()
        if kind.habit == "commit" and kind.reach >= pickers[block.picker].reach
    ]
    if fitting:
        best = min(fitting, key=lambda name: (pickers[name].swing, pickers[name].effort, name))
        return Change((Edit(("choices", "picker"), best),))
    return Change((Edit(("equipment", "pickers", block.picker, "habit"), "commit"),))


def _takes(project: Project, block: Block) -> Change:
    """Pickers at the inlets that take units, where they take carriers whole or full hands."""
    if project.equipment.pickers[block.picker].takes == "units":
        return Change()
    return Change((Edit(("equipment", "pickers", block.picker, "takes"), "units"),))


def _buffers(project: Project, block: Block, layout: Layout) -> Change:
    """So many batches at each station that full buffers outlast a turn of the longest loop, and
    carriers that are taken whole find room."""
    station = project.processes[block.process].station
    rings = [ring for ring in find_rings(layout) if ring.speed is not None and ring.drawers]
    most = max((_batches(ring) for ring in rings), default=0)
    if most <= project.equipment.stations[station].batches:
        return Change()
    return Change((Edit(("equipment", "stations", station, "batches"), most),))


def _batches(ring: Ring) -> int:
    """What a loop asks for: units that are sure to be held, over those of a cycle."""
    assert ring.speed is not None
    drawer = ring.drawers[0]
    turn = (ring.cells - 1) / (drawer.cycle * ring.speed)
    asked = []
    for need in drawer.needs:
        left = need.cap - ring.least_held(need)
        cap = max(ring.least_cap(drawer, need), ceil(turn * need.amount) + left)
        asked.append(ceil(Fraction(cap, need.amount)))
    return max(asked)


def _belt(project: Project, block: Block) -> Change:
    """The slowest of the faster belts."""
    belts = project.equipment.belts
    faster = [name for name, kind in belts.items() if kind.speed > belts[block.belt].speed]
    if not faster:
        return Change()
    return Change((Edit(("choices", "belt"), min(faster, key=lambda name: belts[name].speed)),))


def _row(block: Block) -> Change:
    return Change((Edit(("choices", "row"), max(1, int(block.design.row * SHORTER))),))
