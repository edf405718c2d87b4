"""What a stress test will try: told before it is begun."""

from __future__ import annotations

from pydantic import Field
from starlette.routing import Route

from loopwright.compare.stress.case import MISSED, OUTAGES, SHORTAGES, SPREADS, Case, stress_cases
from loopwright.layout.layout import Layout
from loopwright.simulate.reading.document import plain
from loopwright.studio.answer import answers_to
from loopwright.studio.desk import Desk
from loopwright.studio.gated import lay_gated
from loopwright.studio.message import Message
from loopwright.studio.options import StressOptions


class AskCases(Message):
    """What would be tried on the layout of a text."""

    file: str
    text: str = Field(max_length=2_000_000)
    options: StressOptions = StressOptions()


class StressCase(Message):
    """One thing that is done: `span` [s] and `share` exact."""

    kind: str
    material: str
    span: str
    share: str


class Cases(Message):
    """All of it, in the order of the rows to come."""

    cases: tuple[StressCase, ...]


def chosen_cases(layout: Layout, options: StressOptions) -> tuple[Case, ...]:
    """The battery of `options`; the usual levels where none are told."""
    return stress_cases(
        layout,
        options.outages or OUTAGES,
        options.shortages or SHORTAGES,
        options.missed or MISSED,
        options.spreads or SPREADS,
    )


def _cases(desk: Desk, _parts: dict[str, str], asked: AskCases) -> Cases:
    laid = lay_gated(desk.drafts, desk.folder, asked.file, asked.text, asked.options.gate)
    told = [plain(case) for case in chosen_cases(laid.layout, asked.options)]
    return Cases(cases=tuple(StressCase(**case) for case in told))


ROUTES = (Route("/api/cases", answers_to(AskCases, _cases), methods=["POST"]),)
