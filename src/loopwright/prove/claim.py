"""What is claimed of a loop, on which assumptions, and for which reasons."""

from __future__ import annotations

from dataclasses import dataclass

CANNOT_JAM = "cannot jam"
FULL_RATE = "returns to full rate by itself"
QUESTIONS = (CANNOT_JAM, FULL_RATE)

ASSUMPTIONS = {
    "A0": "it starts empty, or primed with a cell of the loop free and no quota exceeded, or in a "
    "state that such a run has reached",
    "A1": "the belts of the loop run, and its gate and pickers work as the rules of a tick say",
    "A2": "a picker that misses picks does not miss them for ever",
    "A3": "every outage ends, and the dock then supplies again",
    "A4": "nothing but the gate puts anything on the loop, and no hand adds or removes anything",
    "A5": "products are taken away: no outlet stays blocked for ever",
    "A6": "inputs that do not come by this loop do not stay away for ever",
    "A7": "it starts empty; or primed with a cell of the loop free, where all caps hold the same "
    "number of cycles; or in a state that such a run has reached",
    "A8": "a row that is offered more than it uses of every input in every turn runs at full rate: "
    "pickers keep up, and stations up the line leave enough for those behind. Measured, not proved",
    "A9": "docks that serve others before this loop bring what they are said to once outages are "
    "over, and in the long run stations use no more than their cycles say",
    "A10": "the drain of what has no place takes all that comes, at all times",
    "A11": "it starts empty; or primed, with the first belt of the row full in the order of the "
    "pattern and the feeds full, nothing else on the loop; or in a state that such a run has "
    "reached",
}
"""The assumptions of the theorems in docs/theory/prove.md, by their names there."""

GIVEN = {
    "quota": ("A0", "A1", "A2", "A3", "A4", "A5"),
    "ratio": ("A7", "A1", "A2", "A3", "A4", "A5"),
    "flow": ("A0", "A1", "A2", "A3", "A4", "A5", "A8"),
    "drain": ("A1", "A2", "A3", "A5", "A10"),
    "share": ("A1", "A2", "A3", "A5", "A8", "A10"),
    "siding": ("A11", "A1", "A2", "A3", "A4", "A5"),
    "refill": ("A11", "A1", "A2", "A3", "A4", "A5", "A8"),
}
"""What each theorem takes for granted; A6 is added where inputs come by other ways, and
A9 where others are served before the loop."""

QUESTION_OF = {
    "quota": CANNOT_JAM,
    "ratio": CANNOT_JAM,
    "drain": CANNOT_JAM,
    "flow": FULL_RATE,
    "share": FULL_RATE,
    "siding": CANNOT_JAM,
    "refill": FULL_RATE,
}


@dataclass(frozen=True, slots=True)
class Reason:
    """One line of a proof: what it speaks of, and the statement with its numbers."""

    topic: str
    text: str


@dataclass(frozen=True, slots=True)
class Claim:
    """A proved answer: the loop, the question, the theorem of docs/theory/prove.md that gives it,
    the assumptions by name, and a reason on each line."""

    loop: str
    question: str
    theorem: str
    given: tuple[str, ...]
    reasons: tuple[Reason, ...]
