"""Runs that jobs speak of, to be looked at on the floor: a jam of a proof, a case of a battery."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from loopwright.compare.stress.battery import case_text
from loopwright.compare.stress.case import Case
from loopwright.compare.stress.watched import watched_case
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.state import State
from loopwright.studio.gated import lay_gated
from loopwright.studio.laid import Laid
from loopwright.studio.message import Job
from loopwright.studio.refusal import RefusalError

if TYPE_CHECKING:
    from loopwright.studio.desk import Desk

Replay = tuple[Laid, Scenario, State | None]
"""What stands on the floor, what is done to it, and the state to begin with, None for its own."""


def replayed(desk: Desk, play: str) -> Replay:
    """The run that `play` names, "JOB:ITEM": the loop of a job `prove`, or the number of the case
    of a job `stress`; on the text that the job worked on.

    Raises
    ------
    RefusalError
        There is no such job, or it has no such run.
    DesignError
        The text does not lead to a floor any more.
    """
    name, _, item = play.partition(":")
    job = desk.jobs.get(name)
    found = _entry(job, desk.jobs.result(job.id) or {}, item)
    if found is None:
        raise RefusalError(404, f"The job has no run of {item!r}.")
    gate = job.options.get("gate")
    text = desk.jobs.text(job.id)
    laid = lay_gated(desk.drafts, desk.folder, job.file, text, str(gate) if gate else None)
    if job.kind == "prove":
        return laid, _scenario(found), None
    span, share = Fraction(found["span"]), Fraction(found["share"])
    case = Case(found["kind"], found["material"], span, share)
    layout, scenario, start = watched_case(laid.layout, case, case_text(case))
    return replace(laid, layout=layout), scenario, start


def _entry(job: Job, result: dict[str, Any], item: str) -> dict[str, Any] | None:
    """The scenario or the case that `item` is about."""
    if job.kind == "stress":
        cases: list[dict[str, Any]] = result.get("cases", [])
        return cases[int(item)] if item.isdecimal() and int(item) < len(cases) else None
    if job.kind != "prove":
        return None
    for verdict in result.get("verdicts", []):
        shown = verdict["jam"] or verdict["shortfall"]
        if verdict["loop"] == item and shown:
            scenario: dict[str, Any] = shown["scenario"]
            return scenario
    return None


def _scenario(told: dict[str, Any]) -> Scenario:
    """A scenario of the prover, who knows no disturbances but outages."""
    span, warm_up, width = (Fraction(told[name]) for name in ("span", "warm_up", "bin"))
    outages = tuple(
        Outage(one["source"], Fraction(one["start"]), Fraction(one["span"]))
        for one in told["outages"]
    )
    return Scenario(told["name"], told["start"], span, warm_up, width, outages, seed=told["seed"])
