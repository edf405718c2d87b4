"""What a design takes and what it makes: counted in the drawing, and measured in runs of it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from loopwright.compare.stress.case import CALM, Case
from loopwright.compare.stress.measure import measure_case
from loopwright.layout import Design
from loopwright.layout.footprint import built_box, occupied_cells
from loopwright.layout.inventory import list_parts, total_effort, total_power
from loopwright.layout.layout import Layout
from loopwright.layout.route.bridge import bridges_of
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario

WASTE_SPAN = Fraction(1200)
"""For so long a row is left alone, and then what it drains is counted [s]."""


@dataclass(frozen=True, slots=True)
class Price:
    """What a design takes: devices, belt `cells`, the cells of the smallest box round it
    (`floor`), effort and power [kW] of all that stands there, as far as the catalogue says; the
    undisturbed `rate`, as a share of what its stations can make; and `waste`, what goes to drains
    of leftovers, as a share of the units that come in."""

    stations: int
    pickers: int
    gates: int
    rows: int
    cells: int
    bridges: int
    docks: int
    floor: int
    effort: Fraction
    power: Fraction
    rate: Fraction
    waste: Fraction


def price_design(design: Design) -> Price:
    """Count what stands in `design`, and run it."""
    layout, sections = design.layout, design.sections
    parts = list_parts(design.project, design.block, layout)
    box = built_box(occupied_cells(layout))
    return Price(
        stations=len(layout.stations),
        pickers=len(layout.pickers),
        gates=len(layout.gates),
        rows=sum(len(block.rows) for block in sections),
        cells=sum(len(belt.path) for belt in layout.belts),
        bridges=sum(len(bridges_of(belt.path)) for belt in layout.belts),
        docks=len(layout.sources) + len(layout.drains),
        floor=box.width * box.height,
        effort=total_effort(parts),
        power=total_power(parts),
        rate=measure_case(layout, Case(CALM)).after,
        waste=_waste(layout),
    )


def _waste(layout: Layout) -> Fraction:
    """Units that go to drains of leftovers over units that come in, undisturbed from primed."""
    drains = [drain.name for drain in layout.drains if drain.purpose == "waste"]
    if not drains:
        return Fraction(0)
    settled = simulate_layout(layout, _calm(WASTE_SPAN)).end
    end = simulate_layout(layout, _calm(WASTE_SPAN), start=settled).end
    before, after = settled.counters, end.counters
    gone = sum(
        sum(after.drains[name].units.values()) - sum(before.drains[name].units.values())
        for name in drains
    )
    came = sum(count.units - before.sources[name].units for name, count in after.sources.items())
    return Fraction(gone, came) if came else Fraction(0)


def _calm(span: Fraction) -> Scenario:
    return Scenario("calm", "primed", span, Fraction(0), span)
