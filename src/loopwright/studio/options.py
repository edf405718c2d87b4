"""What each kind of job may be told. What is left out has a default."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from loopwright.compare.study import read_axis
from loopwright.model.field import quantity
from loopwright.studio.message import JobKind, Message

Gate = Literal["open", "ratio-locked", "counted", "windowed", "scarcest-first", "drained", "sorted"]
Name = Annotated[str, Field(max_length=80)]
Span = Annotated[Fraction, quantity("s", above=0, most=3_600_000)]
Moment = Annotated[Fraction, quantity("s", least=0, most=3_600_000)]
Share = Annotated[Fraction, quantity(above=0, most=1)]
Hours = Annotated[Fraction, quantity(above=0, most=1000)]


def _axis(text: str) -> str:
    read_axis(text)
    return text


Varying = Annotated[str, Field(max_length=2000), AfterValidator(_axis)]
"""A key and its values, such as "row=24,36"."""


class NoOptions(Message):
    """Nothing to be told: remedy, dxf."""


class ProveOptions(Message):
    """Another `gate` to be tried in place of the file's; null: that of the file."""

    gate: Gate | None = None


class RecoverOptions(ProveOptions):
    """`scenario` that is run until a loop stands; null: the jams that are found. `purge` carriers
    are taken off; null: as many as is usual."""

    scenario: Name | None = None
    purge: int | None = Field(default=None, ge=1, le=100_000)


class StressOptions(ProveOptions):
    """What is tried; of an empty list the usual: outages ("2 min"), shares that are still supplied
    ("0.8"), shares of picks that are missed, spreads of cycles."""

    outages: tuple[Span, ...] = Field(default=(), max_length=20)
    shortages: tuple[Share, ...] = Field(default=(), max_length=20)
    missed: tuple[Share, ...] = Field(default=(), max_length=20)
    spreads: tuple[Share, ...] = Field(default=(), max_length=20)


class CompareOptions(Message):
    """Keys that vary, each with its values: all combinations; none: every architecture."""

    vary: tuple[Varying, ...] = Field(default=(), max_length=10)


class SimulateOptions(Message):
    """Scenarios to be run, all where none is named; `hours` instead of their own length; seeds from
    `seed` on, or each scenario's own."""

    scenarios: tuple[Name, ...] = Field(default=(), max_length=100)
    hours: Hours | None = None
    replications: int = Field(default=1, ge=1, le=100)
    seed: int | None = Field(default=None, ge=0, le=2**32 - 1)


class ReportOptions(Message):
    """Scenarios that are run for the report, all where none is named."""

    scenarios: tuple[Name, ...] = Field(default=(), max_length=100)


class SheetOptions(Message):
    """Paper and colour of sheets: pdf, png, and of svg the colour."""

    paper: Literal["A3", "A4"] = "A3"
    theme: Literal["light", "dark"] = "light"


class TablesOptions(Message):
    """Tables of one run; null: the first scenario. `hours` as for runs."""

    scenario: Name | None = None
    hours: Hours | None = None
    format: Literal["csv", "parquet", "xlsx"] = "csv"


class TraceOptions(Message):
    """What is on every cell of a run from its start on, a frame `every` so often; null: the first
    scenario."""

    scenario: Name | None = None
    span: Span = Fraction(600)
    every: Annotated[Fraction, quantity("s", above=0, most=3600)] = Fraction(1, 10)


class FilmOptions(Message):
    """A film of the floor: the run from `start` on for `span`, `speed` seconds of the plant in a
    second of the film. `width` in pixels."""

    scenario: Name | None = None
    start: Moment = Fraction(0)
    span: Span = Fraction(20)
    speed: float = Field(default=4, ge=0.1, le=1000)
    format: Literal["mp4", "webp", "gif", "apng"] = "webp"
    caption: str = Field(default="", max_length=200)
    width: int = Field(default=960, ge=320, le=1920)
    theme: Literal["light", "dark"] = "light"


OPTIONS: dict[JobKind, type[Message]] = {
    "prove": ProveOptions,
    "recover": RecoverOptions,
    "remedy": NoOptions,
    "stress": StressOptions,
    "compare": CompareOptions,
    "simulate": SimulateOptions,
    "report": ReportOptions,
    "pdf": SheetOptions,
    "dxf": NoOptions,
    "svg": SheetOptions,
    "png": SheetOptions,
    "tables": TablesOptions,
    "trace": TraceOptions,
    "film": FilmOptions,
}
"""Options of each kind."""
