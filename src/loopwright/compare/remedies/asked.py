"""What the loops of a design ask for: each law that is not kept, and the change that keeps it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from loopwright.block import Block
from loopwright.compare.change import Change, Edit
from loopwright.layout import design_project
from loopwright.layout.layout import Layout
from loopwright.model import Project
from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_recovery, uniform
from loopwright.prove.law.mix import share_of_mix
from loopwright.prove.law.surplus import LOOP, MOST, PASS, surplus_needed
from loopwright.prove.law.terms import terms_of
from loopwright.prove.law.window import COUNTING, common_windows, fitting_quotas
from loopwright.prove.reason import load_of, offer, others, use
from loopwright.prove.ring import Need, Ring
from loopwright.prove.rings import find_rings
from loopwright.simulate.reading.text import figure, percent

LARGEST_HAND = 8
"""Units that a hand may hold in a project."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A `change` that a law asks for; `why` says with numbers of the design what asks for it."""

    change: Change
    why: str


@dataclass(frozen=True, slots=True)
class Bench:
    """A project with its block, its layout and the loops in it."""

    project: Project
    block: Block
    layout: Layout
    rings: tuple[Ring, ...]

    @property
    def loops(self) -> tuple[Ring, ...]:
        """Closed loops that a gate feeds and stations draw on, on belts of one speed."""
        return tuple(
            ring
            for ring in self.rings
            if ring.kind == "loop" and ring.gate and ring.drawers and ring.speed is not None
        )

    @property
    def sections(self) -> dict[str, tuple[Ring, ...]]:
        """These loops by the process that their stations run."""
        found: dict[str, tuple[Ring, ...]] = {}
        for ring in self.loops:
            name = ring.drawers[0].recipe
            if name in self.project.processes:
                found[name] = (*found.get(name, ()), ring)
        return found


def bench_of(project: Project) -> Bench:
    """`project`, planned and placed.

    Raises
    ------
    DesignError
        It cannot be built.
    """
    design = design_project(project)
    return Bench(project, design.block, design.layout, find_rings(design.layout))


def asked_quotas(bench: Bench) -> Iterator[Candidate]:
    """Theorem quota and theorem flow, or Little's law: quotas inside their windows."""
    yield from joined(_quotas(rings) for rings in bench.sections.values())


def joined(found: Iterable[Candidate | None]) -> Iterator[Candidate]:
    """One change for all sections that ask for it; none where none does."""
    asked = [one for one in found if one is not None]
    if asked:
        change = sum((one.change for one in asked), Change())
        yield Candidate(change, "; ".join(dict.fromkeys(one.why for one in asked)))


def _quotas(loops: Iterable[Ring]) -> Candidate | None:
    rings = [ring for ring in loops if ring.rule in COUNTING]
    windows, fitting = common_windows(rings), fitting_quotas(rings)
    if windows is None or fitting is None or all(map(_quotas_will_do, rings)):
        return None
    edits = tuple(Edit(("choices", "quotas", name), quota) for name, quota in fitting.items())
    told = ", ".join(f"{name} {w.least} to {w.most}" for name, w in windows.items())
    most = min(ring.cells for ring in rings) - 2
    return Candidate(
        Change(edits),
        f"quotas: {told} carriers will do, all others of each together at most {most}",
    )


def _quotas_will_do(ring: Ring) -> bool:
    quotas = {name: quota or 0 for name, quota in ring.quotas}
    windows = common_windows([ring]) or {}
    if any(sum(others(ring, name)) > ring.cells - 2 for name in ring.needed):
        return False
    if ring.rule == "windowed":
        return all(offer(ring, m) * load_of(ring, m) >= use(ring, m) for m in ring.needed)
    return all(window.least <= quotas[name] <= window.most for name, window in windows.items())


def asked_equal_caps(bench: Bench) -> Iterator[Candidate]:
    """The law of unequal caps: where the mix is fixed, stations hoard what they hold most cycles
    of, and as many cycles' worth of the rest has to stay on the loop."""
    yield from joined(_equal_caps(name, rings[0]) for name, rings in bench.sections.items())


def _equal_caps(process: str, ring: Ring) -> Candidate | None:
    terms = terms_of(ring)
    if ring.rule not in ("open", "ratio-locked") or terms is None:
        return None
    cycles = {name: Fraction(need.cap, need.amount) for name, need in terms.needs.items()}
    if len(set(cycles.values())) == 1:
        return None
    needs = terms.needs.values()
    least = [Fraction(ring.least_cap(ring.drawers[0], n), n.amount) for n in needs]
    whole = ceil(max(*least, *cycles.values()))
    edits = (Edit(("processes", process, "caps", n.material), whole * n.amount) for n in needs)
    told = ", ".join(f"{name} {figure(count)}" for name, count in cycles.items())
    loss = f"; started empty it makes {percent(share_of_mix(terms))}" if terms.single else ""
    return Candidate(
        Change(tuple(edits)),
        f"unequal caps: cycles held are {told}, and where the mix is fixed what most is held of "
        f"starves the rest{loss}",
    )


