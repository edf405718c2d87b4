"""Colours, hatches and inks: the one place that says how anything looks, light and dark.

The eight material colours are those of Okabe and Ito, "Color universal design" (2008), chosen to be
told apart with any kind of colour vision; each material has a hatch and a letter beside its colour.
"""

from __future__ import annotations

from dataclasses import dataclass

COLOURS: dict[str, tuple[str, str]] = {
    "sheet": ("#ffffff", "#12161b"),
    "ink": ("#1d2329", "#dde4ea"),
    "soft": ("#59636e", "#9aa5b0"),
    "faint": ("#a9b2bb", "#56606b"),
    "grid": ("#e7ebef", "#20272e"),
    "panel": ("#f8f9fb", "#1a2027"),
    "edge": ("#3d464f", "#aab4be"),
    "alarm": ("#b3261e", "#ff8a7a"),
    "power": ("#8a2b87", "#dd9ada"),
    "material1": ("#e69f00", "#e69f00"),
    "material2": ("#56b4e9", "#56b4e9"),
    "material3": ("#009e73", "#009e73"),
    "material4": ("#cc79a7", "#cc79a7"),
    "material5": ("#f0e442", "#f0e442"),
    "material6": ("#0072b2", "#0072b2"),
    "material7": ("#d55e00", "#d55e00"),
    "material8": ("#8a8f94", "#8a8f94"),
    "dark": ("#15191d", "#15191d"),
    "bright": ("#ffffff", "#ffffff"),
}
"""Colour of each role on a light and on a dark sheet."""

MATERIALS = 8
"""Colours; with more materials the colours repeat under other hatches."""

THEMES = ("light", "dark", "auto", "page")
"""Fixed light, fixed dark, the reader's setting, or the variables of the page around it."""

_OVER = {6: "bright", 3: "bright"}

HATCHES: tuple[tuple[str, str], ...] = (
    ("plain", ""),
    ("rising", "M-1 5L5 -1M-1 1L1 -1M3 5L5 3"),
    ("falling", "M-1 -1L5 5M3 -1L5 1M-1 3L1 5"),
    ("dots", "M1 .4v1.2M3 2.4v1.2"),
    ("crossed", "M0 0L4 4M0 4L4 0"),
    ("squares", "M0 .6h4M.6 0v4"),
    ("chevrons", "M0 3L2 1L4 3"),
    ("bricks", "M0 .5h4M0 2.5h4M1 .5v2M3 2.5v2"),
)
"""Name and path of each hatch, on a tile of 4 x 4 units."""


@dataclass(frozen=True, slots=True)
class Ink:
    """How a mark looks. Paints are colour roles or `hatch<n>`; no paint, nothing drawn.

    `width` [sheet units], or of a hair line in pixels of the screen, however far one zooms.
    `halo` [sheet units] is the rim in the sheet's colour round letters.
    """

    name: str
    stroke: str = ""
    width: float = 0
    fill: str = ""
    dash: str = ""
    bold: bool = False
    halo: float = 0
    hair: bool = False


