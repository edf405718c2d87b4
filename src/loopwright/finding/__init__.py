"""Findings: what the program has to tell, as data, with permanent codes."""

from loopwright.finding.code import REGISTER, Code, new_finding
from loopwright.finding.error import DesignError
from loopwright.finding.finding import Finding, Place, Severity
from loopwright.finding.json import finding_document, findings_json
from loopwright.finding.order import has_errors, in_order
from loopwright.finding.text import finding_text, findings_text

__all__ = [
    "REGISTER",
    "Code",
    "DesignError",
    "Finding",
    "Place",
    "Severity",
    "finding_document",
    "finding_text",
    "findings_json",
    "findings_text",
    "has_errors",
    "in_order",
    "new_finding",
]
