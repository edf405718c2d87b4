"""Writing a text that a page has changed, so that no change of anyone is lost."""

from __future__ import annotations

from loopwright.studio.desk import Desk
from loopwright.studio.folder import Held
from loopwright.studio.merge import merge_texts
from loopwright.studio.message import Conflict, Saved
from loopwright.studio.refusal import RefusalError


def save_text(desk: Desk, file: str, text: str, base: str) -> Saved:
    """Write `text`, made from the text with the digest `base`, into `file`.

    Where the file holds another text by now, both changes go in if they do not touch. An empty
    `base` makes the file.

    Raises
    ------
    RefusalError
        The changes touch (409, with the other text), or the file cannot be read or written.
    """
    with desk.writing:
        if base == "":
            return _written(desk, file, desk.folder.create(file, text), None)
        there = desk.folder.read(file)
        if there.text == text:
            return Saved(digest=there.digest)
        desk.history.add(file, there.digest, there.text)
        if there.digest == base:
            return _written(desk, file, desk.folder.write(file, text), None)
        start = desk.history.recall(file, base)
        merged = None if start is None else merge_texts(start, text, there.text)
        if merged is None:
            desk.history.remember(there.digest, there.text)
            error = f"{file} was changed by someone else, on the same lines."
            body = Conflict(error=error, digest=there.digest, theirs=there.text)
            raise RefusalError(409, error, body=body)
        return _written(desk, file, desk.folder.write(file, merged), merged)


def _written(desk: Desk, file: str, held: Held, merged: str | None) -> Saved:
    desk.history.add(file, held.digest, held.text)
    desk.history.remember(held.digest, held.text)
    desk.watch.wrote(file, held.digest)
    return Saved(digest=held.digest, text=merged)
