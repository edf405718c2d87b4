"""An edited text map: what was moved in its legend, with a finding for what is not understood.

The legend is what counts; the picture shows what it says. A row moves as a whole when its corner
in the line `rows` is changed, and turns round when its direction there is; a device moves when its
own place is changed. What is not named stays where it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loopwright.finding import Finding, Place, new_finding
from loopwright.grid import Cell
from loopwright.layout.layout import Layout
from loopwright.layout.map import layout_map, plain_name
from loopwright.layout.move import Step, moved_layout, row_corners, row_headings
from loopwright.model.near import listed, nearest

_HEAD = re.compile(r"([a-z][a-z ]*): ")
_PLACE = re.compile(r" (-?[0-9]{1,6}),(-?[0-9]{1,6})(?:,([0-9]+))?(?= |$)")
_CORNER = re.compile(r" \(from (-?[0-9]{1,6}),(-?[0-9]{1,6})()\)")
_PICTURE = re.compile(r" *(-?[0-9]+) (.*)")

QUIET = ("materials", "side merges", "two things in one place", "key")
"""Lines of the legend in which nothing can be moved."""

Devices = Mapping[str, tuple[str, tuple[Cell, ...]]]
"""By name as shown: true name, and the places that the legend gives."""


@dataclass(frozen=True, slots=True)
class _Entry:
    """One entry of the legend; line and column count from 1."""

    kind: str
    text: str
    line: int
    column: int


def edited_layout(layout: Layout, text: str, file: str) -> tuple[Layout, tuple[Finding, ...]]:
    """`layout` with what the map `text` moves, and what in the map is not understood.

    `file` is the map's name in findings.

    Raises
    ------
    DesignError
        LW422: a belt finds no way from what was moved to what was not.
    """
    lines = text.splitlines()
    findings: list[Finding] = []
    places = _places(layout)
    steps: dict[str, dict[str, Step]] = {"rows": {}, "devices": {}}
    flows = row_headings(layout)
    turned: list[str] = []
    for entry in _entries(lines):
        if entry.kind in QUIET:
            continue
        if entry.kind not in places:
            message = f"the legend has no line {entry.kind!r}"
            findings.append(_finding("LW431", message, file, entry, listed([*places, *QUIET])))
            continue
        found = _step(entry, places[entry.kind])
        if isinstance(found, str):
            code, message, allowed = _words(entry, found, places[entry.kind])
            findings.append(_finding(code, message, file, entry, allowed))
            continue
        name, step = found
        if step != (0, 0):
            steps["rows" if entry.kind == "rows" else "devices"][name] = step
        if entry.kind == "rows":
            way = _way(entry)
            if way is None:
                message = f"no direction stands here: {entry.text[:60]!r}"
                findings.append(_finding("LW431", message, file, entry, "east or west"))
            elif way not in ("", flows[name].name.lower() if name in flows else ""):
                turned.append(name)
    moved = moved_layout(layout, steps["rows"], steps["devices"], turned)
    findings += _picture_findings(lines, layout, moved, file)
    return moved, tuple(findings)


def _finding(
    code: str, message: str, file: str, entry: _Entry, allowed: str | None = None
) -> Finding:
    place = Place(file=file, line=entry.line, column=entry.column)
    return new_finding(code, message, place, value=entry.text[:80], allowed=allowed)


def _places(layout: Layout) -> dict[str, Devices]:
    """For each line of the legend the devices by name as shown: true name, places as shown."""
    boxes = {
        "gates": [(d.name, d.box) for d in layout.gates],
        "stations": [(d.name, d.box) for d in layout.stations],
        "stores": [(d.name, d.box) for d in layout.stores],
    }
    spots = {
        "rows": list(row_corners(layout).items()),
        "docks": [(d.name, d.at) for d in layout.sources],
        "drains": [(d.name, d.at) for d in layout.drains],
        "merges": [(d.name, d.at) for d in layout.merges],
        "diverts": [(d.name, d.at) for d in layout.diverts],
        "pickers": [(d.name, d.at) for d in layout.pickers],
        "applicators": [(d.name, d.at) for d in layout.applicators],
        "power nodes": [(d.name, d.at) for d in layout.power_nodes],
        **{kind: [(name, Cell(box.x, box.y)) for name, box in own] for kind, own in boxes.items()},
    }
    belts = {plain_name(b.name): (b.name, (b.path[0], b.path[-1])) for b in layout.belts if b.path}
    found: dict[str, Devices] = {
        kind: {plain_name(name): (name, (cell,)) for name, cell in devices}
        for kind, devices in spots.items()
    }
    return {"belts": dict(belts), **found}


def _entries(lines: list[str]) -> Iterator[_Entry]:
    """Entries of the legend, which begins after the key; set-in lines go on with the one before."""
    start = next((n for n, line in enumerate(lines) if line.startswith("key: ")), None)
    if start is None:
        return
    kind = "key"
    for number in range(start + 1, len(lines)):
        line = lines[number]
        head = _HEAD.match(line)
        begin = len(line) - len(line.lstrip())
        if head is not None and not begin:
            kind, begin = head[1], head.end()
        elif not begin and line.strip():
            kind = "nothing"
        if kind == "key":
            continue
        column = begin
        for piece in line[begin:].split(";"):
            if piece.strip():
                at = column + len(piece) - len(piece.lstrip())
                yield _Entry(kind, piece.strip(), number + 1, at + 1)
            column += len(piece) + 1


def _step(entry: _Entry, known: Devices) -> tuple[str, Step] | str:
    """True name and step of an entry; or what is wrong: name, place or bend."""
    places = list(_PLACE.finditer(entry.text))
    if not places:
        return "place"
    for found in places:
        # a name may itself look as if a place stood in it
        head = entry.text[: found.start()]
        name = head if head in known else re.sub(r" \([^()]*\)$", "", head)
        if name not in known:
            continue
        true, cells = known[name]
        corner = _CORNER.search(entry.text, found.end())
        after = [corner] if corner else [p for p in places if p.start() >= found.start()]
        shown = [Cell(int(p[1]), int(p[2]), int(p[3] or 0)) for p in after]
        if len(shown) < len(cells):
            return "place"
        pairs = zip(shown, cells, strict=False)
        steps = {(s.x - c.x, s.y - c.y, s.level - c.level) for s, c in pairs}
        dx, dy, up = steps.pop()
        return (true, (dx, dy)) if not steps and not up else "bend"
    return "name"


def _way(entry: _Entry) -> str | None:
    """The direction behind the place of a row, empty where there is none; None: another word."""
    *_, place = _PLACE.finditer(entry.text)
    word = entry.text[place.end() :].strip()
    return word if word in ("", "east", "west") else None


def _words(entry: _Entry, fault: str, known: Devices) -> tuple[str, str, str | None]:
    """Code, message and what is allowed for an entry that is not understood."""
    if fault == "name":
        spot = _PLACE.search(entry.text)
        name = re.sub(r" \([^()]*\)$", "", entry.text[: spot.start() if spot else None])
        near = nearest(name, list(known))
        hint = f"; did you mean {near!r}?" if near else ""
        noun = entry.kind.removesuffix("s")
        return "LW432", f"there is no {noun} {name[:60]!r}{hint}", None
    if fault == "bend":
        return "LW431", "both ends of a belt move alike, on their level", "draw new ways in YAML"
    return "LW431", f"no place stands here: {entry.text[:60]!r}", "NAME x,y"


def _picture(text: list[str]) -> dict[int, tuple[int, int, str]]:
    """Rows of the picture by their number: line, column of the first cell, cells.

    They stand above the key; what a command printed before them is passed over.
    """
    found: dict[int, tuple[int, int, str]] = {}
    key = next((n for n, line in enumerate(text) if line.startswith("key: ")), 0)
    for number in range(key - 2, -1, -1):
        row = _PICTURE.fullmatch(text[number])
        if row is None or (found and int(row[1]) != min(found) - 1):
            break
        found[int(row[1])] = (number + 1, row.start(2) + 1, row[2])
    return dict(sorted(found.items()))


def _picture_findings(
    lines: list[str], before: Layout, after: Layout, file: str
) -> Iterator[Finding]:
    """Told once: the picture shows neither what was printed nor what the legend now says."""
    shown = _picture(lines)
    if not shown:
        return
    old, new = (_picture(layout_map(each).splitlines()) for each in (before, after))
    for y, (line, column, cells) in shown.items():
        wanted = old.get(y, (0, 0, ""))[2]
        if cells in wanted or cells in new.get(y, (0, 0, ""))[2]:
            continue  # also where the map shows a part of the site
        at = next((n for n, (a, b) in enumerate(zip(cells, wanted, strict=False)) if a != b), 0)
        place = Place(file=file, line=line, column=column + at)
        message = "the picture was changed here, but only the legend below it is read"
        yield new_finding("LW433", message, place, value=cells[at : at + 12])
        return
