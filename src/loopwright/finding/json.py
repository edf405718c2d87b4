"""Findings as JSON for other programs."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from loopwright.finding.finding import Finding


def finding_document(finding: Finding) -> dict[str, Any]:
    """JSON-ready form; what is not known is left out."""
    place = finding.place
    entries: dict[str, Any] = {
        "code": finding.code,
        "severity": finding.severity.value,
        "message": finding.message,
        "file": place.file,
        "line": place.line,
        "column": place.column,
        "path": place.path,
        "device": place.device,
        "value": finding.value,
        "allowed": finding.allowed,
        "remedy": finding.remedy,
    }
    return {key: entry for key, entry in entries.items() if entry is not None}


def findings_json(findings: Sequence[Finding]) -> str:
    """A JSON list of all findings, indented by two."""
    documents = [finding_document(finding) for finding in findings]
    return json.dumps(documents, indent=2, ensure_ascii=False)
