"""The page docs/findings.md, written from the register of codes: python -m, or make pages."""

from __future__ import annotations

from loopwright.finding import REGISTER, Code
from tests.repository.repository import ROOT

PAGE = ROOT / "docs" / "findings.md"

HEAD = """\
# Findings

Whatever Loopwright has to tell comes as findings, all at once: a code, how bad it is, where it is,
what was found, what is allowed, and what to do next. Codes are permanent: one meaning each, never
used again for another. An **error** stops the design; a **warning** does not, but look; a **note**
is good to know. With `--json`, findings are a list for other programs.

This page is made from the register in the code (`make pages`).
"""


def page_text() -> str:
    """The whole page."""
    stages: dict[str, list[Code]] = {}
    for code in REGISTER.values():
        stages.setdefault(code.stage, []).append(code)
    parts = [HEAD]
    for stage, codes in stages.items():
        rows = [
            f"| {entry.code} | {entry.severity.value} | {entry.title} | {entry.remedy} |"
            for entry in codes
        ]
        title = f"## {stage[0].upper()}{stage[1:]}\n"
        heads = ["| code | severity | what it says | what to do |", "|---|---|---|---|"]
        parts.append("\n".join([title, *heads, *rows, ""]))
    return "\n".join(parts)


if __name__ == "__main__":
    PAGE.write_text(page_text(), encoding="utf-8", newline="\n")
