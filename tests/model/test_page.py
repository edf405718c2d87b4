"""The page of the project file is fresh and whole."""

from __future__ import annotations

from loopwright.model.page import project_page
from tests.model.project_page import PAGE


def test_the_page_is_that_of_the_models() -> None:
    text = PAGE.read_text("utf-8")
    assert text == project_page(), "run: python -m tests.model.project_page"


def test_the_page_has_a_section_for_everything() -> None:
    titles = [line[3:] for line in project_page().splitlines() if line.startswith("## ")]
    assert titles == [
        "project",
        "materials.NAME",
        "processes.NAME",
        "equipment",
        "equipment.stations.NAME",
        "equipment.belts.NAME",
        "equipment.pickers.NAME",
        "equipment.junctions",
        "equipment.junctions.merge",
        "equipment.junctions.divert",
        "equipment.junctions.gate",
        "equipment.junctions.bridge",
        "equipment.power_nodes.NAME",
        "equipment.treatments.NAME",
        "site",
        "site.obstacles[]",
        "site.docks[]",
        "site.outgoing[]",
        "site.deposits[]",
        "demand.NAME",
        "choices",
        "choices.objective",
        "scenarios.NAME",
        "scenarios.NAME.outages[]",
        "scenarios.NAME.mishaps",
        *(
            f"scenarios.NAME.mishaps.{name}"
            for name in (
                "cycles",
                "failures[]",
                "failures[].law",
                "arrivals[]",
                "arrivals[].law",
                "supplies[]",
                "brown_outs[]",
                "slow[]",
                "foreign[]",
                "removed[]",
            )
        ),
    ]
