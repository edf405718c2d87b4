"""The project: everything that a design starts from."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Annotated, Any

from pydantic import Field, PlainValidator, WithJsonSchema, model_validator

from loopwright.model.choice import Choices
from loopwright.model.demand import Rate
from loopwright.model.equipment import Equipment, Station
from loopwright.model.field import About, Heading, Name, Section, fault, shown
from loopwright.model.letter import choose_letters
from loopwright.model.material import Material
from loopwright.model.process import Process
from loopwright.model.scenario import Scenario
from loopwright.model.site import Deposit, Site
from loopwright.model.titles import with_titles

FORMAT = 1
"""The version of the project file that this program reads."""


def _known_format(value: object) -> int:
    if str(value).strip() != str(FORMAT):
        raise fault("LW113", f"{shown(value)} is not a format that this program knows", str(FORMAT))
    return FORMAT


class Head(Section):
    """Name of the project and version of the file format."""

    format: Annotated[int, PlainValidator(_known_format), WithJsonSchema({"const": FORMAT})] = (
        Field(description="Version of this file format; always 1.")
    )
    name: Heading = Field(description="Name of the project, for title blocks.")
    about: About = Field(default="", description="What it is for, in a sentence or two.")


def _steady() -> dict[str, Scenario]:
    return {"steady": Scenario()}


class Project(Section):
    """Everything that a design starts from; all quantities exact, in base units."""

    project: Head = Field(description="Name and format.")
    materials: dict[Name, Material] = Field(
        max_length=500, description="What travels; at least one."
    )
    processes: dict[Name, Process] = Field(
        max_length=1000, description="What is done; at least one."
    )
    equipment: Equipment = Field(description="The catalogue.")
    site: Site = Field(default_factory=Site, description="Where it is to stand.")
    demand: dict[Name, Rate] = Field(
        description="Rate of each product that must come out; at least one."
    )
    choices: Choices = Field(
        default_factory=Choices, description="What is settled; the rest is worked out."
    )
    scenarios: dict[Name, Scenario] = Field(
        default_factory=_steady, description="Runs; one called steady where none is given."
    )

    @model_validator(mode="before")
    @classmethod
    def _fill_titles(cls, data: Any) -> Any:
        return with_titles(data)

    @cached_property
    def letters(self) -> Mapping[str, str]:
        """Mark of each material, all different."""
        return choose_letters({key: entry.letter for key, entry in self.materials.items()})

    def makers(self, material: str) -> tuple[str, ...]:
        """Processes that have `material` among their outputs, in the order of the file."""
        return tuple(key for key, process in self.processes.items() if material in process.outputs)

    def is_made(self, material: str) -> bool:
        """Whether processes make `material` on site on purpose. Raises KeyError if unknown."""
        supply = self.materials[material].supply
        return supply == "made" or (supply != "imported" and bool(self.makers(material)))

    def is_imported(self, material: str) -> bool:
        """Whether `material` may come in through docks. Raises KeyError if unknown."""
        supply = self.materials[material].supply
        if supply != "auto":
            return supply in ("imported", "either")
        return not self.makers(material) and not self.deposits(material)

    def deposits(self, material: str) -> tuple[Deposit, ...]:
        """Deposits of `material`, in the order of the file."""
        return tuple(one for one in self.site.deposits if one.material == material)

    def station_of(self, process: str) -> Station:
        """The station that runs `process`. Raises KeyError where one of the two is unknown."""
        return self.equipment.stations[self.processes[process].station]

    def document(self) -> dict[str, Any]:
        """JSON-ready form with everything filled in; it reads back to the same project."""
        return self.model_dump(mode="json", by_alias=True)
