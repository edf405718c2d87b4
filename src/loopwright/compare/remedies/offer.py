"""What is offered for a design: changes that can be made in its file, and advice beside them."""

from __future__ import annotations

from dataclasses import dataclass

from loopwright.compare.change import changed_text
from loopwright.compare.remedies.asked import Candidate, bench_of
from loopwright.compare.remedies.candidate import candidates_of
from loopwright.compare.remedies.collected import collector_advice
from loopwright.model import Project
from loopwright.model.edit import EditError


@dataclass(frozen=True, slots=True)
class Offer:
    """`candidates` in the order of preference; `advice` is what would help too, but cannot be
    written into the file."""

    candidates: tuple[Candidate, ...]
    advice: tuple[str, ...] = ()


def offer_for(project: Project, text: str | None = None) -> Offer:
    """What may help `project`; with the `text` of its file only what can be written there.

    Raises
    ------
    DesignError
        The project cannot be built as it is.
    """
    here = bench_of(project)
    found, advice = [], list(collector_advice(here))
    for candidate in candidates_of(here):
        why_not = "" if text is None else _why_not(candidate, text)
        if why_not:
            advice.append(f"{candidate.why}: {why_not}")
        else:
            found.append(candidate)
    return Offer(tuple(found), tuple(advice))


def _why_not(candidate: Candidate, text: str) -> str:
    try:
        changed_text(text, candidate.change)
    except EditError as error:
        return str(error)
    return ""
