"""Small projects with a treatment at random: refused with findings, or placed, legal, running.

More of them with `SITES=300 make test TESTS=tests/layout/test_treated.py`.
"""

from __future__ import annotations

import os
from fractions import Fraction

from hypothesis import HealthCheck, given, settings

from loopwright.finding import DesignError
from loopwright.layout import (
    check_layout,
    layout_document,
    layout_from_document,
    layout_map,
    place_project,
)
from loopwright.layout.layout import Applicator, Layout
from loopwright.layout.treatment.marks import taken_marks
from loopwright.model import Project
from loopwright.plan import solve_plan
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from tests.layout.treated import treated

SITES = int(os.environ.get("SITES", "40"))
SETTINGS = settings(max_examples=SITES, deadline=None, suppress_health_check=list(HealthCheck))


def last_over(layout: Layout) -> list[Applicator]:
    """The last applicator over each belt."""
    last: dict[str, Applicator] = {}
    for one in sorted(layout.applicators, key=lambda one: one.index):
        last[one.belt] = one
    return list(last.values())


@given(treated())
@SETTINGS
def test_every_treated_project_is_placed_and_runs_or_is_refused(project: Project) -> None:
    """No last applicator of a line is ever too slow; where none lacks agent, every batch is marked.
    What is opened is what was spent, to the fraction."""
    plan = solve_plan(project)
    entry = plan.process("join")
    layout: Layout | None
    try:
        layout = place_project(plan, project).layout
    except DesignError as error:
        layout, refused = None, error.findings
    else:
        refused = ()
    assert all(finding.code.startswith("LW") for finding in refused)
    if layout is None:
        return
    assert bool(layout.applicators) == bool(entry.treatment)
    assert [f for f in check_layout(layout) if f.code not in ("LW415", "LW418")] == []
    assert "!" not in layout_map(layout).split("key:")[0]
    assert layout_from_document(layout_document(layout)) == layout
    assert all(set(found.values()) == {1} for found in taken_marks(layout).values())
    span = Fraction(40)
    run = simulate_layout(layout, Scenario("short", "primed", span, Fraction(0), span))
    count, tanks = run.end.counters.applicators, run.end.applicators
    for one in layout.applicators:
        spent = count[one.name].spent - tanks[one.name].left
        assert spent == one.dose * count[one.name].units
    last = [count[one.name] for one in last_over(layout)]
    assert not any(one.late for one in last)
    if entry.treatment and not any(one.dry for one in last):
        for station in layout.stations:
            ended = run.end.counters.stations[station.name]
            assert station.recipe != "join" or ended.ended == sum(ended.graded)
