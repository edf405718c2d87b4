"""Blocks with mixers in runs: which of them keep their rate, from which start, and after an outage.

Run as `python -m verification.mixers > verification/mixers.txt`. Takes some minutes.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from loopwright.compare.change import Change, Edit, changed
from loopwright.finding import DesignError
from loopwright.layout.design import design_project
from loopwright.layout.layout import Layout
from loopwright.model import Project, read_project
from loopwright.prove import prove_loops
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.state import State

FILE = Path(__file__).parents[1] / "examples" / "filter-kits.yaml"
MATERIALS = ("candle", "seal", "tap")
RATE = Fraction(3, 5)
HOUR = Fraction(3600)
STOP = Fraction(300)
SUPPLIES = {"docks": ("supply", "docks"), "trunks": ("supply", "trunks"), "site": ("scope", "site")}
BUILT = (
    ("loop", "mixer", "drained"),
    ("loop", "mixer", "open"),
    ("pass", "mixer", "drained"),
    ("pass", "mixer", "open"),
    ("loop", "gate", "drained"),
    ("loop", "gate", "scarcest-first"),
    ("pass", "gate", "drained"),
    ("pass", "gate", "open"),
)


def main() -> None:
    """One table: kits of the second hour, of those planned."""
    print("Kits of an hour, of 3/5 a second, carriers of one unit; in the outage the first input")
    print("stops for 300 s after an hour from primed, and the hour is the one after")
    heads = ("ratio", "built", "supply", "net rate", "empty", "primed", "outage", "verdicts")
    print("  ".join(head.ljust(width) for head, width in zip(heads, WIDTHS, strict=True)).rstrip())
    for row in _rows():
        print("  ".join(c.ljust(width) for c, width in zip(row, WIDTHS, strict=True)).rstrip())


WIDTHS = (6, 24, 6, 8, 7, 7, 7, 8)


def _rows() -> Iterator[tuple[str, ...]]:
    for ratio in ("2:1:3", "3:2", "7:5:1", "13:9"):
        for built in BUILT:
            for supply in SUPPLIES:
                name = " ".join(word for word in built if word != "auto")
                try:
                    design = design_project(_project(ratio, built, supply))
                except DesignError as error:
                    yield ratio, name, supply, error.findings[0].code, "", "", "", ""
                    continue
                layout = design.layout
                empty = _share(layout, _run(layout, HOUR, "empty"))
                start = _run(layout, HOUR, "primed")
                found = prove_loops(layout, runs=False) if supply != "site" else ()
                yield (
                    *(ratio, name, supply, str(design.block.net_rate)),
                    *(empty, _share(layout, start), _share(layout, _stopped(layout, start))),
                    f"{sum(v.outcome == 'proved' for v in found)}/{len(found)}" if found else "",
                )


def _project(ratio: str, built: tuple[str, str, str], supply: str) -> Project:
    project = read_project(FILE)
    amounts = dict(zip(MATERIALS, map(int, ratio.split(":")), strict=False))
    architecture, mix, gate = built
    key, value = SUPPLIES[supply]
    short = architecture == "loop" and sum(amounts.values()) < 14
    choices = {"architecture": architecture, "mix": mix, "gate": gate, key: value}
    choices["row"] = 4 if short else "auto"
    edits = [Edit(("materials", name, "stack"), 1) for name in MATERIALS]
    edits.append(Edit(("site", "height"), 64))
    project = changed(project, Change(tuple(edits)))
    process = project.processes["pack-kit"].model_copy(update={"inputs": amounts})
    return project.model_copy(
        update={
            "demand": {"kit": RATE},
            "choices": project.choices.model_copy(update=choices),
            "processes": {**project.processes, "pack-kit": process},
        }
    )


def _run(
    layout: Layout, span: Fraction, begin: str = "empty", start: State | None = None,
    outages: tuple[Outage, ...] = (),
) -> State:  # fmt: skip
    scenario = Scenario("mixers", begin, span, Fraction(0), span, outages)
    return simulate_layout(layout, scenario, start=start).end


def _stopped(layout: Layout, start: State) -> State:
    """Half an hour later, the docks of the first input having stopped."""
    docks = [source.name for source in layout.sources if source.material in ("candle", "clay")]
    outages = tuple(Outage(dock, HOUR, STOP) for dock in docks)
    return _run(layout, HOUR / 2, start=start, outages=outages)


def _share(layout: Layout, state: State) -> str:
    """Kits of the hour that follows, of those planned."""
    packers = {station.name for station in layout.stations if station.recipe == "pack-kit"}
    after = _run(layout, HOUR, start=state)
    made = sum(
        after.counters.stations[name].ended - state.counters.stations[name].ended
        for name in packers
    )
    return f"{float(made / (RATE * HOUR)):.1%}"


if __name__ == "__main__":
    main()
