"""What is done to a layout in one run."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from loopwright.layout.layout import Layout
from loopwright.simulate.disturbance import NO_DISTURBANCES, Disturbances
from loopwright.simulate.mishap import disturbances_of

if TYPE_CHECKING:
    from loopwright.model import Project
    from loopwright.model.scenario import Scenario as Entry


@dataclass(frozen=True, slots=True)
class Outage:
    """The source named `source` gives nothing for `span` [s] from `start` [s] on."""

    source: str
    start: Fraction
    span: Fraction


@dataclass(frozen=True, slots=True)
class Scenario:
    """Start state, length and disturbances of a run.

    `start` is empty or primed; `span` [s] is the whole run, of which the first `warm_up` [s] is
    left out of the readings; `bin` [s] is the width of the rate series. With `find_warm_up` the
    warm-up is found from the rate series when the run is over, and `warm_up` says nothing before.
    `seed` is what everything at random is drawn from; `disturbances` is all that goes wrong besides
    outages.
    """

    name: str
    start: str
    span: Fraction
    warm_up: Fraction
    bin: Fraction
    outages: tuple[Outage, ...] = ()
    find_warm_up: bool = False
    seed: int = 0
    disturbances: Disturbances = NO_DISTURBANCES


def project_scenario(project: Project, name: str, layout: Layout) -> Scenario:
    """The scenario `name` of `project` for `layout`: an outage of a material stops all its docks.

    Raises
    ------
    KeyError
        The project has no such scenario.
    """
    return laid_scenario(project.scenarios[name], name, layout)


def laid_scenario(entry: Entry, name: str, layout: Layout) -> Scenario:
    """As `project_scenario`, of an `entry` that may differ from the one in the project."""
    outages = [
        Outage(source.name, outage.at, outage.span)
        for outage in entry.outages
        for source in layout.sources
        if source.material == outage.material
    ]
    find = entry.warm_up == "auto"
    warm_up = Fraction(0) if isinstance(entry.warm_up, str) else entry.warm_up
    return Scenario(
        name,
        entry.start,
        entry.span,
        warm_up,
        entry.bin,
        tuple(outages),
        find,
        entry.seed,
        disturbances_of(entry.mishaps, layout),
    )
