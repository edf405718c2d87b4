"""From tables to a project file: read, judge as a project is judged, write."""

from __future__ import annotations

from collections.abc import Mapping as Map
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from loopwright.finding import Finding, Place, has_errors, in_order, new_finding
from loopwright.model.check import check_tree
from loopwright.model.fault import findings_of
from loopwright.model.near import listed
from loopwright.model.outline import Outline
from loopwright.model.project import FORMAT, Project
from loopwright.model.source import Mapping, Scalar, Spot
from loopwright.model.table.page import tree_text
from loopwright.model.table.read import Reading

NAME_OPTION, DEMAND_OPTION = "--name", "--demand"
"""What findings call the places of what tables cannot hold."""

_WHOLE = ("project", "materials", "processes", "demand")
_EQUIPMENT = ("stations", "belts", "pickers")


@dataclass(frozen=True, slots=True)
class Imported:
    """What came of tables.

    `text` is the file, None where there are errors; `project` is there where the file is a whole
    project. `kind` is project, catalogue (equipment only) or part; `missing` are the sections
    that a whole project still needs.
    """

    text: str | None
    project: Project | None
    kind: str
    missing: tuple[str, ...]
    findings: tuple[Finding, ...]
    counts: Map[str, int]


def import_tables(
    paths: Sequence[Path],
    name: str | None = None,
    demand: Sequence[tuple[str, str]] = (),
    origin: Sequence[str] = (),
) -> Imported:
    """The project, or part of one, in the tables at `paths`; all findings at once.

    Parameters
    ----------
    name
        Name of the project.
    demand
        Pairs of a product and its rate, as text with a unit.
    origin
        Lines of comment for the head of the file.
    """
    reading = Reading()
    for path in paths:
        reading.add(path)
    return finish(reading, name, demand, origin)


def finish(
    reading: Reading,
    name: str | None = None,
    demand: Sequence[tuple[str, str]] = (),
    origin: Sequence[str] = (),
) -> Imported:
    """As `import_tables`, for tables that are read already."""
    tree = reading.tree()
    findings = reading.findings
    _add_options(tree, name, demand, findings)
    note = _list_materials(tree)
    outline = Outline(tree)
    missing = _missing(outline)
    project = None
    try:
        project = Project.model_validate(tree.plain())
    except ValidationError as error:
        found = findings_of(error, tree)
        findings += [one for one in found if not _tells_missing(one, missing)]
    findings += check_tree(tree)
    kind = _kind(tree, missing)
    told = _todo(outline, missing) if kind == "part" else {}
    if has_errors(findings):
        kept = in_order(one for one in findings if one.code != "LW154")
        return Imported(None, None, kind, missing, kept, _counts(outline))
    findings += [note] if note is not None else []
    findings += [
        new_finding("LW168", lines[0], Place(path=path), remedy=lines[1])
        for path, lines in told.items()
    ]
    shown = [(path, (lines[0], *lines[2:])) for path, lines in told.items()]
    text = tree_text(_ordered(tree), [*_head_lines(kind), *origin], shown)
    return Imported(text, project, kind, missing, in_order(findings), _counts(outline))


def _add_options(
    tree: Mapping, name: str | None, demand: Sequence[tuple[str, str]], findings: list[Finding]
) -> None:
    """Put name and demand into the tree."""
    if name is not None:
        spot = Spot(NAME_OPTION, 1, 1)
        entries = {"format": Scalar(spot, str(FORMAT)), "name": Scalar(spot, name)}
        tree.entries["project"] = Mapping(spot, dict(entries), dict.fromkeys(entries, spot))
        tree.keys["project"] = spot
    if not demand:
        return
    section = Mapping(Spot(DEMAND_OPTION, 1, 1))
    for count, (product, rate) in enumerate(demand, 1):
        spot = Spot(DEMAND_OPTION, count, 1)
        if product in section.entries:
            message = f"the product {product[:40]!r} is demanded twice"
            findings.append(new_finding("LW106", message, spot.place(), value=product[:80]))
            continue
        section.keys[product] = spot
        section.entries[product] = Scalar(Spot(DEMAND_OPTION, count, len(product) + 3), rate)
    tree.entries["demand"], tree.keys["demand"] = section, section.spot


