"""Tables -> the tree of a project, every value with its file, line and column."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from loopwright.exact import UNITS
from loopwright.finding import Finding, has_errors, new_finding
from loopwright.model.field import Quantity
from loopwright.model.near import listed, nearest
from loopwright.model.source import Mapping, Scalar, Spot, Tree
from loopwright.model.table.cell import NAMES, Cell, delimiter_of, split_cells
from loopwright.model.table.kind import KINDS, Column, Kind, kind_of
from loopwright.model.table.load import load_table
from loopwright.model.table.mixture import read_mixture
from loopwright.model.table.number import Marks, head_unit, lacks_unit, marks_of, with_unit

_KNOWN = frozenset(name for kind in KINDS.values() for name in kind.columns)
_HEAD = re.compile(r"(?P<name>[^\[(]*?)\s*(?:[\[(](?P<unit>[^\])]*)[\])])?\s*")


@dataclass(slots=True)
class Head:
    """The head of one column: `column` is None where it is to be passed over."""

    cell: Cell
    name: str
    unit: str
    column: Column | None = None
    faulty: bool = False


@dataclass(slots=True)
class Table:
    """One table as it was read; rows keep only cells under known columns."""

    kind: Kind
    spot: Spot
    heads: list[Head]
    rows: list[list[Cell]]
    marks: Marks

    def has(self, name: str) -> bool:
        """Whether there is a column of that name."""
        return any(head.column is not None and head.name == name for head in self.heads)


@dataclass(slots=True)
class Reading:
    """Tables under way to a tree."""

    tables: list[Table] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def add(self, path: Path) -> None:
        """Take the table at `path`."""
        shown = str(path)
        text, found = load_table(path, shown)
        self.findings += found
        if text is not None:
            self.add_text(text, shown, path.stem)

    def add_text(self, text: str, shown: str, stem: str) -> None:
        """Take the table in `text`; findings call it `shown`."""
        delimiter = delimiter_of(text, _KNOWN)
        rows, found = split_cells(text, shown, delimiter)
        self.findings += found
        start = Spot(shown, 1, 1)
        if has_errors(found) and len(rows) < 2:
            return
        if not rows:
            message = "there is no table in the file"
            remedy = "let the first line name the columns"
            self.findings.append(new_finding("LW160", message, start.place(), remedy=remedy))
            return
        heads = [_head(cell) for cell in rows[0]]
        kind = kind_of([head.name for head in heads], stem, rows[0][0].spot)
        if isinstance(kind, Finding):
            self.findings.append(kind)
            return
        self.findings += _match(heads, kind)
        self.findings += _nameless(heads, rows[1:])
        kept, misfits = _fitting(rows[1:], len(heads), delimiter)
        self.findings += misfits
        numbers = [index for index, head in enumerate(heads) if head.column and head.column.rule]
        marks = marks_of((row[index] for row in kept for index in numbers), delimiter)
        self.tables.append(Table(kind, rows[0][0].spot, heads, kept, marks))

    def tree(self) -> Mapping:
        """The tree of all tables."""
        spot = self.tables[0].spot if self.tables else Spot("", 1, 1)
        root = Mapping(spot)
        apart = any(table.kind.word == "amounts" for table in self.tables)
        for table in self.tables:
            if table.kind.word != "amounts":
                section = _section(root, table.kind.section, table.spot)
                self._missing(table, apart)
                for row in table.rows:
                    self._row(table, row, section, apart)
        for table in self.tables:
            if table.kind.word == "amounts":
                self._missing(table, apart)
                for row in table.rows:
                    self._amount(table, row, root)
        return root

    def _missing(self, table: Table, apart: bool) -> None:
        for name in table.kind.required:
            if table.has(name) or (name == "outputs" and apart):
                continue
            message = f"a table of {table.kind.word} needs a column {name!r}"
            place, allowed = table.spot.place(), listed(table.kind.columns, 20)
            self.findings.append(new_finding("LW163", message, place, value=name, allowed=allowed))

    def _row(self, table: Table, row: Sequence[Cell], section: Mapping, apart: bool) -> None:
        """One entry of a section."""
        cells = _cells(table, row)
        named = cells.get("name")
        if named is None:
            return
        if not named.text:
            message, remedy = "the row has no name", "write one, or empty the whole row"
            place = named.spot.place()
            self.findings.append(new_finding("LW112", message, place, remedy=remedy))
            return
        if self._twice(named, section):
            return
        entry = Mapping(named.spot)
        for name, column in table.kind.columns.items():
            cell = cells.get(name)
            if name == "name" or (name == "outputs" and apart and not (cell and cell.text)):
                continue
            path = ".".join((*table.kind.section, named.text, name))
            node = self._value(table, column, cell, named.spot, path)
            if node is not None:
                entry.entries[name] = node
                entry.keys[name] = node.spot
        section.entries[named.text] = entry
        section.keys[named.text] = named.spot

    def _twice(self, named: Cell, section: Mapping) -> bool:
        if named.text not in section.entries:
            return False
        first = section.keys[named.text]
        there = "" if first.file == named.spot.file else f" of {first.file}"
        message = f"{named.text[:40]!r} stands here again; it was given in line {first.line}{there}"
        place = named.spot.place()
        self.findings.append(new_finding("LW106", message, place, value=named.text[:80]))
        return True

    def _value(
        self, table: Table, column: Column, cell: Cell | None, row: Spot, path: str
    ) -> Tree | None:
        """The node of one cell; None where the default holds."""
        if cell is None or not cell.text:
            if not column.required:
                return None
            if cell is not None:
                message = f"the cell under {column.name!r} is empty, but it has no default"
                place = cell.spot.place(path)
                remedy = "fill it in"
                self.findings.append(new_finding("LW112", message, place, remedy=remedy))
            return Scalar(row if cell is None else cell.spot, None, faulty=True)
        if column.mixed:
            mixture, found = read_mixture(cell)
            self.findings += found
            return mixture
        if column.rule is None:
            return Scalar(cell.spot, cell.text)
        return self._number(table, column, cell)

    def _number(self, table: Table, column: Column, cell: Cell) -> Scalar:
        head = next(head for head in table.heads if head.column is column)
        text = table.marks.point_text(cell)
        if isinstance(text, Finding):
            self.findings.append(text)
            return Scalar(cell.spot, cell.text, faulty=True)
        if head.unit:
            return Scalar(cell.spot, with_unit(text, head.unit))
        if lacks_unit(column, text):
            if not head.faulty:
                self.findings.append(_no_unit(head, column, cell))
            head.faulty = True
            return Scalar(cell.spot, cell.text, faulty=True)
        return Scalar(cell.spot, text)

    def _amount(self, table: Table, row: Sequence[Cell], root: Mapping) -> None:
        """One row of a table of amounts: an input or output of a process."""
        cells = _cells(table, row)
        if len(cells) < len(table.kind.columns):
            return
        empty = [cell for cell in cells.values() if not cell.text]
        for cell in empty:
            message = "this cell must not be empty"
            place = cell.spot.place()
            self.findings.append(new_finding("LW112", message, place, remedy="fill it in"))
        side = self._side(cells["side"])
        processes = root.entries.get("processes")
        known = processes.entries if isinstance(processes, Mapping) else {}
        name = cells["process"].text
        entry = known.get(name)
        if name and entry is None:
            self.findings.append(_unknown_process(cells["process"], known))
        if empty or side is None or not isinstance(entry, Mapping):
            return
        mixture = entry.entries.setdefault(side, Mapping(cells["material"].spot))
        entry.keys.setdefault(side, cells["material"].spot)
        material = cells["material"]
        if not isinstance(mixture, Mapping) or self._twice(material, mixture):
            return
        mixture.keys[material.text] = material.spot
        amount = self._number(table, table.kind.columns["amount"], cells["amount"])
        mixture.entries[material.text] = amount

    def _side(self, cell: Cell) -> str | None:
        side = cell.text.lower().rstrip("s")
        if side in ("input", "output"):
            return side + "s"
        if cell.text:
            message = f"{cell.text[:40]!r} is not one of the allowed words"
            place = cell.spot.place()
            allowed = "input, output"
            self.findings.append(
                new_finding("LW117", message, place, value=cell.text[:80], allowed=allowed)
            )
        return None


def _head(cell: Cell) -> Head:
    found = _HEAD.fullmatch(" ".join(cell.text.split()))
    name, unit = (found["name"], found["unit"] or "") if found else (cell.text, "")
    return Head(cell, re.sub(r"[ -]+", "_", name.strip().lower()), unit.strip())


def _match(heads: Iterable[Head], kind: Kind) -> list[Finding]:
    """Give each head its column; what is wrong with names and units."""
    findings = []
    met: dict[str, Spot] = {}
    for head in heads:
        place, shown = head.cell.spot.place(), head.cell.text[:40]
        column = kind.columns.get(head.name)
        if column is None and head.cell.text:
            near = nearest(head.name, kind.columns)
            message = f"a table of {kind.word} has no column {shown!r}"
            allowed = listed(kind.columns, 20)
            remedy = f"did you mean {near!r}?" if near else None
            findings.append(
                new_finding("LW162", message, place, value=shown, allowed=allowed, remedy=remedy)
            )
        if column is None:
            continue
        if head.name in met:
            message = f"the column {head.name!r} stands here again"
            findings.append(new_finding("LW106", message, place, value=head.name))
            continue
        met[head.name] = head.cell.spot
        head.column = column
        wrong = head_unit(column, head.unit, head.cell.spot) if head.unit else None
        if wrong is not None:
            findings.append(wrong)
            head.unit, head.faulty = "", True
    return findings


def _nameless(heads: Sequence[Head], rows: Iterable[Sequence[Cell]]) -> list[Finding]:
    """Columns without a head that are not empty."""
    findings = []
    for index, head in enumerate(heads):
        if head.cell.text:
            continue
        filled = next((row[index] for row in rows if index < len(row) and row[index].text), None)
        if filled is not None:
            message = f"the column has no name, but {filled.text[:40]!r} stands in it"
            remedy = "name the column, or empty it"
            place = head.cell.spot.place()
            findings.append(new_finding("LW162", message, place, remedy=remedy))
    return findings


def _fitting(
    rows: Iterable[list[Cell]], count: int, delimiter: str
) -> tuple[list[list[Cell]], list[Finding]]:
    """Rows with as many cells as there are columns; empty cells too many are dropped."""
    kept, findings = [], []
    for row in rows:
        over = [cell for cell in row[count:] if cell.text]
        if len(row) >= count and not over:
            kept.append(row[:count])
            continue
        cells = "1 cell" if len(row) == 1 else f"{len(row)} cells"
        message = f"the row has {cells}, but the table has {count} columns"
        spot = over[0].spot if over else row[0].spot
        name = NAMES[delimiter]
        remedy = (
            f'put a cell with a {name} in it in quotes ("), or take the {name} out'
            if over
            else f"write a {name} for each empty cell too"
        )
        findings.append(new_finding("LW164", message, spot.place(), remedy=remedy))
    return kept, findings


def _cells(table: Table, row: Sequence[Cell]) -> dict[str, Cell]:
    """Cells by the name of their column."""
    return {
        head.name: cell
        for head, cell in zip(table.heads, row, strict=True)
        if head.column is not None
    }


def _section(root: Mapping, path: Sequence[str], spot: Spot) -> Mapping:
    """The section at `path`, made where it is not there yet."""
    node = root
    for step in path:
        inner = node.entries.setdefault(step, Mapping(spot))
        node.keys.setdefault(step, spot)
        assert isinstance(inner, Mapping)
        node = inner
    return node


def _no_unit(head: Head, column: Column, cell: Cell) -> Finding:
    rule = column.rule
    assert isinstance(rule, Quantity)
    kind = UNITS[rule.unit]
    message = (
        f"numbers under {column.name!r} have no unit, first {cell.text[:40]!r} in line "
        f"{cell.spot.line}"
    )
    remedy = f"write the unit in the head, such as `{column.name} [{kind.base}]`, or beside each"
    place, allowed = head.cell.spot.place(), ", ".join(kind.shown)
    return new_finding(
        "LW115", message, place, value=cell.text[:80], allowed=allowed, remedy=remedy
    )


def _unknown_process(cell: Cell, known: Iterable[str]) -> Finding:
    names = tuple(known)
    near = nearest(cell.text, names)
    message = f"there is no process {cell.text[:40]!r} in the tables"
    return new_finding(
        "LW135",
        message,
        cell.spot.place(),
        value=cell.text[:80],
        allowed=listed(names) or None,
        remedy=f"did you mean {near!r}?" if near else "add it to a table of processes",
    )
