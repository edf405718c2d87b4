"""What the architectures ask of rows.

plain: a belt and a picker for each material. loop: one mixed lane a row, whose end returns to its
head. pass: mixed lanes that go past one row each; make-up rows live on what they leave over.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from loopwright.block.block import RowDesign
from loopwright.block.group import is_even
from loopwright.block.mixer import Mixer
from loopwright.block.mixing import MIXER, lane_mixer
from loopwright.block.rows import Bounds, closed_designs, equal_designs, open_designs
from loopwright.block.task import Task, whole_stations
from loopwright.model import Project

SURPLUS_SINGLE = Fraction(1, 20)
"""Capacity of a loop's lane beyond need, where carriers hold one unit."""

SURPLUS_STACKED = Fraction(1, 10)
"""The same where carriers hold several units: they come back part-used."""

NEAR = Fraction(1, 20)
"""Share of needless stations up to which a closed design is better than an open one."""

ROW_ENDS = 16
"""Cells that a row takes on the site beside its stations: dock and head, tail and outlet."""

SIDING_ENDS = 2
"""Cells by which each siding makes the head of a row longer."""

MIXED_KINDS = (2, 3)
"""Numbers of input materials for which a mixed lane is the first choice."""


@dataclass(frozen=True, slots=True)
class Frame:
    """One architecture on one or two sides: `capacity` of a lane, and what rows must keep to.
    `mixer` mixes what is fresh before lanes; None: a gate does, or nothing is mixed."""

    architecture: str
    sides: str
    capacity: Fraction
    surplus: Fraction
    bounds: Bounds
    mixer: Mixer | None

    @property
    def net_rate(self) -> Fraction:
        """What comes fresh to a lane at most [of a belt]."""
        return Fraction(1) if self.mixer is None else self.mixer.net_rate


def frame_of(task: Task, project: Project, architecture: str, sides: str) -> Frame:
    """The terms on which `architecture` builds rows for `task`.

    Raises
    ------
    DesignError
        LW436: a mixer is asked for, and cannot mix what this architecture takes.
    """
    surplus = Fraction(0)
    mixer = lane_mixer(architecture, task, project)
    lane = task.mixed if mixer is None else task.mixed * mixer.net_rate
    if architecture == "plain":
        lane = min(task.capacities.values(), default=task.output)
    elif architecture == "loop":
        surplus = _surplus(task, project)
    row = project.choices.row
    longest = int(lane / (1 + surplus))
    if row == "auto":
        longest = min(longest, _site_row(task, project, mixer, architecture))
    bounds = Bounds(
        longest=longest,
        output=task.output,
        double=sides == "double",
        row=None if row == "auto" else row,
        most=task.most,
    )
    return Frame(architecture, sides, lane, surplus, bounds, mixer)


def row_designs(frame: Frame, task: Task) -> tuple[RowDesign, ...]:
    """All designs of `frame` for `task`, best first; empty where none works.

    Of a pass, closed designs with hardly any needless stations stand first, then open ones; those
    whose make-up rows do not get the same number of lanes stand last.
    """
    if frame.architecture != "pass":
        return equal_designs(frame.capacity, task.needed, frame.bounds)
    most = 2 * whole_stations(task)
    if frame.bounds.most is not None:
        most = min(most, frame.bounds.most)
    closed = [
        design
        for design in closed_designs(frame.capacity, task.needed, replace(frame.bounds, most=most))
        if design.make_up
    ]
    near = [design for design in closed if design.stations - task.needed <= NEAR * task.needed]
    left = open_designs(frame.capacity, task.needed, frame.bounds)
    found = dict.fromkeys((*near, *left, *closed))
    return tuple(sorted(found, key=lambda design: not is_even(design)))


def mixes(task: Task) -> bool:
    """Whether there is anything to mix: two input materials or more."""
    return len(task.inputs) > 1


def preference(task: Task) -> tuple[str, ...]:
    """Architectures that `task` allows, the first choice first."""
    if not mixes(task):
        return ("plain",)
    if len(task.inputs) in MIXED_KINDS:
        return ("loop", "pass", "plain")
    return ("plain", "loop", "pass")


def gate_of(architecture: str, project: Project) -> str:
    """The rule of the gates of loops: of each loop, or of a pass's make-up rows.

    The fresh mix of a pass is ratio-locked in any case, and a plain block has no gates. A mixer
    does not wait for a lane that is empty, so what is behind it is drained.
    """
    if architecture == "plain":
        return "open"
    gate = project.choices.gate
    if gate == "auto" and project.choices.mix == MIXER:
        return "drained"
    return "scarcest-first" if gate == "auto" else gate


def _site_row(task: Task, project: Project, mixer: Mixer | None, architecture: str) -> int:
    """Stations of a row that the width of the site has room for; at least one."""
    site = project.site
    cells = site.width - 2 * site.margin - ROW_ENDS - (0 if mixer is None else mixer.columns)
    if architecture == "loop" and project.choices.gate == "sorted":
        cells -= SIDING_ENDS * len(task.inputs)
    return max(1, cells // project.equipment.stations[task.station].width)


def _surplus(task: Task, project: Project) -> Fraction:
    chosen = project.choices.surplus
    if chosen != "auto":
        return chosen
    return SURPLUS_STACKED if task.stacked else SURPLUS_SINGLE
