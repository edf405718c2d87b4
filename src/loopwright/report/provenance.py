"""What the report was made from: enough to make it again."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from loopwright.exact import format_fraction
from loopwright.layout.document import layout_document
from loopwright.layout.layout import Layout
from loopwright.model import Project
from loopwright.record import Origin, digest, header
from loopwright.report.html import Html, element, join, paragraph, table
from loopwright.report.section import Section
from loopwright.simulate.run import Run
from loopwright.simulate.scenario import Scenario

KIND = "report"


def report_header(project: Project, layout: Layout, runs: Sequence[Run]) -> dict[str, Any]:
    """Kind, version and origin of the report; no times, so the same inputs give the same bytes."""
    parameters = {
        "layout": digest(layout_document(layout)),
        "scenarios": [_scenario(run.scenario) for run in runs],
    }
    return header(KIND, Origin(digest(project.document()), parameters))


def provenance_section(head: dict[str, Any]) -> Section:
    """The header of the report, readable."""
    origin = head["origin"]
    rows: list[tuple[str, str | Html]] = [
        ("Kind", f"{head['kind']}, version {head['version']}"),
        ("Software", f"{origin['software']} {origin['version']}"),
        ("Project", element("code", origin["input"])),
        ("Layout", element("code", origin["parameters"]["layout"])),
    ]
    for scenario in origin["parameters"]["scenarios"]:
        rows.append((f"Scenario {scenario['name']}", element("code", _one_line(scenario))))
    body = join(
        table("Origin", ("What", "Value"), rows),
        paragraph(
            "The same project, layout and scenarios give this report again, byte for byte.",
            class_="hint",
        ),
    )
    return Section("provenance", "Provenance", "What this report was made from.", body)


def header_meta(head: dict[str, Any]) -> Html:
    """The header as the first thing that a program finds in the page."""
    return element("meta", name="loopwright", content=_one_line(head))


def _one_line(document: Any) -> str:
    return json.dumps(document, ensure_ascii=False)


def _scenario(scenario: Scenario) -> dict[str, Any]:
    return {
        "name": scenario.name,
        "start": scenario.start,
        "span": format_fraction(scenario.span),
        "warm_up": format_fraction(scenario.warm_up),
        "seed": scenario.seed,
        "bin": format_fraction(scenario.bin),
        "outages": [
            {
                "source": outage.source,
                "start": format_fraction(outage.start),
                "span": format_fraction(outage.span),
            }
            for outage in scenario.outages
        ],
    }
