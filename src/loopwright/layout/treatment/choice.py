"""A choice of a project that does not go with a treatment at work."""

from __future__ import annotations

from loopwright.block.block import Block
from loopwright.finding import DesignError, Place, new_finding
from loopwright.model import Project


def check_treatment(block: Block, project: Project) -> None:
    """What `block` takes comes by trunks, which pass under the applicators.

    Raises
    ------
    DesignError
        LW311: its rows are to have docks of their own.
    """
    if project.choices.supply != "docks":
        return
    finding = new_finding(
        "LW311",
        f"treatment {block.treatment} marks what comes by trunks, but each row of {block.process} "
        "is to have docks of its own",
        Place(path="choices.supply"),
        value="docks",
        allowed="trunks, or auto",
        remedy="set `choices.supply` to auto, or leave the treatment out",
    )
    raise DesignError((finding,))
