"""Names that refer to other parts of the project."""

from __future__ import annotations

from collections.abc import Iterator

from loopwright.finding import Finding, Place, new_finding
from loopwright.model.near import listed, nearest
from loopwright.model.outline import Outline
from loopwright.model.source import Step

_CHOICES = (
    ("process", "LW135", "process", ("processes",)),
    ("belt", "LW133", "belt", ("equipment", "belts")),
    ("output_belt", "LW133", "belt", ("equipment", "belts")),
    ("collector_belt", "LW133", "belt", ("equipment", "belts")),
    ("picker", "LW134", "picker", ("equipment", "pickers")),
    ("output_picker", "LW134", "picker", ("equipment", "pickers")),
    ("power_node", "LW146", "power node", ("equipment", "power_nodes")),
)
_NAMED = (
    ("processes",),
    ("equipment", "belts"),
    ("equipment", "pickers"),
    ("equipment", "power_nodes"),
)


def check_references(outline: Outline) -> list[Finding]:
    """Names of nothing, reserved names, letters given twice."""
    findings = [*_stations(outline), *_choices(outline), *_materials(outline)]
    findings += [*_treated(outline), *_failing(outline), *_maximised(outline)]
    return [*findings, *_reserved(outline), *_letters(outline)]


def material_uses(outline: Outline) -> Iterator[tuple[str, tuple[Step, ...], bool]]:
    """Every mention of a material: name, path, and whether the name is a key there."""
    for process in outline.keys("processes"):
        for side in ("inputs", "outputs"):
            for name in outline.keys("processes", process, side):
                yield name, ("processes", process, side, name), True
    for name in outline.keys("demand"):
        yield name, ("demand", name), True
    for name in outline.keys("equipment", "treatments"):
        agent: tuple[Step, ...] = ("equipment", "treatments", name, "agent")
        text = outline.text(*agent)
        if text is not None:
            yield text, agent, False
    lists: list[tuple[Step, ...]] = [("site", kind) for kind in ("docks", "deposits", "outgoing")]
    lists += [("scenarios", name, "outages") for name in outline.keys("scenarios")]
    for kind in ("arrivals", "supplies", "foreign"):
        lists += [("scenarios", name, "mishaps", kind) for name in outline.keys("scenarios")]
    for path in lists:
        for index in range(outline.count(*path)):
            text = outline.text(*path, index, "material")
            if text is not None:
                yield text, (*path, index, "material"), False


def _stations(outline: Outline) -> Iterator[Finding]:
    known = outline.keys("equipment", "stations")
    for process in outline.keys("processes"):
        path = ("processes", process, "station")
        name = outline.text(*path)
        if known and name is not None and name not in known:
            yield _unknown("LW131", "station", name, known, outline.place(*path))


def _choices(outline: Outline) -> Iterator[Finding]:
    for key, code, noun, section in _CHOICES:
        name, known = outline.text("choices", key), outline.keys(*section)
        optional = key == "power_node"
        words = ("auto", "none") if optional else ("auto",)
        if (known or optional) and name not in (None, *words, *known):
            place = outline.place("choices", key)
            yield _unknown(code, noun, str(name), (*words, *known), place)


def _failing(outline: Outline) -> Iterator[Finding]:
    known = outline.keys("processes")
    for scenario in outline.keys("scenarios"):
        path = ("scenarios", scenario, "mishaps", "failures")
        for index in range(outline.count(*path)):
            name = outline.text(*path, index, "process")
            if known and name is not None and name not in known:
                place = outline.place(*path, index, "process")
                yield _unknown("LW135", "process", name, known, place)


def _treated(outline: Outline) -> Iterator[Finding]:
    known = outline.keys("processes")
    for treatment in outline.keys("equipment", "treatments"):
        path = ("equipment", "treatments", treatment, "processes")
        for index in range(outline.count(*path)):
            name = outline.text(*path, index)
            if known and name is not None and name not in known:
                yield _unknown("LW135", "process", name, known, outline.place(*path, index))


def _maximised(outline: Outline) -> Iterator[Finding]:
    name, known = outline.text("choices", "maximise"), outline.keys("demand")
    if known and name not in (None, "none", *known):
        near = nearest(str(name), known)
        yield new_finding(
            "LW144",
            f"{str(name)[:40]!r} is not demanded",
            outline.place("choices", "maximise"),
            value=str(name)[:80],
            allowed=listed(("none", *known)),
            remedy=f"did you mean {near!r}?" if near else None,
        )


def _materials(outline: Outline) -> Iterator[Finding]:
    known = outline.keys("materials")
    names = set(known)
    for name, path, is_key in material_uses(outline):
        if known and name not in names:
            place = outline.key_place(*path) if is_key else outline.place(*path)
            yield _unknown("LW132", "material", name, known, place)


def _reserved(outline: Outline) -> Iterator[Finding]:
    for section in _NAMED:
        if "auto" in outline.keys(*section):
            place = outline.key_place(*section, "auto")
            message = "the name 'auto' is kept for choices that are worked out"
            yield new_finding("LW118", message, place, value="auto", remedy="choose another name")
    if "none" in outline.keys("equipment", "power_nodes"):
        place = outline.key_place("equipment", "power_nodes", "none")
        message = "the name 'none' is kept for the choice of no power node"
        yield new_finding("LW118", message, place, value="none", remedy="choose another name")


def _letters(outline: Outline) -> Iterator[Finding]:
    owners: dict[str, str] = {}
    for material in outline.keys("materials"):
        letter = outline.text("materials", material, "letter")
        if not letter:
            continue
        if letter in owners:
            message = f"the letter {letter!r} is that of {owners[letter]!r} already"
            place = outline.place("materials", material, "letter")
            yield new_finding("LW136", message, place, value=letter)
        owners.setdefault(letter, material)


def _unknown(code: str, noun: str, name: str, known: tuple[str, ...], place: Place) -> Finding:
    near = nearest(name, known)
    return new_finding(
        code,
        f"there is no {noun} {name[:40]!r}",
        place,
        value=name[:80],
        allowed=listed(known),
        remedy=f"did you mean {near!r}?" if near else None,
    )
