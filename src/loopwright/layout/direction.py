"""Which way the rows of a block flow, as the project says."""

from __future__ import annotations

from collections.abc import Sequence

from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.layout.module import Module


def module_flows(modules: Sequence[Module], flow: str, row_flows: Sequence[str]) -> list[str]:
    """Where each of `modules`, all those of a block, flows: east, west or auto. `row_flows` are
    those of single rows, `flow` holds for the rest.

    Raises
    ------
    DesignError
        LW437: rows of one module are to flow apart, or a row is named that is not there.
    """
    names = [row.name for module in modules for row in module.rows]
    told = dict(zip(names, row_flows, strict=False))
    findings: list[Finding] = []
    if len(row_flows) > len(names):
        message = f"{len(row_flows)} rows are told which way to flow"
        findings.append(_finding(message, f"{len(names)}, as many as there are rows"))
    flows: list[str] = []
    for module in modules:
        own = {row.name: told.get(row.name, "auto") for row in module.rows}
        ways = sorted(set(own.values()) - {"auto"})
        if len(ways) > 1:
            east, west = (", ".join(n for n in own if own[n] == way) for way in ways)
            message = f"{east} to the east, {west} to the west: they share a belt"
            findings.append(_finding(message, "one direction for all of them"))
        flows.append(ways[0] if ways else flow)
    if findings:
        raise DesignError(tuple(findings))
    return flows


def _finding(message: str, allowed: str) -> Finding:
    return new_finding("LW437", message, Place(path="choices.row_flows"), allowed=allowed)
