"""Small sites at random: each is either refused with findings, or placed, legal and running.

A sample; `verification/sites.py` draws 300 and tells what became of them. More of them here with
`SITES=300 make test TESTS=tests/layout/test_sites.py`.
"""

from __future__ import annotations

import os
from fractions import Fraction

from hypothesis import HealthCheck, given, settings

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
from loopwright.plan import solve_plan
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from tests.layout.plants import plants
from tests.layout.sites import sites

SITES = int(os.environ.get("SITES", "60"))
SETTINGS = settings(max_examples=SITES, deadline=None, suppress_health_check=list(HealthCheck))


def hold(project):
    """Units are audited by every run, so a run that ends conserves them."""
    try:
        layout = place_project(solve_plan(project), project).layout
    except DesignError as error:
        refused = error.findings
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


@given(sites())
@SETTINGS
def test_every_small_site_is_placed_and_runs_or_is_refused(project):
    hold(project)


@given(plants())
@settings(SETTINGS, max_examples=max(1, SITES // 3))
def test_every_small_plant_is_placed_and_runs_or_is_refused(project):
    hold(project)
