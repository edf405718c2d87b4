"""Order and weight of findings."""

from __future__ import annotations

from collections.abc import Iterable

from loopwright.finding.finding import Finding, Severity


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings in reading order: by file, line and column, then code; doubles are dropped."""
    return tuple(sorted(dict.fromkeys(findings), key=_key))


def has_errors(findings: Iterable[Finding]) -> bool:
    """Whether one of the findings is an error."""
    return any(finding.severity is Severity.ERROR for finding in findings)


def _key(finding: Finding) -> tuple[str, int, int, str, str, str, str]:
    place = finding.place
    return (
        place.file or "",
        place.line or 0,
        place.column or 0,
        place.path or "",
        place.device or "",
        finding.code,
        finding.message,
    )