def _list_materials(tree: Mapping) -> Finding | None:
    """Where no table lists materials, list those that processes name; a note that says so."""
    processes = tree.entries.get("processes")
    if "materials" in tree.entries or not isinstance(processes, Mapping):
        return None
    section = Mapping(processes.spot)
    for process in processes.entries.values():
        for side in ("inputs", "outputs"):
            mixture = process.entries.get(side) if isinstance(process, Mapping) else None
            if isinstance(mixture, Mapping):
                for name, spot in mixture.keys.items():
                    section.entries.setdefault(name, Mapping(spot))
                    section.keys.setdefault(name, spot)
    if not section.entries:
        return None
    tree.entries["materials"], tree.keys["materials"] = section, section.spot
    message = f"no table lists materials, so these are listed: {listed(section.entries)}"
    return new_finding("LW169", message, section.spot.place("materials"))


def _missing(outline: Outline) -> tuple[str, ...]:
    """Sections that a whole project needs and that are not given."""
    found = [section for section in _WHOLE if outline.node(section) is None]
    for part in _EQUIPMENT:
        if outline.node("equipment", part) is None:
            found.append(f"equipment.{part}")
    return tuple(found)


def _tells_missing(finding: Finding, missing: Sequence[str]) -> bool:
    path = finding.place.path
    return finding.code == "LW112" and (path in missing or path == "equipment")


def _kind(tree: Mapping, missing: Sequence[str]) -> str:
    if not missing:
        return "project"
    return "catalogue" if set(tree.entries) == {"equipment"} else "part"


def _todo(outline: Outline, missing: Sequence[str]) -> dict[str, tuple[str, ...]]:
    """For each missing section: what is missing, what to do, and lines for the file."""
    products = _products(outline)
    stations = dict.fromkeys(
        station
        for process in outline.keys("processes")
        if (station := outline.text("processes", process, "station")) is not None
    )
    some = products[0] if products else "PRODUCT"
    told: dict[str, tuple[str, ...]] = {
        "project": (
            "the project has no name",
            'give --name "..."',
            "project:",
            f"  format: {FORMAT}",
            "  name: ...",
        ),
        "materials": (
            "no materials are given",
            "add a table of materials",
            "materials:",
            "  NAME: {stack: 1}",
        ),
        "processes": (
            "no processes are given",
            "add a table of processes",
            "processes:",
            "  NAME: {station: ..., cycle: ... s, inputs: {...: 1}, outputs: {...: 1}}",
        ),
        "demand": (
            "nothing says what must come out",
            f'give --demand "{some}: .../min"',
            "demand:",
            *(f"  {product}: .../min" for product in products[:5] or ["PRODUCT"]),
        ),
        "equipment.stations": (
            "no stations are given" + (f": {listed(stations)} are needed" if stations else ""),
            "add a table of stations",
            "  stations:",
            *(f"    {station}: {{power: ... kW}}" for station in stations or ["NAME"]),
        ),
        "equipment.belts": (
            "no belts are given",
            "add a table of belts, with name and speed",
            "  belts:",
            "    NAME: {speed: ... carriers/s}",
        ),
        "equipment.pickers": (
            "no pickers are given",
            "add a table of pickers, with name and swing",
            "  pickers:",
            "    NAME: {swing: ... s}",
        ),
    }
    return {path: told[path] for path in missing}


def _products(outline: Outline) -> list[str]:
    """Materials that are made and that no process uses."""
    made: dict[str, None] = {}
    used: set[str] = set()
    for process in outline.keys("processes"):
        made.update(dict.fromkeys(outline.keys("processes", process, "outputs")))
        used.update(outline.keys("processes", process, "inputs"))
    return [material for material in made if material not in used]


def _head_lines(kind: str) -> list[str]:
    says = {
        "project": "A project made from tables.",
        "catalogue": "Equipment made from tables: name this file under `equipment: use:`.",
        "part": "Part of a project, made from tables. Lines with TODO say what is missing.",
    }
    return [says[kind]]


def _ordered(tree: Mapping) -> Mapping:
    """The tree with a section `equipment` in the order of its page."""
    equipment = tree.entries.get("equipment")
    if isinstance(equipment, Mapping):
        order = sorted(equipment.entries, key=_EQUIPMENT.index)
        equipment.entries = {key: equipment.entries[key] for key in order}
    return tree


def _counts(outline: Outline) -> dict[str, int]:
    counts = {section: len(outline.keys(section)) for section in ("materials", "processes")}
    counts |= {part: len(outline.keys("equipment", part)) for part in _EQUIPMENT}
    return {section: count for section, count in counts.items() if count}
