"""From a path to text, with limits."""

from __future__ import annotations

import re
from pathlib import Path

from loopwright.finding import Finding, Place, new_finding

_FOREIGN = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

MOST_BYTES = 2_000_000
"""Largest project or catalogue file [bytes]."""


def load_text(
    path: Path, shown: str, most: int = MOST_BYTES
) -> tuple[str | None, tuple[Finding, ...]]:
    """The text of the file at `path`, or None and why not; findings call the file `shown`.

    It may have `most` bytes.
    """
    place = Place(file=shown)
    try:
        if path.is_dir():
            message = "this is a folder, not a file"
            return None, (new_finding("LW101", message, place, remedy="name the file in it"),)
        if path.exists() and not path.is_file():
            return None, (new_finding("LW101", "this is not an ordinary file", place),)
        with path.open("rb") as file:
            data = file.read(most + 1)
    except FileNotFoundError:
        return None, (new_finding("LW101", "there is no such file", place),)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the path is not usable"
        return None, (new_finding("LW101", f"it cannot be read: {reason}", place),)
    if len(data) > most:
        allowed = f"at most {most} bytes"
        return None, (new_finding("LW102", "the file is too large", place, allowed=allowed),)
    return _decode(data, shown)


def _decode(data: bytes, shown: str) -> tuple[str | None, tuple[Finding, ...]]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        place = _place(data[: error.start].decode("utf-8", "replace"), shown)
        message = f"the byte 0x{data[error.start]:02x} does not belong in a text in UTF-8"
        return None, (new_finding("LW103", message, place),)
    foreign = _FOREIGN.search(text)
    if foreign is not None:
        message = f"the control character U+{ord(foreign.group()):04X} does not belong in a text"
        return None, (new_finding("LW103", message, _place(text[: foreign.start()], shown)),)
    return text, ()


def _place(before: str, shown: str) -> Place:
    line = before.count("\n") + 1
    return Place(file=shown, line=line, column=len(before) - (before.rfind("\n") + 1) + 1)
