"""What mixes fresh material before the lanes of a block, where `choices.mix` asks for a mixer."""

from __future__ import annotations

from loopwright.block.mixer import Mixer, RatioError, design_mixer
from loopwright.block.sequence import whole_shares
from loopwright.block.task import Task
from loopwright.finding import DesignError, Place, new_finding
from loopwright.model import Project

MIXER = "mixer"
"""The choice of a mixer for the fresh mix of a lane."""

BEHIND = ("auto", "drained", "open")
"""Gates of loops that can stand behind a mixer."""

WHY_NOT = {
    "ratio-locked": "a mixed belt has one inlet at the gate, and a pattern of one inlet keeps no "
    "ratio",
    "counted": "it keeps out what has its quota, and that holds up all behind it on the one belt",
    "windowed": "it keeps out what has its quota, and that holds up all behind it on the one belt",
    "scarcest-first": "it chooses among the materials that wait, and on one belt only the first "
    "can pass",
}
"""Why others cannot."""


def lane_mixer(architecture: str, task: Task, project: Project) -> Mixer | None:
    """The mixer before each lane of `architecture`, with the fewest devices; None where a gate
    mixes, or nothing has to be mixed.

    Raises
    ------
    DesignError
        LW436: the ratio has no mixer, or a loop's gate cannot stand behind one.
    """
    choices = project.choices
    if choices.mix != MIXER or architecture == "plain":
        return None
    if architecture == "loop" and choices.gate not in BEHIND:
        why = WHY_NOT.get(choices.gate, "it has to see each material at an inlet of its own")
        raise DesignError(
            (
                new_finding(
                    "LW436",
                    f"no loop with gate: {choices.gate} behind a mixer: {why}",
                    Place(path="choices.gate"),
                    value=choices.gate,
                    allowed="drained, open, or auto",
                    remedy="set `choices.gate` to drained, or `choices.mix` to gate",
                ),
            )
        )
    shares = whole_shares(list(task.carriers.values()))
    try:
        return design_mixer(dict(zip(task.carriers, shares, strict=True)))
    except RatioError as error:
        ratio = ":".join(map(str, shares))
        message = f"carriers in the ratio {ratio} have no mixer: {error}"
        raise DesignError(
            (new_finding("LW436", message, Place(path="choices.mix"), value=MIXER),)
        ) from None
