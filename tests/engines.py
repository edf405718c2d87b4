"""The engines that carry out a layout, behind one face: the same test body runs on each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol

from pydantic import TypeAdapter

from loopwright.layout.document import layout_document
from loopwright.layout.layout import Layout
from loopwright.simulate.disturbance import Disturbances
from loopwright.simulate.scenario import Outage
from reference.simulate import Plant
from tests.twins.compiled import CompiledEngine

Document = dict[str, Any]
NONE = Disturbances()


def troubles_document(troubles: Disturbances, seed: int) -> Document:
    """Disturbances as the plain program reads them."""
    told: Document = TypeAdapter(Disturbances).dump_python(troubles, mode="json")
    return {"seed": seed, **told}


class Engine(Protocol):
    """What a test asks of an engine."""

    name: str

    def run(
        self,
        layout: Layout,
        ticks: int,
        outages: Sequence[Outage] = (),
        state: Document | None = None,
        troubles: Disturbances = NONE,
        seed: int = 0,
    ) -> Document:
        """The state document `ticks` ticks after `state`, or after the empty start; audited."""
        ...


class ReferenceEngine:
    """The plain program."""

    name = "reference"

    def run(
        self,
        layout: Layout,
        ticks: int,
        outages: Sequence[Outage] = (),
        state: Document | None = None,
        troubles: Disturbances = NONE,
        seed: int = 0,
    ) -> Document:
        """As `Engine.run`."""
        told = [
            {"source": outage.source, "start": str(outage.start), "span": str(outage.span)}
            for outage in outages
        ]
        plant = Plant(layout_document(layout), told, state, troubles_document(troubles, seed))
        plant.run(ticks)
        plant.audit()
        return plant.state()


ENGINES: tuple[Engine, ...] = (ReferenceEngine(), CompiledEngine())


def history(
    engine: Engine,
    layout: Layout,
    ticks: int,
    outages: Sequence[Outage] = (),
    state: Document | None = None,
    troubles: Disturbances = NONE,
    seed: int = 0,
) -> list[Document]:
    """The start state and the states after 1, 2, ... `ticks` ticks, each run on from the last."""
    states = [engine.run(layout, 0, outages, state, troubles, seed)]
    for _ in range(ticks):
        states.append(engine.run(layout, 1, outages, states[-1], troubles, seed))
    return states
