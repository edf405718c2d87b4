"""Findings as lines of text for terminals, editors and logs."""

from __future__ import annotations

from collections.abc import Sequence

from loopwright.finding.finding import Finding, Place, Severity


def finding_text(finding: Finding) -> str:
    """One line: file:line:column, severity and code, key path, message, allowed, remedy."""
    spot = _spot(finding.place)
    about = finding.place.device or finding.place.path
    parts = [f"{about}: {finding.message}" if about else finding.message]
    if finding.allowed:
        parts.append(f"allowed: {finding.allowed}")
    if finding.remedy:
        parts.append(f"remedy: {finding.remedy}")
    head = f"{finding.severity.value} {finding.code}: "
    return f"{spot}: {head}{'; '.join(parts)}" if spot else head + "; ".join(parts)


def findings_text(findings: Sequence[Finding]) -> str:
    """One line a finding, and a last line that counts them by severity."""
    counts = [
        _count(sum(finding.severity is severity for finding in findings), severity.value)
        for severity in Severity
    ]
    last = ", ".join(count for count in counts if count) or "no findings"
    return "\n".join([*map(finding_text, findings), last])


def _spot(place: Place) -> str:
    numbers = (place.line, place.column) if place.line is not None else ()
    parts = [place.file, *(str(number) for number in numbers if number is not None)]
    return ":".join(part for part in parts if part)


def _count(count: int, word: str) -> str:
    if count == 0:
        return ""
    return f"{count} {word}" if count == 1 else f"{count} {word}s"
