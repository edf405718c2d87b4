"""What only runs can say of loops; prints a table for each question.

Run as `python -m verification.loops > verification/loops.txt`. Takes about a minute.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

from loopwright.block import size_block
from loopwright.compare.change import Change, Edit, changed
from loopwright.layout import place_layout
from loopwright.layout.layout import Layout
from loopwright.model import Project, read_project
from loopwright.plan import solve_plan
from loopwright.prove.law.terms import terms_of
from loopwright.prove.rings import find_rings
from loopwright.simulate import simulate_layout
from loopwright.simulate.run import Run
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.state import State

EXAMPLES = Path(__file__).parents[1] / "examples"
PIECE = Fraction(320)
GATES = ("windowed", "scarcest-first", "ratio-locked")


def main() -> None:
    """All tables."""
    print("Units on the carriers that come back, full rate, without noise")
    _table(("stack", "gate", "batches", "load", "units", "of a full one", "part-used"), _returns())
    print("\nThe check block as a pass, 9 rows of 64 and a make-up row: busy share of stations")
    _table(("start", "until, s", "main rows", "make-up row"), _make_up())
    print("\nSide merges: what a collector of one belt passes of what its inlets bring")
    _table(("inlets", "fill", "passed", "worst inlet"), _collectors())
    print("\nDrained loops of the example block, what goes to the drain of what comes in")
    _table(("stations", "load", "places", "come back", "rate", "units drained"), _drained())


def _table(heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> None:
    lines = [heads, *rows]
    widths = [max(len(line[column]) for line in lines) for column in range(len(heads))]
    for line in lines:
        print("  ".join(cell.ljust(w) for cell, w in zip(line, widths, strict=True)).rstrip())


def _returns() -> Iterable[tuple[str, ...]]:
    for stack in (2, 4, 8):
        for gate in GATES:
            for batches in (2, 4):
                layout = _placed(_kits(stack, gate, batches))
                ring = find_rings(layout)[0]
                terms = terms_of(ring)
                assert terms is not None
                state = _run(layout, Fraction(600)).end
                units = []
                for _ in range(20):
                    state = _run(layout, Fraction(7), state).end
                    cells = state.belts[ring.belts[-1]]
                    units += [cell[1] for cell in cells if cell is not None]
                mean = Fraction(sum(units), len(units))
                part = Fraction(sum(1 for count in units if count < stack), len(units))
                yield (
                    str(stack), gate, str(batches), _percent(terms.load), f"{float(mean):.2f}",
                    _percent(mean / stack), _percent(part),
                )  # fmt: skip


def _kits(stack: int, gate: str, batches: int) -> Project:
    """One row of the example block, every material stacked alike."""
    project = read_project(EXAMPLES / "filter-kits.yaml")
    materials = {
        name: kind.model_copy(update={"stack": stack}) for name, kind in project.materials.items()
    }
    stations = {2: 24, 4: 36, 8: 36}[stack]
    edits = (
        Edit(("choices", "gate"), gate),
        Edit(("choices", "row"), stations),
        Edit(("equipment", "stations", "packer", "batches"), batches),
    )
    demand = {"kit": Fraction(stations, 20)}
    changed_one = project.model_copy(update={"materials": materials, "demand": demand})
    return changed(changed_one, Change(edits))


def _placed(project: Project) -> Layout:
    return place_layout(size_block(solve_plan(project), project), project)


def _run(layout: Layout, span: Fraction, start: State | None = None, begin: str = "primed") -> Run:
    scenario = Scenario("verification", begin, span, Fraction(0), span)
    return simulate_layout(layout, scenario, start=start)


def _make_up() -> Iterable[tuple[str, ...]]:
    project = read_project(EXAMPLES / "check-block.yaml")
    choice = Change((Edit(("choices", "architecture"), "pass"), Edit(("choices", "row"), 64)))
    project = changed(project, choice)
    block = size_block(solve_plan(project), project)
    layout = place_layout(block, project)
    make_up = {row.name for row in block.rows if row.role == "make-up"}
    rows = {station.name: station.row for station in layout.stations}
    for begin in ("empty", "primed"):
        state = _run(layout, Fraction(60), None, begin).end
        for piece in range(1, 6):
            end = _run(layout, PIECE, state).end
            busy = {
                name: (count.ended - state.counters.stations[name].ended)
                * layout.recipes[0].cycle
                / PIECE
                for name, count in end.counters.stations.items()
            }
            main = [share for name, share in busy.items() if rows[name] not in make_up]
            rest = [share for name, share in busy.items() if rows[name] in make_up]
            yield begin, str(60 + piece * PIECE), _mean(main), _mean(rest)
            state = end


def _mean(shares: list[Fraction]) -> str:
    return _percent(sum(shares, Fraction(0)) / len(shares))


def _collectors() -> Iterable[tuple[str, ...]]:
    from tests.layouts.build import Build

    for inlets in (4, 9):
        for fill in (Fraction(8, 10), Fraction(9, 10), Fraction(1)):
            build = Build("A", stack=1)
            build.belt("collector", 10 * inlets, role="collector")
            build.drain("collector")
            for number in range(inlets):
                belt = build.belt(f"feed {number}", 12, role="output")
                build.source(belt, rate=fill / inlets)
                build.side_merge(belt, "collector", 10 * number + 5)
            layout = build.layout()
            warm = _run(layout, Fraction(2000), None, "empty").end
            end = _run(layout, Fraction(9000), warm).end
            passed = [
                end.counters.sources[f"feed {n} source"].carriers
                - warm.counters.sources[f"feed {n} source"].carriers
                for n in range(inlets)
            ]
            due = fill / inlets * 9000
            yield (
                str(inlets), _percent(fill), _percent(sum(passed) / (due * inlets)),
                _percent(min(passed) / due),
            )  # fmt: skip


def _drained() -> Iterable[tuple[str, ...]]:
    for stations in (12, 18, 24, 30, 36):
        project = read_project(EXAMPLES / "filter-kits.yaml")
        demand = {"kit": Fraction(stations, 20)}
        edits = Change((Edit(("choices", "gate"), "drained"), Edit(("choices", "row"), stations)))
        layout = _placed(changed(project.model_copy(update={"demand": demand}), edits))
        gate, ring = layout.gates[0], find_rings(layout)[0]
        use = sum(
            Fraction(need.amount, dict(ring.stacks)[need.material])
            for need in ring.drawers[0].needs
        )
        load = use * stations / (ring.drawers[0].cycle * (ring.speed or 1))
        warm = _run(layout, Fraction(1200)).end
        end = _run(layout, Fraction(3600), warm).end
        made = sum(
            count.ended - warm.counters.stations[name].ended
            for name, count in end.counters.stations.items()
        )
        waste = next(drain.name for drain in layout.drains if drain.purpose == "waste")
        before, after = (one.counters.drains[waste].units for one in (warm, end))
        gone = sum(after.values()) - sum(before.values())
        came = sum(
            count.units - warm.counters.sources[name].units
            for name, count in end.counters.sources.items()
        )
        yield (
            str(stations), _percent(load), str(len(gate.pattern)),
            str(gate.pattern.count(gate.main or "")),
            _percent(Fraction(made * 20, 3600 * stations)), _percent(Fraction(gone, came)),
        )  # fmt: skip


def _percent(share: Fraction) -> str:
    return f"{float(share) * 100:.1f} %"


if __name__ == "__main__":
    main()
