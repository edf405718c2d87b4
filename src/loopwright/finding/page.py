"""The page that lists every code, made from the register."""

from __future__ import annotations

from loopwright.finding.code import REGISTER, STAGES, Code

_HEAD = """\
# Findings

Whatever Loopwright has to tell about a design is a finding: a permanent code, how bad it is, where
it points, what is allowed and what to do. On a terminal a finding is one line:

    project.yaml:12:10: error LW115: processes.pack.cycle: '5' has no unit, but this is a time; ...

An error stops the stage that finds it, after all findings of that stage are told. A warning or a
note does not. This page is made from the register of codes; a code never changes its meaning.
"""


def findings_page() -> str:
    """The page, in Markdown."""
    parts = [_HEAD]
    for digit, stage in STAGES.items():
        entries = [entry for entry in REGISTER.values() if entry.code[2] == digit]
        lines = [f"## {digit}xx: {stage}", "", "| code | severity | finding | what to do |"]
        lines += ["|---|---|---|---|", *map(_row, entries), ""]
        parts.append("\n".join(lines))
    return "\n".join(parts)


def _row(entry: Code) -> str:
    return f"| {entry.code} | {entry.severity.value} | {entry.title} | {entry.remedy} |"