def asked_buffers(bench: Bench) -> Iterator[Candidate]:
    """Theorem flow asks that full buffers outlast a turn; carriers taken whole ask for room."""
    yield from joined(
        _buffers(bench.project, name, rings) for name, rings in bench.sections.items()
    )


def _buffers(project: Project, name: str, rings: Iterable[Ring]) -> Candidate | None:
    process = project.processes[name]
    asked = [(_cycles(ring, need), ring, need) for ring in rings for need in ring.drawers[0].needs]
    most, ring, need = max(asked, key=lambda one: one[0])
    edits = [
        Edit(("processes", name, "caps", material), most * process.inputs[material])
        for material, cap in process.caps.items()
        if cap < most * process.inputs[material]
    ]
    batches = project.equipment.stations[process.station].batches
    if most > batches and set(process.inputs) - set(process.caps):
        edits.insert(0, Edit(("equipment", "stations", process.station, "batches"), most))
    return Candidate(Change(tuple(edits)), f"buffers: {_held(ring, need)}") if edits else None


def _cycles(ring: Ring, need: Need) -> int:
    """Cycles' worth of an input that a station has to hold."""
    left = need.cap - ring.least_held(need)
    cap = max(ring.least_cap(ring.drawers[0], need), ceil(_turn(ring) * need.amount) + left)
    return ceil(Fraction(cap, need.amount))


def _turn(ring: Ring) -> Fraction:
    """A turn of the loop, in cycles."""
    assert ring.speed is not None
    return (ring.cells - 1) / (ring.drawers[0].cycle * ring.speed)


def _held(ring: Ring, need: Need) -> str:
    least = ring.least_cap(ring.drawers[0], need)
    if need.cap < least:
        room = ring.most_on(need.material)
        return (
            f"a station holds {need.cap} of {need.material}; {least} make sure that a carrier of "
            f"{room} finds room beside what is short of a cycle's {need.amount}"
        )
    cycle = ring.drawers[0].cycle
    lasts = ring.least_held(need) * cycle / need.amount
    return (
        f"what is held of {need.material} for sure lasts {figure(lasts)} s, a turn "
        f"{figure(_turn(ring) * cycle)} s, and full buffers have to outlast it"
    )


def asked_hand(bench: Bench) -> Iterator[Candidate]:
    """Pickers that take carriers whole need hands for one."""
    kind = bench.project.equipment.pickers[bench.block.picker]
    most = max((ring.most_on(name) for ring in bench.loops for name in ring.needed), default=0)
    if kind.takes == "carriers" and kind.hand < most <= LARGEST_HAND:
        yield Candidate(
            Change((Edit(("equipment", "pickers", bench.block.picker, "hand"), most),)),
            f"hands: carriers are taken whole, by hands of {kind.hand}, and hold up to {most}",
        )


def asked_units(bench: Bench) -> Iterator[Candidate]:
    """Pickers that may leave what their station lacks are to take units."""
    kind = bench.project.equipment.pickers[bench.block.picker]
    if kind.takes == "units" or all(_takes_all(ring) for ring in bench.loops):
        return
    what = "full hands" if kind.takes == "hands" else "whole carriers"
    yield Candidate(
        Change((Edit(("equipment", "pickers", bench.block.picker, "takes"), "units"),)),
        f"hands: pickers that wait for {what} may leave what their station lacks",
    )


def asked_whole(bench: Bench) -> Iterator[Candidate]:
    """Theorem refill is sure of all units that a carrier brings only where none is part-used."""
    if all(isinstance(find_recovery(ring), Claim) for ring in bench.rings):
        return
    project, block = bench.project, bench.block
    kind, process = project.equipment.pickers[block.picker], project.processes[block.process]
    most = max((project.materials[name].stack for name in process.inputs), default=1)
    if kind.takes == "carriers" or not 1 < most <= LARGEST_HAND:
        return
    path = ("equipment", "pickers", block.picker)
    room = max(
        ceil(Fraction(units + project.materials[name].stack - 1, units))
        for name, units in process.inputs.items()
    )
    edits = [Edit((*path, "takes"), "carriers"), Edit((*path, "hand"), max(most, kind.hand))]
    station = project.equipment.stations[process.station]
    edits.append(
        Edit(("equipment", "stations", process.station, "batches"), max(room, station.batches))
    )
    yield Candidate(
        Change(tuple(edits)),
        "whole carriers (theorem refill): what comes back part-used holds a unit for sure, a "
        f"carrier that is taken whole up to {most}",
    )


def _takes_all(ring: Ring) -> bool:
    return all(
        ring.sure_taps(drawer.station)
        and all(need.cap >= ring.least_cap(drawer, need) for need in drawer.needs)
        for drawer in ring.drawers
    )


