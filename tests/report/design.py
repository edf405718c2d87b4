"""A small design with runs, for the tests of the report."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from html.parser import HTMLParser
from typing import Any

from loopwright.block import Block, size_block
from loopwright.finding import Finding, Place, new_finding
from loopwright.layout.layout import Layout
from loopwright.layout.place import place_layout
from loopwright.model import Project
from loopwright.plan import Plan, solve_plan
from loopwright.report import report_text
from loopwright.simulate.run import Run
from loopwright.simulate.scenario import Outage, Scenario
from tests.simulate.recorded import recorded

PROJECT: dict[str, Any] = {
    "project": {"format": 1, "name": "Small block", "about": "Kits of two parts."},
    "materials": {
        "lid": {"title": "Lid", "stack": 2},
        "tub": {"title": "Tub", "stack": 2},
        "kit": {"title": "Kit", "stack": 1},
    },
    "processes": {
        "pack": {
            "title": "Packing",
            "station": "packer",
            "cycle": "4 s",
            "inputs": {"lid": 1, "tub": 2},
            "outputs": {"kit": 1},
        }
    },
    "equipment": {
        "stations": {"packer": {"title": "Packer", "power": "3 kW", "effort": "10"}},
        "belts": {"lane": {"title": "Lane belt", "speed": "2 carriers/s", "power": "0.1 kW"}},
        "pickers": {"arm": {"title": "Arm", "swing": "1/2 s", "power": "1/4 kW", "reach": 2}},
    },
    "demand": {"kit": "1/s"},
}


@dataclass(frozen=True)
class Design:
    """All that a report is made from."""

    project: Project
    plan: Plan
    block: Block
    layout: Layout
    runs: tuple[Run, ...]
    findings: tuple[Finding, ...]

    def text(self) -> str:
        """The report."""
        return report_text(
            self.project, self.plan, self.block, self.layout, self.runs, self.findings
        )


def make_design(data: dict[str, Any], scenarios: Sequence[str] = ("steady", "outage")) -> Design:
    """The design of the project `data`, with a run for each of the named scenarios."""
    project = Project.model_validate(data)
    plan = solve_plan(project)
    block = size_block(plan, project)
    layout = place_layout(block, project)
    stops = tuple(
        Outage(source.name, Fraction(40), Fraction(20))
        for source in layout.sources
        if source.material == "lid"
    )
    runs = []
    for name in scenarios:
        outages = stops if name != "steady" else ()
        plan_of_run = Scenario(name, "empty", Fraction(90), Fraction(30), Fraction(4), outages)
        runs.append(recorded(layout, plan_of_run)[0])
    findings = (
        new_finding("LW505", "short"),
        new_finding(
            "LW504",
            "the outage costs too much",
            Place(file="a.yaml", line=3, column=1, path="scenarios.outage", device="row 1 lane"),
            value="0.8/s",
            allowed="1/s",
        ),
    )
    return Design(project, plan, block, layout, tuple(runs), findings)


@cache
def small_design() -> Design:
    """The design of `PROJECT`."""
    return make_design(PROJECT)


VOID = {"meta", "br", "hr", "wbr", "link", "img", "input"}


class Page(HTMLParser):
    """A page taken apart; a tag that is not closed in its place is an error."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.words: list[tuple[str, str]] = []
        self.feed(text)
        self.close()
        assert not self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert len(dict(attrs)) == len(attrs), f"an attribute twice: {attrs}"
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append((self.open[-1] if self.open else "", data))

    @property
    def text(self) -> str:
        """All that a reader reads, tooltips too."""
        return "\n".join(
            data for tag, data in self.words if tag not in ("style", "script") and data.strip()
        )

    def all(self, tag: str) -> list[dict[str, str | None]]:
        """Attributes of every element of that kind."""
        return [attrs for name, attrs in self.tags if name == tag]
