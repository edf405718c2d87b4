"""Small sites at random: each is either refused with findings, or placed, legal and running.

A sample; `verification/sites.py` draws 300 and tells what became of them. More of them here with
`SITES=300 make test TESTS=tests/layout/test_sites.py`.
"""

from __future__ import annotations

import os
from fractions import Fraction

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from loopwright.finding import DesignError, Severity
from loopwright.layout import (
    check_layout,
    layout_document,
    layout_from_document,
    layout_map,
    place_project,
)
from loopwright.layout.route.bound import count_belts
from loopwright.layout.route.bridge import bridges_of
from loopwright.model.site import Outgoing
from loopwright.plan import solve_plan
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from tests.layout.plants import plants
from tests.layout.sites import sites

SITES = int(os.environ.get("SITES", "60"))
SETTINGS = settings(max_examples=SITES, deadline=None, suppress_health_check=list(HealthCheck))


def hold(project):
    """The layout, None where it is refused. Units are audited by every run, so a run that ends
    conserves them."""
    try:
        layout = place_project(solve_plan(project), project).layout
    except DesignError as error:
        layout, refused = None, error.findings
    else:
        refused = ()
        assert not [f for f in check_layout(layout) if f.severity is Severity.ERROR]
        span = project.equipment.junctions.bridge.span
        assert all(b - a < span for belt in layout.belts for a, b in bridges_of(belt.path))
        count = count_belts(layout)
        assert 0 < count.bound <= count.cells
        assert "!" not in layout_map(layout).split("key:")[0]
        assert layout_from_document(layout_document(layout)) == layout
        run = simulate_layout(
            layout, Scenario("short", "primed", Fraction(30), Fraction(10), Fraction(10))
        )
        assert run.ended == "span"
    assert all(finding.code.startswith("LW") for finding in refused)
    return layout


@given(sites())
@SETTINGS
def test_every_small_site_is_placed_and_runs_or_is_refused(project):
    hold(project)


@given(plants(), st.data())
@settings(SETTINGS, max_examples=max(1, SITES // 3))
def test_things_leave_and_rows_flow_as_the_project_says_or_it_is_refused(project, data):
    width, height = project.site.width, project.site.height
    docks = []
    for material in project.demand:
        x, y = data.draw(st.integers(0, width - 1)), data.draw(st.integers(0, height - 1))
        at = data.draw(st.sampled_from(("", f"0,{y}", f"{x},0", f"{width - 1},{y}", f"{x},{y}")))
        side = data.draw(st.sampled_from(("auto", "north", "east", "south", "west")))
        docks.append(Outgoing(material=material, at=at, side="auto" if at else side))
    flows = tuple(data.draw(st.lists(st.sampled_from(("auto", "east", "west")), max_size=3)))
    site = project.site.model_copy(update={"outgoing": tuple(docks)})
    choices = project.choices.model_copy(update={"row_flows": flows})
    project = project.model_copy(update={"site": site, "choices": choices})
    layout = hold(project)
    if layout is not None:
        corners = {dock.at for dock in docks if dock.at}
        assert corners <= {f"{drain.at.x},{drain.at.y}" for drain in layout.drains}


@given(plants())
@settings(SETTINGS, max_examples=max(1, SITES // 3))
def test_every_small_plant_is_placed_and_runs_or_is_refused(project):
    hold(project)
