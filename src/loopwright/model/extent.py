"""Sizes and times that must fit into each other."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from loopwright.exact import format_fraction, format_rate
from loopwright.finding import Finding, new_finding
from loopwright.grid import Box
from loopwright.model.equipment import Station
from loopwright.model.field import Whole
from loopwright.model.outline import Outline
from loopwright.model.scenario import Scenario
from loopwright.model.site import AT, Site, cell_of
from loopwright.model.source import Step


def check_extents(outline: Outline) -> list[Finding]:
    """Obstacles and stations against the site, least against most, times against the run."""
    found = [*_obstacles(outline), *_docks(outline), *_stations(outline), *_rates(outline)]
    return [*found, *_scenarios(outline)]


def _site(outline: Outline, side: str) -> int | None:
    """A measure of the site; None where it is faulty or outside its range."""
    field = Site.model_fields[side]
    number = outline.whole(field.default, "site", side)
    ranges = [rule for rule in field.metadata if isinstance(rule, Whole)]
    fits = number is not None and all(rule.least <= number <= rule.most for rule in ranges)
    return number if fits else None


def _obstacles(outline: Outline) -> Iterator[Finding]:
    for index in range(outline.count("site", "obstacles")):
        path = ("site", "obstacles", index)
        for start, side in (("x", "width"), ("y", "height")):
            first, length = outline.whole(0, *path, start), outline.whole(1, *path, side)
            room = _site(outline, side)
            if first is None or length is None or room is None or first + length <= room:
                continue
            key = start if first >= room else side
            message = f"the obstacle ends at cell {first + length - 1}, outside the site"
            allowed = f"{start} + {side} of at most {room}"
            place, value = outline.place(*path, key), outline.text(*path, key)
            yield new_finding("LW142", message, place, value=value, allowed=allowed)


def _docks(outline: Outline) -> Iterator[Finding]:
    width, height = _site(outline, "width"), _site(outline, "height")
    for kind in ("docks", "deposits", "outgoing"):
        for index in range(outline.count("site", kind)):
            path = ("site", kind, index, "at")
            text = outline.text(*path) or ""
            if width is None or height is None or not AT.fullmatch(text):
                continue
            cell = cell_of(text)
            if cell is not None and not Box(0, 0, width, height).holds(cell):
                message = f"the cell {text} lies outside the site"
                allowed = f"0,0 to {width - 1},{height - 1}"
                yield new_finding(
                    "LW142", message, outline.place(*path), value=text, allowed=allowed
                )


def _stations(outline: Outline) -> Iterator[Finding]:
    margin = _site(outline, "margin")
    for station in outline.keys("equipment", "stations"):
        path = ("equipment", "stations", station)
        for side in ("width", "height"):
            default: int = Station.model_fields[side].default
            length, room = outline.whole(default, *path, side), _site(outline, side)
            if length is None or room is None or margin is None or length < 1:
                continue
            if length > room - 2 * margin:
                message = f"a station of {side} {length} does not fit between the margins"
                free = max(0, room - 2 * margin)
                allowed = f"at most {free}: site {room} less twice the margin {margin}"
                place = outline.place(*path, side)
                yield new_finding("LW143", message, place, value=str(length), allowed=allowed)


def _rates(outline: Outline) -> Iterator[Finding]:
    for name in outline.keys("processes"):
        path = ("processes", name)
        least = outline.rate(*path, "least")
        most = outline.rate(*path, "most")
        if least is not None and most is not None and least > most:
            message = "the least rate is above the most"
            place, value = outline.place(*path, "least"), outline.text(*path, "least")
            allowed = f"at most {format_rate(most)}"
            yield new_finding("LW145", message, place, value=value, allowed=allowed)


def _scenarios(outline: Outline) -> Iterator[Finding]:
    for name in outline.keys("scenarios"):
        path = ("scenarios", name)
        span = outline.span(Scenario.model_fields["span"].default, *path, "span")
        if span is None or span <= 0:
            continue
        limit = f"less than the span of {_seconds(span)}"
        warm_up = outline.span(Fraction(0), *path, "warm_up")
        if warm_up is not None and warm_up >= span:
            yield _time("LW141", "nothing is left to read after the warm-up", limit, outline, path)
        width = outline.span(Fraction(0), *path, "bin")
        if width is not None and width > span:
            allowed = f"at most the span of {_seconds(span)}"
            place, value = outline.place(*path, "bin"), outline.text(*path, "bin")
            message = "a step of the series is longer than the run"
            yield new_finding("LW116", message, place, value=value, allowed=allowed)
        for index in range(outline.count(*path, "outages")):
            moment = (*path, "outages", index, "at")
            start = outline.span(Fraction(0), *moment)
            if start is not None and start >= span:
                message = "the outage starts when the run is over"
                place, value = outline.place(*moment), outline.text(*moment)
                yield new_finding("LW152", message, place, value=value, allowed=limit)


def _time(
    code: str, message: str, allowed: str, outline: Outline, path: tuple[Step, ...]
) -> Finding:
    place, value = outline.place(*path, "warm_up"), outline.text(*path, "warm_up")
    return new_finding(code, message, place, value=value, allowed=allowed)


def _seconds(span: Fraction) -> str:
    return f"{format_fraction(span)} s"
