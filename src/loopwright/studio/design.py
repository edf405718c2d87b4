"""The stages of a text for the pages: project, plan and blocks, each worked out once."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from loopwright.block import size_block
from loopwright.drawing import plan_chart, plan_materials
from loopwright.drawing.row_chart import row_picture
from loopwright.exact import format_fraction
from loopwright.finding import DesignError, Finding, in_order
from loopwright.model import Objective, Project
from loopwright.model.choice import Weight
from loopwright.model.demand import Rate
from loopwright.model.example import EXAMPLES, example_path
from loopwright.model.locate import locate_in_tree, whole_tree
from loopwright.model.read import check_text
from loopwright.model.source import Mapping as Entries
from loopwright.model.source import Scalar, Tree, child
from loopwright.model.starter import starter_text
from loopwright.plan import Plan, check_plan, explain_plan, solve_plan
from loopwright.studio.folder import Folder, text_digest
from loopwright.studio.message import AskPlan, Blocks, OfText, Planned, findings
from loopwright.studio.offer import offer_blocks
from loopwright.studio.refusal import RefusalError

KEPT = 24
"""Results kept of each stage, the last used ones."""

Made = TypeVar("Made")


class Stage:
    """Results of one stage by what they follow from; faults of the design are kept too."""

    def __init__(self) -> None:
        self._made: OrderedDict[Hashable, object] = OrderedDict()
        self._turn = threading.Lock()

    def get(self, key: Hashable, make: Callable[[], Made]) -> Made:
        """What `make` gives, or gave before under this key.

        Raises
        ------
        DesignError
            As `make` does, or did.
        """
        with self._turn:
            found = self._made.get(key)
            if found is not None:
                self._made.move_to_end(key)
        if found is None:
            try:
                found = make()
            except DesignError as error:
                found = error
            with self._turn:
                self._made[key] = found
                while len(self._made) > KEPT:
                    self._made.popitem(last=False)
        if isinstance(found, DesignError):
            raise found
        return found  # type: ignore[return-value]  # what was put there under the key


@dataclass(frozen=True, slots=True)
class Read:
    """A project with the warnings of its text; `key` tells it from others."""

    project: Project
    warnings: tuple[Finding, ...]
    key: tuple[Hashable, ...]


class Designs:
    """Plans and blocks of texts that lie, or are to lie, in `folder`."""

    def __init__(self, folder: Folder) -> None:
        self.folder = folder
        self._projects, self._plans, self._blocks = Stage(), Stage(), Stage()
        self._trees, self._chosen = Stage(), Stage()

    def read(self, file: str, text: str) -> Read:
        """The project in `text`.

        Raises
        ------
        DesignError
            The text has errors.
        """
        key = self._key(file, text)

        def make() -> Read:
            project, found = check_text(text, file, self.folder.root)
            if project is None:
                raise DesignError(found)
            return Read(project, found, key)

        return self._projects.get(key, make)

    def warm(self) -> None:
        """Load what a first plan loads, and draw what the first page shows."""
        self.planned(AskPlan(file="starter.yaml", text=starter_text("starter")))
        for name in EXAMPLES:
            self.picture(name, example_path(name).read_text(encoding="utf-8"))

    def picture(self, name: str, text: str) -> str:
        """A small drawing (SVG) of the rows of an example; empty where there is no one block."""
        try:
            read = self.read(name, text)
            plan = self._plan(read, read.project, {}, {})
            block = self._chosen.get(read.key, lambda: size_block(plan, read.project))
        except DesignError:
            return ""
        materials = plan_materials(read.project, plan)
        numbers = {material.name: number for number, material in enumerate(materials, 1)}
        prefix = "lw-" + name.split(".")[0]
        return row_picture(block, block.design, numbers, theme="page", prefix=prefix)

    def planned(self, asked: AskPlan) -> Planned:
        """The plan of a text, with what was asked for in place of its demand and weights."""
        begun = time.perf_counter()
        try:
            read = self.read(asked.file, asked.text)
            project = _weighed(_demanded(read.project, asked.demand), asked.weights)
            plan = self._plan(read, project, asked.demand, asked.weights)
        except DesignError as error:
            found = self._located(error.findings, asked.file, asked.text)
            return Planned(
                plan=None, flow=None, explain=(), findings=findings(found), titles={},
                demand=self._written(asked, "demand") | asked.demand,
                weights=self._written(asked, "choices", "objective") | asked.weights,
                ms=_since(begun),
            )  # fmt: skip
        titles = {name: process.title for name, process in project.processes.items()}
        weights = {name: format_fraction(one) for name, one in project.choices.objective}
        told = self._located(check_plan(plan), asked.file, asked.text)
        return Planned(
            plan=plan,
            flow=_flow(plan, project, titles) if asked.draw else None,
            explain=explain_plan(plan),
            findings=findings(in_order((*read.warnings, *told))),
            titles=titles | {name: kind.title for name, kind in project.materials.items()},
            demand=self._written(asked, "demand") | asked.demand,
            weights=weights | self._written(asked, "choices", "objective") | asked.weights,
            ms=_since(begun),
        )

    def blocks(self, asked: OfText) -> Blocks:
        """The block that the choices lead to, and every other architecture beside it."""
        begun, site = time.perf_counter(), False
        try:
            read = self.read(asked.file, asked.text)
            site = read.project.choices.scope == "site"
            plan = self._plan(read, read.project, {}, {})
            made = self._blocks.get(read.key, lambda: offer_blocks(plan, read.project))
        except DesignError as error:
            found = self._located(error.findings, asked.file, asked.text)
            return Blocks(
                designs=(), chosen=None, site=site, findings=findings(found), refused=(),
                ms=_since(begun),
            )  # fmt: skip
        return Blocks(
            designs=made.designs,
            chosen=made.chosen,
            site=site,
            findings=findings(self._located(made.found, asked.file, asked.text)),
            refused=findings(self._located(made.refused, asked.file, asked.text)),
            ms=_since(begun),
        )

    def _key(self, file: str, text: str) -> tuple[Hashable, ...]:
        """What a text says, with the catalogue that it may use and that may change without it."""
        beside = tuple(self.folder.stamps().items()) if "use:" in text else ()
        return (file, text_digest(text), beside)

    def _located(self, found: tuple[Finding, ...], file: str, text: str) -> tuple[Finding, ...]:
        """Findings of stages with their place in the text."""
        if not found:
            return ()
        tree = self._tree(file, text)
        return found if tree is None else locate_in_tree(found, tree)

    def _tree(self, file: str, text: str) -> Entries | None:
        key = self._key(file, text)
        return self._trees.get(key, lambda: whole_tree(text, file, self.folder.root))

    def _written(self, asked: AskPlan, *section: str) -> dict[str, str]:
        """Values in a section of the text, as they are written."""
        tree: Tree | None = self._tree(asked.file, asked.text)
        for step in section:
            tree = child(tree, step) if tree is not None else None
        if not isinstance(tree, Entries):
            return {}
        values = {key: one.text for key, one in tree.entries.items() if isinstance(one, Scalar)}
        return {key: text for key, text in values.items() if text}

    def _plan(
        self,
        read: Read,
        project: Project,
        demand: Mapping[str, str],
        weights: Mapping[str, str],
    ) -> Plan:
        key = (read.key, tuple(sorted(demand.items())), tuple(sorted(weights.items())))
        return self._plans.get(key, lambda: solve_plan(project))


def _flow(plan: Plan, project: Project, titles: Mapping[str, str]) -> str:
    """The drawing of a plan, in the colours of the page."""
    return plan_chart(
        plan,
        materials=plan_materials(project, plan),
        headed=False,
        titles=titles,
        theme="page",
        prefix="lw-flow",
    )


def _demanded(project: Project, demand: Mapping[str, str]) -> Project:
    """`project` with other rates of products that it demands.

    Raises
    ------
    RefusalError
        A product is not demanded, or a rate is none.
    """
    rates = dict(project.demand)
    for product, rate in demand.items():
        if product not in rates:
            raise RefusalError(422, f"{product!r} is not demanded by the file.")
        rates[product] = _value(Rate, rate, f"demand of {product}")
    return project.model_copy(update={"demand": rates})


def _weighed(project: Project, weights: Mapping[str, str]) -> Project:
    """`project` with other weights of what the plan keeps small."""
    if not weights:
        return project
    held = dict(project.choices.objective)
    for name, weight in weights.items():
        if name not in held:
            raise RefusalError(422, f"there is no weight {name!r}: {', '.join(held)} are.")
        held[name] = _value(Weight, weight, f"weight of {name}")
    choices = project.choices.model_copy(update={"objective": Objective(**held)})
    return project.model_copy(update={"choices": choices})


def _value(kind: Any, text: str, what: str) -> Fraction:
    try:
        value: Fraction = TypeAdapter[Fraction](kind).validate_python(text)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        allowed = first.get("ctx", {}).get("allowed", "")
        raise RefusalError(422, f"{what}: {first['msg']}; allowed: {allowed}.") from None
    return value


def _since(begun: float) -> float:
    return round((time.perf_counter() - begun) * 1000, 1)
