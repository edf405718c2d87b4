"""What do we have, what must come out? Project file -> Project."""

from loopwright.model.choice import Choices, Objective
from loopwright.model.equipment import (
    Belt,
    BridgeJunction,
    Equipment,
    GateJunction,
    Junction,
    Junctions,
    Picker,
    PowerNode,
    Station,
    Treatment,
)
from loopwright.model.locate import locate_findings
from loopwright.model.material import Material
from loopwright.model.process import Process
from loopwright.model.project import Head, Project
from loopwright.model.read import check_project, check_text, read_project
from loopwright.model.scenario import Outage, Scenario
from loopwright.model.schema import project_schema
from loopwright.model.site import Deposit, Dock, Obstacle, Site
from loopwright.model.starter import starter_text

__all__ = [
    "Belt",
    "BridgeJunction",
    "Choices",
    "Deposit",
    "Dock",
    "Equipment",
    "GateJunction",
    "Head",
    "Junction",
    "Junctions",
    "Material",
    "Objective",
    "Obstacle",
    "Outage",
    "Picker",
    "PowerNode",
    "Process",
    "Project",
    "Scenario",
    "Site",
    "Station",
    "Treatment",
    "check_project",
    "check_text",
    "locate_findings",
    "project_schema",
    "read_project",
    "starter_text",
]
