"""What the program has to tell about the design."""

from __future__ import annotations

from collections.abc import Sequence

from loopwright.finding import Finding, Severity, in_order
from loopwright.report.html import Html, element, join, paragraph
from loopwright.report.number import several
from loopwright.report.section import Section


def findings_section(findings: Sequence[Finding]) -> Section:
    """All findings, errors first."""
    told = in_order(findings)
    if not told:
        body = paragraph("Nothing was found that you would have to look at.")
    else:
        groups = [
            [finding for finding in told if finding.severity is severity] for severity in Severity
        ]
        body = join(
            _summary(groups),
            element("ul", (_item(one) for group in groups for one in group), class_="findings"),
        )
    return Section("findings", "Findings", "What to look at, and what to do about it.", body)


def _summary(groups: Sequence[Sequence[Finding]]) -> Html:
    counts = [several(len(group), group[0].severity.value) for group in groups if group]
    return paragraph(", ".join(counts) + ".")


def _item(finding: Finding) -> Html:
    place = finding.place
    spot = [str(part) for part in (place.file, place.line, place.column) if part is not None]
    where = " · ".join(part for part in (":".join(spot), place.path, place.device) if part)
    details = [("Found", finding.value), ("Allowed", finding.allowed), ("Remedy", finding.remedy)]
    return element(
        "li",
        element("strong", f"{finding.severity.value} {finding.code}", class_="severity"),
        " ",
        finding.message,
        element("span", where, class_="where") if where else None,
        element(
            "dl",
            (
                element("div", element("dt", name), element("dd", text))
                for name, text in details
                if text
            ),
        ),
        class_=finding.severity.value,
    )
