"""From a path to the text of a table, also where it is not saved as UTF-8."""

from __future__ import annotations

from pathlib import Path

from loopwright.finding import Finding, Place, new_finding
from loopwright.model.load import MOST_BYTES, load_text


def load_table(path: Path, shown: str) -> tuple[str | None, tuple[Finding, ...]]:
    """The text of the table at `path`, or None and why not; findings call the file `shown`.

    A file that is no UTF-8 is read as Western European text (Windows-1252, which holds Latin-1),
    with a warning, if that gives a text without control characters.
    """
    text, findings = load_text(path, shown)
    if text is not None or [finding.code for finding in findings] != ["LW103"]:
        return text, findings
    with path.open("rb") as file:
        data = file.read(MOST_BYTES)
    if _is_utf_8(data):
        return None, findings
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        message = "this is text in UTF-16"
        remedy = "save it as CSV in UTF-8"
        return None, (new_finding("LW103", message, Place(file=shown), remedy=remedy),)
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError:
        return None, findings
    if not all(character.isprintable() or character in "\t\r\n\xa0" for character in text):
        return None, findings
    return text, (_guessed(text, data, shown),)


def _is_utf_8(data: bytes) -> bool:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _guessed(text: str, data: bytes, shown: str) -> Finding:
    first = next(index for index, byte in enumerate(data) if byte > 127)
    line_start = text.rfind("\n", 0, first) + 1
    line = text.count("\n", 0, first) + 1
    place = Place(file=shown, line=line, column=first - line_start + 1)
    end = text.find("\n", first)
    word = text[max(line_start, first - 12) : min(len(text) if end < 0 else end, first + 8)]
    message = f"the file is not in UTF-8; read as Western European text, {word.strip()!r} here"
    return new_finding("LW165", message, place, value=text[first])
