"""The SVG writer: marks in, text out."""

from __future__ import annotations

import xml.etree.ElementTree as ET

from loopwright.drawing import page_css, sheet_svg
from loopwright.drawing.mark import Area, Line, Mark, Symbol, Text, number_text, rectangle
from loopwright.drawing.palette import COLOURS
from loopwright.drawing.sheet import Sheet
from loopwright.drawing.svg import escaped, path_data


def sheet_of(*marks: Mark, theme: str = "light") -> Sheet:
    return Sheet("T", 0, 0, 100, 50, (100, 50), "px", theme, marks)


def test_paths_are_short() -> None:
    assert path_data(((5, 5), (35, 5), (35, 25.5)), closed=False) == "M5 5h30v20.5"
    assert path_data(rectangle(0, 0, 30, 20), closed=True) == "M0 0h30v20h-30z"
    assert path_data(((0, 0), (1.005, 2)), closed=False) == "M0 0l1 2"


def test_numbers_have_no_needless_zeros() -> None:
    assert [number_text(v) for v in (3.0, 0.5, -0.001, 1.239)] == ["3", "0.5", "0", "1.24"]


def test_text_is_escaped() -> None:
    assert escaped("a<b>&\"'") == "a&lt;b&gt;&amp;&quot;&#39;"
    assert escaped("\x00\ud800\ufffe") == "\ufffd\ufffd\ufffd"


def test_a_whole_sheet() -> None:
    svg = sheet_svg(
        sheet_of(
            Area(rectangle(0, 0, 10, 10), "station", "stations", "row 1", "s 1"),
            Text((5, 5), "1", 4, "words", "stations", "row 1"),
            Line(((0, 20), (10, 20)), "thin", "lines"),
            Line(((0, 30), (10, 30)), "thin", "lines"),
            Symbol((50, 20), "divert", 10, "junction", "stations", angle=90),
        )
    )
    body = svg[svg.index("</defs>") :]
    assert body == (
        '</defs>\n<g id="lw-stations">\n<g id="lw-stations-row-1">\n<g class="station">\n'
        '<path d="M0 0h10v10h-10z"><title>s 1</title></path>\n</g>\n'
        '<g class="words" font-size="4">\n<text x="5" y="6.4">1</text>\n</g>\n</g>\n'
        '<g class="junction">\n<path d="M50 25l-5 -5l5 -5l5 5z"/>\n</g>\n</g>\n'
        '<g id="lw-lines">\n<g class="thin">\n<path d="M0 20h10M0 30h10"/>\n</g>\n</g>\n</svg>\n'
    )
    ET.fromstring(svg)


def test_fixed_themes_name_colours_and_page_theme_names_variables() -> None:
    mark = Area(rectangle(0, 0, 9, 9), "paper", "paper")
    light, dark = (sheet_svg(sheet_of(mark, theme=theme)) for theme in ("light", "dark"))
    assert ".lw .paper{fill:#ffffff" in light
    assert ".lw .paper{fill:#12161b" in dark
    assert "prefers-color-scheme" not in light + dark
    auto = sheet_svg(sheet_of(mark, theme="auto"))
    assert auto.index("#ffffff") < auto.index("prefers-color-scheme:dark") < auto.index("#12161b")
    page = sheet_svg(sheet_of(mark, theme="page"))
    assert "fill:var(--lw-sheet,#ffffff)" in page
    assert all(f"--lw-{role}:" in page_css() for role in COLOURS)


def test_prefixes_keep_two_drawings_of_one_page_apart() -> None:
    mark = Area(rectangle(0, 0, 9, 9), "swatch1", "a", "b")
    one, two = (sheet_svg(sheet_of(mark), prefix=prefix) for prefix in ("lw1", "lw2"))
    assert one.replace("lw1", "lw2") == two
    assert "lw1" not in two