def asked_docks(bench: Bench) -> Iterator[Candidate]:
    """Rows behind others wait after an outage until those have enough."""
    site = bench.project.site
    given = any(dock.placed for dock in site.docks) or any(one.placed for one in site.deposits)
    late = next((ring for ring in bench.loops if ring.shares_docks), None)
    if late is not None and not given and bench.project.choices.supply == "trunks":
        yield Candidate(
            Change((Edit(("choices", "supply"), "docks"),)),
            f"docks: {late.name} shares its docks, and has to wait after an outage until rows "
            "before it have enough",
        )


def asked_speed(bench: Bench) -> Iterator[Candidate]:
    """A faster belt: shorter turns, and more in each second."""
    short = next((ring for ring in bench.loops if not _keeps_up(ring, len(ring.drawers))), None)
    belts = bench.project.equipment.belts
    faster = [name for name, kind in belts.items() if kind.speed > belts[bench.block.belt].speed]
    if short is not None and faster:
        belt = min(faster, key=lambda name: (belts[name].speed, belts[name].effort, name))
        yield Candidate(Change((Edit(("choices", "belt"), belt),)), f"belt: {_pace(short)}")


def asked_rows(bench: Bench) -> Iterator[Candidate]:
    """Shorter rows: such that a turn brings enough and buffers outlast it; and such that the last
    stations keep up with late pickers."""
    design = bench.block.design
    short = next((ring for ring in bench.loops if not _keeps_up(ring, len(ring.drawers))), None)
    if short is not None:
        fits = [n for n in range(1, design.row) if _keeps_up(short, n)]
        if fits:
            row = _equal_row(bench.block, fits[-1])
            yield Candidate(Change((Edit(("choices", "row"), row),)), f"rows: {_pace(short)}")
    yield from _surplus(bench)


def _keeps_up(ring: Ring, stations: int) -> bool:
    """Whether a turn brings enough, and buffers outlast it, with so many stations on a loop that is
    shorter in proportion."""
    if not uniform(ring) or terms_of(ring) is None:
        return True
    share = Fraction(stations, len(ring.drawers))
    drawer, shares = ring.drawers[0], dict(ring.shares)
    places = ring.cells * share - 1
    total = sum(shares[name] for name in ring.materials)
    for need in drawer.needs:
        sure = int((places - 1) * shares[need.material] / total) - 1
        if sure * load_of(ring, need.material) < use(ring, need.material) * share * share:
            return False
        if Fraction(ring.least_held(need), need.amount) < _turn(ring) * share:
            return False
    return True


def _pace(ring: Ring) -> str:
    cycle = ring.drawers[0].cycle
    terms = terms_of(ring)
    load = percent(terms.load) if terms is not None else "-"
    lasts = min(Fraction(ring.least_held(need), need.amount) for need in ring.drawers[0].needs)
    return (
        f"{len(ring.drawers)} stations use {load} of the belt, a turn takes "
        f"{figure(_turn(ring) * cycle)} s, and full buffers last {figure(lasts * cycle)} s"
    )


def _equal_row(block: Block, longest: int) -> int:
    """The shortest row that needs no more rows than `longest` does."""
    rows = ceil(block.stations / longest)
    return ceil(block.stations / rows)


def _surplus(bench: Bench) -> Iterator[Candidate]:
    """What measured rows need, so that their last stations lose less than 1 %."""
    project, block = bench.project, bench.block
    if block.architecture == "plain":
        return
    process = project.processes[block.process]
    load = max(project.materials[name].stack for name in process.inputs)
    takes = project.equipment.pickers[block.picker].takes
    batches = project.equipment.stations[process.station].batches
    fed = LOOP if block.architecture == "loop" else PASS
    needed = surplus_needed(fed, load, takes, batches)
    wanted, has = needed or MOST, block.capacity / block.design.row - 1
    longest = int(block.capacity / (1 + wanted))
    row = _equal_row(block, longest) if fed == LOOP and longest else _closed_row(block, longest)
    if has >= wanted or not 0 < row < block.design.row:
        return
    least = f"{percent(wanted)} or more" if needed is None else percent(wanted)
    edit = Edit(("choices", "row"), row)
    if project.choices.row == "auto" and fed == LOOP:
        edit = Edit(("choices", "surplus"), wanted)
    yield Candidate(
        Change((edit,)),
        f"surplus: {percent(has)} more than is used comes by; where three tenths of all picks are "
        f"missed the row's end needs {least} (measured: carriers of {load}, {batches} cycles held)",
    )


def _closed_row(block: Block, longest: int) -> int:
    """The longest row of a closed design that is not longer; 0 where there is none."""
    rows = [design.row for design in block.designs if design.closed and design.row <= longest]
    return max(rows, default=0)
