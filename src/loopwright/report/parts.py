"""The parts list: what has to be bought, built and powered."""

from __future__ import annotations

from fractions import Fraction

from loopwright.block import Block
from loopwright.layout.inventory import list_parts, total_effort, total_power
from loopwright.layout.layout import Layout
from loopwright.model import Project
from loopwright.report.html import join, paragraph, table
from loopwright.report.number import NONE, amount, counted
from loopwright.report.section import Section


def parts_section(project: Project, block: Block, layout: Layout) -> Section:
    """The parts list with totals."""
    parts = list_parts(project, block, layout)
    rows = [
        (
            part.kind,
            part.item,
            counted(part.count) + (" cells" if part.unit == "cells" else ""),
            _figure(part.effort),
            _figure(part.effort, part.count),
            _figure(part.power),
            _figure(part.power, part.count),
        )
        for part in parts
    ]
    heads = (
        "Kind", "Item", "Count", "Effort each", "Effort", "Power each [kW]", "Power [kW]"
    )  # fmt: skip
    effort, power = amount(total_effort(parts)), amount(total_power(parts))
    foot = ("In all", "", "", "", effort, "", power)
    body = join(
        table("Parts", heads, rows, numbers=range(2, 7), foot=foot),
        paragraph(
            "Counted from the drawing. Effort is what a device costs the host simulation to run, "
            "as the catalogue says; a dash means that the catalogue gives no figure.",
            class_="hint",
        ),
    )
    return Section("parts", "Parts", "What stands in the drawing, by kind.", body)


def _figure(value: Fraction | None, count: int = 1) -> str:
    return NONE if value is None else amount(value * count)
