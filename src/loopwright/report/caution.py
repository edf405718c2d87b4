"""What this report is not."""

from __future__ import annotations

from loopwright.report.html import bullets, join, paragraph
from loopwright.report.section import Section

POINTS = (
    "Every number follows from the project file. Where the file differs from the real equipment, "
    "so does the block.",
    "The simulation moves units by fixed rules; people, wear, dirt and weather are not in it.",
    "Before anything is built or started, guarding, emergency stops, lock-out, walkways, loads and "
    "electrical work have to be settled by those who answer for them: the local codes and licensed "
    "engineers decide, not this report.",
    "Never reach into a belt, picker or station to clear a jam before it is locked out.",
)


def caution_section() -> Section:
    """A planning aid only."""
    lead = "This is a planning aid. It is no safety document and no release for building."
    body = join(paragraph(lead, class_="lead"), bullets(POINTS))
    return Section("caution", "Caution", "What this report is not.", body)