def hatch_parts(paint: str) -> tuple[str, str, str]:
    """Colour role, path and line role of a `hatch<n>` paint.

    Raises
    ------
    ValueError
        The paint is no hatch.
    """
    if not paint.startswith("hatch"):
        raise ValueError(f"no hatch: {paint}")
    index = int(paint.removeprefix("hatch")) - 1
    colour = index % MATERIALS + 1
    path = HATCHES[(index + index // MATERIALS) % len(HATCHES)][1]
    return f"material{colour}", path, _OVER.get(colour, "dark")


_FIXED = (
    Ink("paper", fill="sheet"),
    Ink("grid", stroke="grid", width=0.6, hair=True),
    Ink("frame", stroke="ink", width=1.2, hair=True),
    Ink("site", stroke="soft", width=1, hair=True),
    Ink("cut", stroke="faint", width=1, dash="6 4", hair=True),
    Ink("axis", stroke="faint", width=0.7, dash="14 3 3 3", hair=True),
    Ink("obstacle", stroke="faint", width=0.8, fill="ground"),
    Ink("belt-edge", stroke="edge", width=6.4),
    Ink("belt-empty", stroke="sheet", width=5),
    Ink("rail", stroke="ink", width=10.4),
    Ink("deck", stroke="sheet", width=8.6),
    Ink("casing", stroke="sheet", width=13),
    Ink("abutment", stroke="ink", width=1.2),
    Ink("arrow", fill="ink", stroke="sheet", width=0.9),
    Ink("plate", fill="sheet", stroke="edge", width=0.4),
    Ink("station", fill="panel", stroke="ink", width=0.8),
    Ink("store", fill="panel", stroke="ink", width=1),
    Ink("picker", stroke="ink", width=1.3),
    Ink("gate", fill="sheet", stroke="ink", width=1.4),
    Ink("junction", fill="sheet", stroke="ink", width=1.1),
    Ink("joint", fill="ink"),
    Ink("drain", fill="sheet", stroke="ink", width=1.4),
    Ink("cable", stroke="power", width=1, dash="5 1.6"),
    Ink("node", fill="power", stroke="sheet", width=0.7),
    Ink("key-cable", stroke="power", width=1.2, dash="5 1.6", hair=True),
    Ink("key-node", fill="power"),
    Ink("part", stroke="alarm", width=1.6, dash="9 3 2 3", hair=True),
    Ink("thin", stroke="ink", width=0.6),
    Ink("key", fill="sheet", stroke="ink", width=1, hair=True),
    Ink("key-line", stroke="ink", width=1.2, hair=True),
    Ink("soft-line", stroke="soft", width=0.6, hair=True),
    Ink("solid", fill="ink"),
    Ink("target", stroke="alarm", width=1.4, dash="7 4"),
    Ink("curve", stroke="ink", width=1.8),
    Ink("busy", fill="grid", stroke="edge", width=0.8, hair=True),
    Ink("blocked", fill="ink", stroke="edge", width=0.8, hair=True),
    Ink("on-dark", fill="sheet", bold=True),
    Ink("words", fill="ink"),
    Ink("strong", fill="ink", bold=True),
    Ink("letter", fill="ink", bold=True, halo=0.8),
    Ink("tag", fill="ink", bold=True, halo=3.5),
    Ink("small", fill="soft"),
    Ink("alarm", fill="alarm", halo=3),
)

INKS: dict[str, Ink] = {ink.name: ink for ink in _FIXED}
"""All fixed inks by name; those of materials are made by `ink_of`."""

_MATERIAL_INKS = {"band": 5.0, "dock": 1.2, "swatch": 0.8, "ribbon": 0.5}


def ink_of(name: str) -> Ink:
    """The ink of that name: a fixed one, or band, dock, swatch or ribbon of a material number.

    Raises
    ------
    KeyError
        No such ink.
    """
    if name in INKS:
        return INKS[name]
    kind = name.rstrip("0123456789")
    width = _MATERIAL_INKS[kind]
    paint = "hatch" + name[len(kind) :]
    if kind == "band":
        return Ink(name, stroke=paint, width=width)
    return Ink(name, stroke="ink", width=width, fill=paint, hair=kind != "dock")


def colour_css(role: str, theme: str) -> str:
    """CSS value of a colour role; theme `page` gives a variable, light by default."""
    light, dark = COLOURS[role]
    if theme == "page":
        return f"var(--lw-{role},{light})"
    return dark if theme == "dark" else light


def page_css() -> str:
    """CSS for a page that embeds drawings of theme `page`: they follow the page from then on.

    The reader's setting decides; `data-theme="light"` or `"dark"` on the root overrules it.
    """
    light = "".join(f"--lw-{role}:{pair[0]};" for role, pair in COLOURS.items())
    dark = "".join(f"--lw-{role}:{pair[1]};" for role, pair in COLOURS.items())
    return (
        f":root{{{light}}}\n"
        f'@media (prefers-color-scheme:dark){{:root:not([data-theme="light"]){{{dark}}}}}\n'
        f':root[data-theme="dark"]{{{dark}}}\n'
        'svg[class^="lw"]{max-width:100%;height:auto}\n'
    )
