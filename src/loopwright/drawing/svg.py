"""Marks of a sheet written as SVG; this file knows nothing of layouts."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from loopwright.drawing.mark import Area, Line, Mark, Point, Symbol, Text, number_text, outline
from loopwright.drawing.palette import Ink, colour_css, hatch_parts, ink_of
from loopwright.drawing.sheet import Sheet

FONT = '"DejaVu Sans","Liberation Sans",Arial,sans-serif'

_BAD = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_ESCAPES = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;"}
_TO_ESCAPE = re.compile("[&<>\"']")


def escaped(text: str) -> str:
    """`text` as XML content; characters that XML cannot hold become U+FFFD."""
    return _TO_ESCAPE.sub(lambda found: _ESCAPES[found[0]], _BAD.sub("\ufffd", text))


def path_data(points: Sequence[Point], closed: bool) -> str:
    """A line as path data: absolute start, then short relative steps."""
    x, y = round(points[0][0], 2), round(points[0][1], 2)
    parts = [f"M{number_text(x)} {number_text(y)}"]
    for px, py in points[1:]:
        px, py = round(px, 2), round(py, 2)
        dx, dy = number_text(px - x), number_text(py - y)
        if dy == "0":
            parts.append(f"h{dx}")
        elif dx == "0":
            parts.append(f"v{dy}")
        else:
            parts.append(f"l{dx} {dy}")
        x, y = px, py
    return "".join(parts) + ("z" if closed else "")


def _mark_path(mark: Line | Area | Symbol) -> str:
    if isinstance(mark, Line):
        return path_data(mark.points, closed=False)
    return path_data(outline(mark) if isinstance(mark, Symbol) else mark.points, closed=True)


def _title(tooltip: str) -> str:
    return f"<title>{escaped(tooltip)}</title>" if tooltip else ""


def _attributes(mark: Mark, prefix: str) -> str:
    """What marks of one run have in common, beside their ink."""
    if isinstance(mark, Text):
        anchor = "" if mark.anchor == "middle" else f' text-anchor="{mark.anchor}"'
        return f' font-size="{number_text(mark.size)}"{anchor}'
    if isinstance(mark, Line):
        end = f' marker-end="url(#{prefix}-{mark.end})"' if mark.end else ""
        dash = ""
        if mark.dash:
            dash = f' stroke-dasharray="{" ".join(map(number_text, mark.dash))}"'
        return end + dash
    return ""


def _text_element(mark: Text) -> str:
    x, y = mark.at
    turn = ""
    if mark.angle:
        turn = f' transform="rotate({mark.angle} {number_text(x)} {number_text(y)})"'
    base = number_text(round(y + 0.36 * mark.size, 1))
    body = escaped(mark.text) + _title(mark.tooltip)
    return f'<text x="{number_text(round(x, 1))}" y="{base}"{turn}>{body}</text>'


def _run(marks: list[Mark], ink: str, prefix: str) -> Iterator[str]:
    """Marks of the same look, in one group; those without a tooltip share one path."""
    yield f'<g class="{ink}"{_attributes(marks[0], prefix)}>'
    merged: list[str] = []
    for mark in marks:
        if isinstance(mark, Text):
            yield _text_element(mark)
        elif not mark.tooltip and not (isinstance(mark, Line) and mark.offset):
            merged.append(_mark_path(mark))
        else:
            if merged:
                yield f'<path d="{"".join(merged)}"/>'
                merged = []
            offset = ""
            if isinstance(mark, Line) and mark.offset:
                offset = f' stroke-dashoffset="{number_text(mark.offset)}"'
            title = _title(mark.tooltip)
            end = f">{title}</path>" if title else "/>"
            yield f'<path d="{_mark_path(mark)}"{offset}{end}'
    if merged:
        yield f'<path d="{"".join(merged)}"/>'
    yield "</g>"


class _Ids:
    """Turns any name into an id that is its own."""

    def __init__(self, prefix: str) -> None:
        self.prefix = prefix
        self.used: set[str] = set()

    def new(self, name: str) -> str:
        plain = re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-") or "group"
        found, count = f"{self.prefix}-{plain}", 1
        while found in self.used:
            count += 1
            found = f"{self.prefix}-{plain}-{count}"
        self.used.add(found)
        return found


def _layers(marks: Iterable[Mark], prefix: str) -> Iterator[str]:
    """Groups by layer, within them by group, in the order in which these first turn up."""
    tree: dict[str, dict[str, list[Mark]]] = {}
    for mark in marks:
        tree.setdefault(mark.layer, {}).setdefault(mark.group, []).append(mark)
    ids = _Ids(prefix)
    for layer, groups in tree.items():
        yield f'<g id="{ids.new(layer)}">'
        for group, members in groups.items():
            if group:
                yield f'<g id="{ids.new(f"{layer} {group}")}">'
            alike = groupby(members, key=lambda mark: (mark.ink, _attributes(mark, prefix)))
            for (ink, _), run in alike:
                yield from _run(list(run), ink, prefix)
            if group:
                yield "</g>"
        yield "</g>"


def _solid(paint: str) -> bool:
    """Whether a hatch has no lines."""
    return paint.startswith("hatch") and not hatch_parts(paint)[1]


def _paint(paint: str, prefix: str, theme: str) -> str:
    if not paint:
        return "none"
    if _solid(paint):  # as tiles it would show their seams on paper
        return colour_css(hatch_parts(paint)[0], theme)
    if paint.startswith("hatch") or paint == "ground":
        return f"url(#{prefix}-{paint})"
    return colour_css(paint, theme)


def _colour_rules(inks: list[Ink], roles: list[str], prefix: str, theme: str) -> str:
    rules = []
    for ink in inks:
        stroke, fill = _paint(ink.stroke, prefix, theme), _paint(ink.fill, prefix, theme)
        halo = f";stroke:{colour_css('sheet', theme)}" if ink.halo else f";stroke:{stroke}"
        rules.append(f".{prefix} .{ink.name}{{fill:{fill}{halo}}}")
    for role in roles:
        colour = colour_css(role, theme)
        rules.append(f".{prefix} .f-{role}{{fill:{colour}}}.{prefix} .s-{role}{{stroke:{colour}}}")
    return "\n".join(rules)


def _style(
    inks: list[Ink], roles: list[str], prefix: str, theme: str, font: str, hair: float
) -> str:
    rules = [f".{prefix}{{font-family:{font};text-anchor:middle}}"]
    for ink in inks:
        parts = []
        if ink.width or ink.halo:
            width = (ink.width or ink.halo) * (hair if hair and ink.hair else 1)
            parts.append(f"stroke-width:{width:.3g}")
        if ink.dash:
            cuts = [float(cut) * (hair if hair and ink.hair else 1) for cut in ink.dash.split()]
            parts.append(f"stroke-dasharray:{' '.join(map(number_text, cuts))}")
        if ink.bold:
            parts.append("font-weight:700")
        if ink.halo:
            parts.append("paint-order:stroke;stroke-linejoin:round")
        if parts:
            rules.append(f".{prefix} .{ink.name}{{{';'.join(parts)}}}")
        if ink.hair and not hair:
            rules.append(f".{prefix} .{ink.name}>*{{vector-effect:non-scaling-stroke}}")
    base = "light" if theme == "auto" else theme
    rules.append(_colour_rules(inks, roles, prefix, base))
    if theme == "auto":
        dark = _colour_rules(inks, roles, prefix, "dark")
        rules.append(f"@media (prefers-color-scheme:dark){{\n{dark}\n}}")
    return "<style>\n" + "\n".join(rules) + "\n</style>"


def _patterns(inks: list[Ink], prefix: str, scale: float) -> tuple[list[str], list[str]]:
    """Pattern elements that the inks need, and the colour roles in them."""
    used = {paint for ink in inks for paint in (ink.stroke, ink.fill)}
    paints = sorted(
        (paint for paint in used if paint.startswith("hatch") and not _solid(paint)),
        key=lambda paint: int(paint[5:]),
    )
    roles = {"ink", "faint"}
    scaled = "" if scale == 1 else f' patternTransform="scale({number_text(scale)})"'
    found = [
        f'<pattern id="{prefix}-ground" width="6" height="6" patternUnits="userSpaceOnUse">'
        '<path class="s-faint" d="M-1 7L7 -1M-1 1L1 -1M5 7L7 5" stroke-width=".7"/></pattern>'
    ]
    for paint in paints:
        colour, path, line = hatch_parts(paint)
        roles |= {colour, line}
        hatch = f'<path class="s-{line}" d="{path}" fill="none" stroke-width=".7"/>'
        found.append(
            f'<pattern id="{prefix}-{paint}" width="4" height="4" '
            f'patternUnits="userSpaceOnUse"{scaled}>'
            f'<rect class="f-{colour}" width="4" height="4"/>{hatch}</pattern>'
        )
    found.append(
        f'<marker id="{prefix}-dot" viewBox="-2 -2 4 4" markerWidth="4" markerHeight="4" '
        'markerUnits="userSpaceOnUse"><circle class="f-ink" r="2"/></marker>'
    )
    return found, sorted(roles)


def sheet_svg(sheet: Sheet, *, prefix: str = "lw", font: str = FONT, hair: float = 0) -> str:
    """The sheet as a complete SVG document.

    Parameters
    ----------
    prefix
        Begins every id and names the root's class; give each drawing of one page its own.
    hair
        Sheet units in a pixel of hair lines, for paper; without it they stay hair lines on the
        screen however far one zooms.
    """
    inks = [ink_of(name) for name in sorted({mark.ink for mark in sheet.marks})]
    patterns, roles = _patterns(inks, prefix, sheet.hatch)
    view = " ".join(number_text(v) for v in (sheet.x, sheet.y, sheet.width, sheet.height))
    width, height = (f"{number_text(value)}{sheet.unit}" for value in sheet.size)
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" class="{prefix}" viewBox="{view}" '
            f'width="{width}" height="{height}" role="img">',
            f"<title>{escaped(sheet.title)}</title>",
            _style(inks, roles, prefix, sheet.theme, font, hair),
            "<defs>",
            *patterns,
            "</defs>",
            *_layers(sheet.marks, prefix),
            "</svg>\n",
        ]
    )
