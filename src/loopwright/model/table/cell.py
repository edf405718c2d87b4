"""Text of a table -> rows of cells that know where they stand."""

from __future__ import annotations

import re
from dataclasses import dataclass

from loopwright.finding import Finding, new_finding
from loopwright.model.source import Spot

DELIMITERS = (",", ";", "\t")
"""What may stand between two cells."""

NAMES = {",": "comma", ";": "semicolon", "\t": "tab"}
_LINE = re.compile(r"\r\n|\n|\r")
_END = re.compile(r"\r\n|[\n\r]")


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell without the quotes round it; `start` is the column of its first character."""

    text: str
    spot: Spot
    start: int

    def spot_at(self, offset: int) -> Spot:
        """Where the character `offset` stands, for cells of one line."""
        return Spot(self.spot.file, self.spot.line, self.start + offset)


def delimiter_of(text: str, known: frozenset[str]) -> str:
    """What divides the cells: that which makes most `known` columns of the first line.

    Where two do, that which makes most cells; else a comma.
    """
    first = next((line for line in _LINE.split(text) if line.strip()), "")

    def worth(delimiter: str) -> tuple[int, int]:
        heads = [part.strip().strip('"').lower() for part in first.split(delimiter)]
        plain = [re.split(r"[\[(]", head)[0].strip() for head in heads]
        return sum(head in known for head in plain), len(heads)

    return max(DELIMITERS, key=worth)


def split_cells(
    text: str, file: str, delimiter: str
) -> tuple[list[list[Cell]], tuple[Finding, ...]]:
    """Rows of cells; rows without any text are left out, and one whose quote is not closed."""
    reader = _Reader(text, file, delimiter)
    reader.read()
    rows = [row for row in reader.rows if any(cell.text for cell in row)]
    return rows, tuple(reader.findings)


class _Reader:
    """Goes through the text once, keeping count of lines and columns."""

    def __init__(self, text: str, file: str, delimiter: str) -> None:
        self.text, self.file, self.delimiter = text, file, delimiter
        self.at, self.line, self.line_start = 0, 1, 0
        self.rows: list[list[Cell]] = []
        self.findings: list[Finding] = []
        self.broken = False
        self.plain = re.compile(rf"[^{re.escape(delimiter)}\r\n]*")

    def read(self) -> None:
        row: list[Cell] = []
        while True:
            row.append(self._cell())
            if self.broken:
                return
            ended = self.at >= len(self.text)
            if not ended and self.text[self.at] == self.delimiter:
                self.at += 1
                continue
            self.rows.append(row)
            row = []
            if ended:
                return
            self._new_line()

    def _new_line(self) -> None:
        found = _END.match(self.text, self.at)
        assert found is not None
        self.at = found.end()
        self.line, self.line_start = self.line + 1, self.at

    def _spot(self) -> Spot:
        return Spot(self.file, self.line, self.at - self.line_start + 1)

    def _cell(self) -> Cell:
        space = re.compile(r"[ \xa0]*").match(self.text, self.at)
        assert space is not None
        if self.text[space.end() : space.end() + 1] == '"':
            self.at = space.end()
            return self._quoted()
        found = self.plain.match(self.text, self.at)
        assert found is not None
        whole = found.group()
        text = whole.strip(" \xa0\t")
        self.at += len(whole) - len(whole.lstrip(" \xa0\t")) if text else 0
        spot = self._spot()
        self.at = found.end()
        return Cell(text, spot, spot.column)

    def _quoted(self) -> Cell:
        spot = self._spot()
        parts: list[str] = []
        self.at += 1
        start = self.at - self.line_start + 1
        while True:
            end = self.text.find('"', self.at)
            stop = len(self.text) if end < 0 else end
            self._take_lines(self.text[self.at : stop], parts)
            if end < 0:
                message = "the quote that opens here is never closed"
                remedy = 'close it with ", and write "" for a quote inside'
                self.findings.append(new_finding("LW160", message, spot.place(), remedy=remedy))
                self.broken = True
                break
            self.at = end + 1
            if self.text[self.at : self.at + 1] != '"':
                self._after_quote()
                break
            parts.append('"')
            self.at += 1
        content = "".join(parts)
        lead = len(content) - len(content.lstrip(" \xa0"))
        return Cell(content.strip(" \xa0"), spot, start + lead)

    def _take_lines(self, piece: str, parts: list[str]) -> None:
        """Take text inside quotes, which may go on over several lines."""
        for found in _END.finditer(piece):
            self.line += 1
            self.line_start = self.at + found.end()
        parts.append(_END.sub("\n", piece))

    def _after_quote(self) -> None:
        found = self.plain.match(self.text, self.at)
        assert found is not None
        rest = found.group()
        if rest.strip(" \xa0\t"):
            message = f"{rest.strip()[:40]!r} stands after the quote that closes the cell"
            remedy = f'write "" for a quote inside, and a {NAMES[self.delimiter]} between cells'
            place = self._spot().place()
            self.findings.append(new_finding("LW160", message, place, remedy=remedy))
        self.at = found.end()
