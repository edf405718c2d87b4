"""A text laid out with another gate than its own."""

from __future__ import annotations

from loopwright.model.edit import EditError, set_entry
from loopwright.studio.folder import Folder
from loopwright.studio.laid import Drafts, Laid
from loopwright.studio.refusal import RefusalError


def lay_gated(drafts: Drafts, folder: Folder, file: str, text: str, gate: str | None) -> Laid:
    """`text` laid out, with `gate` in place of its own where one is given.

    Raises
    ------
    RefusalError
        The layout was edited by hand, where gates have rules of their own, or the text cannot be
        edited.
    DesignError
        As `Drafts.lay`.
    """
    if gate is None:
        return drafts.lay(folder, file, text)
    if folder.layout_path(file).exists():
        said = "The layout was edited by hand: its gates are changed on the Floor page."
        raise RefusalError(422, said)
    try:
        changed = set_entry(text, ("choices", "gate"), gate)
    except EditError as error:
        raise RefusalError(422, f"The gate cannot be tried: {error}.") from None
    return drafts.lay(folder, file, changed)
