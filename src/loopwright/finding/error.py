"""The one error of a stage that cannot go on."""

from __future__ import annotations

from loopwright.finding.finding import Finding
from loopwright.finding.text import findings_text


class DesignError(Exception):
    """A stage cannot go on; `findings` holds everything it has to say, never only the first."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        super().__init__(findings)
        self.findings = findings

    def __str__(self) -> str:
        return findings_text(self.findings)
