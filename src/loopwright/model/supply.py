"""Where materials come from and where they go."""

from __future__ import annotations

from collections.abc import Iterator

from loopwright.finding import Finding, new_finding
from loopwright.model.outline import Outline
from loopwright.model.reference import material_uses

_FILLED = (
    ("materials", "material"),
    ("processes", "process"),
    ("demand", "product"),
    ("equipment.stations", "station"),
    ("equipment.belts", "belt"),
    ("equipment.pickers", "picker"),
)


def check_supplies(outline: Outline) -> list[Finding]:
    """Sections without entries, things that nothing makes, uses or supplies."""
    flows = _Flows(outline)
    findings = [*_empty_sections(outline), *_without_outputs(outline), *_unmade(outline, flows)]
    findings += [*_wrong_process(outline, flows)]
    return [*findings, *_docks(outline, flows), *_unused(outline, flows)]


class _Flows:
    """Who makes what, and what is demanded, gathered once."""

    def __init__(self, outline: Outline) -> None:
        self.outline = outline
        self.demand = outline.keys("demand")
        self.materials = outline.keys("materials")
        self.deposits = {
            outline.text("site", "deposits", index, "material")
            for index in range(outline.count("site", "deposits"))
        }
        self.makers: dict[str, list[str]] = {material: [] for material in self.materials}
        for process in outline.keys("processes"):
            for material in outline.keys("processes", process, "outputs"):
                self.makers.setdefault(material, []).append(process)

    def is_imported(self, material: str) -> bool:
        said = self.outline.text("materials", material, "supply")
        given = bool(self.makers[material]) or material in self.deposits
        return said in ("imported", "either") or (said != "made" and not given)

    def is_only_imported(self, material: str) -> bool:
        said = self.outline.text("materials", material, "supply")
        given = bool(self.makers[material]) or material in self.deposits
        return said == "imported" or (said != "made" and not given)


def _known(flows: _Flows) -> list[tuple[str, list[str]]]:
    return [(material, flows.makers[material]) for material in flows.materials]


def _empty_sections(outline: Outline) -> Iterator[Finding]:
    for section, noun in _FILLED:
        path = section.split(".")
        node = outline.node(*path)
        if node is not None and node.plain() == {}:
            message = f"there is no {noun} here; at least one is needed"
            remedy = f"add a {noun}"
            yield new_finding("LW112", message, outline.key_place(*path), remedy=remedy)


def _without_outputs(outline: Outline) -> Iterator[Finding]:
    for process in outline.keys("processes"):
        path = ("processes", process, "outputs")
        node = outline.node(*path)
        if node is not None and node.plain() == {}:
            message = "a process must give something"
            yield new_finding("LW137", message, outline.key_place(*path))


def _unmade(outline: Outline, flows: _Flows) -> Iterator[Finding]:
    processes = outline.keys("processes")
    if not all(outline.keys("processes", process, "outputs") for process in processes):
        return
    for material, makers in _known(flows):
        said = outline.text("materials", material, "supply")
        if said == "made" and not makers and material not in flows.deposits:
            place = outline.place("materials", material, "supply")
            message = f"{material!r} is to be made on site, but no process makes it"
            yield new_finding("LW139", message, place, value="made")
        elif material in flows.demand and flows.is_only_imported(material):
            why = "it is set to be imported" if makers else "no process makes it"
            message = f"{material!r} is demanded, but {why}"
            remedy = "take `supply: imported` out" if makers else None
            place = outline.key_place("demand", material)
            yield new_finding("LW138", message, place, value=material, remedy=remedy)


def _wrong_process(outline: Outline, flows: _Flows) -> Iterator[Finding]:
    process, demand = outline.text("choices", "process"), flows.demand
    if process is None or process not in outline.keys("processes") or not demand:
        return
    outputs = outline.keys("processes", process, "outputs")
    if outputs and not set(outputs) & set(demand):
        makers = [maker for product in demand for maker in flows.makers.get(product, [])]
        message = f"{process!r} makes {', '.join(outputs)}, none of which is demanded"
        place, allowed = outline.place("choices", "process"), ", ".join(["auto", *makers])
        yield new_finding("LW140", message, place, value=process, allowed=allowed)


def _docks(outline: Outline, flows: _Flows) -> Iterator[Finding]:
    known = set(flows.materials)
    for index in range(outline.count("site", "docks")):
        path = ("site", "docks", index, "material")
        material = outline.text(*path)
        if material in known and not flows.is_imported(str(material)):
            message = f"{material!r} is made on site, so this dock supplies nothing"
            remedy = f"take the dock out, or set `supply: either` or `imported` for {material}"
            place = outline.place(*path)
            yield new_finding("LW153", message, place, value=material, remedy=remedy)


def _unused(outline: Outline, flows: _Flows) -> Iterator[Finding]:
    users = ("processes", "demand", "equipment")
    used = {name for name, path, _ in material_uses(outline) if path[0] in users}
    if not outline.keys("processes"):
        return
    for material in flows.materials:
        if material not in used:
            message = f"no process and no demand uses {material!r}"
            place = outline.key_place("materials", material)
            yield new_finding("LW154", message, place, value=material)
