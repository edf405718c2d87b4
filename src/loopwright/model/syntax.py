"""Faults of YAML itself, said in words for people who do not know its grammar."""

from __future__ import annotations

import re
from typing import Any

from ruamel.yaml.error import MarkedYAMLError

from loopwright.finding import Finding, Place, new_finding

# What the reader says; what we say; what to do; whether the place is where the thing began.
_SAYINGS: tuple[tuple[str, str, str, bool], ...] = (
    (
        "quoted scalar.*unexpected end",
        "the quote that opens here is never closed",
        "close it with the same quote",
        True,
    ),
    (
        "flow node",
        "a value is missing here",
        "write the value, or take the comma or colon out",
        False,
    ),
    (
        "block scalar",
        "a text after | or > begins in the next line",
        "put the text in quotes, or begin it in the next line",
        False,
    ),
    (
        "flow (mapping|sequence)",
        "the bracket that opens here is not closed, or a comma is missing inside",
        "close it, and put commas between its entries",
        True,
    ),
    (
        "could not find expected ':'",
        "this line is neither `key: value` nor part of a text",
        "write `key: value`, with a space after the colon",
        True,
    ),
    (
        "mapping (values|keys) are not allowed",
        "a colon or ? stands here, where no key can be",
        "put a text that holds a colon in quotes, or check the indentation",
        False,
    ),
    (
        "expected <block end>",
        "this does not fit to what stands before it",
        "give all keys of a section the same indentation, and all items of a list a dash",
        False,
    ),
    (
        "sequence entries are not allowed|block sequence",
        "a dash stands here, where no list can begin",
        "begin the list in its own line under the key",
        False,
    ),
    (
        "document start",
        "something stands here after the end of the project",
        "check the indentation, and take out lines of `...` or `---`",
        False,
    ),
    (
        "cannot start any token|block node",
        "a value cannot begin with this character",
        "put the value in quotes",
        False,
    ),
    (
        "escape",
        "this is no escape that a quoted text can have",
        "write \\\\ for a backslash",
        False,
    ),
    ("tag", "a tag stands here", "take the tag out", False),
    ("anchor|alias", "a name is missing after & or *", "put the value in quotes", False),
)


def syntax_finding(error: MarkedYAMLError, text: str, file: str) -> Finding:
    """The finding for an error of the YAML reader in `text`."""
    said = " ".join(str(part) for part in (error.context, error.problem) if part)
    said = " ".join(said.split())
    mark: Any = error.problem_mark or error.context_mark
    if mark is None:
        return new_finding("LW104", "this is not YAML", Place(file=file), value=said)
    if _at_tab(text, mark):
        return new_finding("LW105", "a tab stands in the indentation", _place(file, mark))
    for pattern, message, remedy, at_start in _SAYINGS:
        if re.search(pattern, said):
            spot = error.context_mark if at_start and error.context_mark else mark
            return new_finding("LW104", message, _place(file, spot), value=said, remedy=remedy)
    return new_finding("LW104", f"this is not YAML: {said}", _place(file, mark), value=said)


def _at_tab(text: str, mark: Any) -> bool:
    """Whether a tab indents the line of `mark`, or stands at it."""
    lines = text.split("\n")
    line = lines[mark.line] if mark.line < len(lines) else ""
    indent = line[: len(line) - len(line.lstrip())]
    return "\t" in indent or line[mark.column : mark.column + 1] == "\t"


def _place(file: str, mark: Any) -> Place:
    return Place(file=file, line=mark.line + 1, column=mark.column + 1)
