"""Kinds of tables: which columns each has, and how a table is told from its columns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pydantic import BaseModel

from loopwright.finding import Finding, new_finding
from loopwright.model.equipment import Belt, Picker, Station
from loopwright.model.field import Quantity, Whole
from loopwright.model.material import Material
from loopwright.model.near import listed, nearest
from loopwright.model.process import Process
from loopwright.model.source import Spot

Rule = Quantity | Whole


@dataclass(frozen=True, slots=True)
class Column:
    """One column: `rule` where it holds numbers, `mixed` where it holds amounts of materials."""

    name: str
    required: bool = False
    rule: Rule | None = None
    mixed: bool = False


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of table; its rows become the entries of `section` in a project file."""

    word: str
    section: tuple[str, ...]
    columns: Mapping[str, Column]

    @property
    def required(self) -> tuple[str, ...]:
        """Columns that must be there."""
        return tuple(column.name for column in self.columns.values() if column.required)


def _kind(word: str, section: tuple[str, ...], model: type[BaseModel]) -> Kind:
    """The kind whose columns are a name and the fields of `model`."""
    columns = {"name": Column("name", required=True)}
    for key, field in model.model_fields.items():
        name = field.alias or key
        rules = [rule for rule in field.metadata if isinstance(rule, (Quantity, Whole))]
        mixed = name in ("inputs", "caps", "outputs")
        rule = rules[0] if rules and not mixed else None
        columns[name] = Column(name, field.is_required(), rule, mixed)
    return Kind(word, section, columns)


def _amounts() -> Kind:
    amount = Column("amount", required=True, rule=Whole(1, 10000, "units"))
    plain = (Column(name, required=True) for name in ("process", "side", "material"))
    columns = {column.name: column for column in (*plain, amount)}
    return Kind("amounts", ("processes",), columns)


KINDS: Mapping[str, Kind] = {
    kind.word: kind
    for kind in (
        _kind("materials", ("materials",), Material),
        _kind("processes", ("processes",), Process),
        _kind("stations", ("equipment", "stations"), Station),
        _kind("belts", ("equipment", "belts"), Belt),
        _kind("pickers", ("equipment", "pickers"), Picker),
        _amounts(),
    )
}
"""Every kind of table, by its word."""


def own_columns(kind: Kind) -> tuple[str, ...]:
    """Columns that no other kind has."""
    others = {name for other in KINDS.values() if other is not kind for name in other.columns}
    return tuple(name for name in kind.columns if name not in others)


def kind_of(heads: Sequence[str], stem: str, spot: Spot) -> Kind | Finding:
    """The kind of the table with these columns, or a finding at `spot`.

    The kind with most columns of its own wins. Where the columns fit several kinds, the name of
    the file, `stem`, decides if it holds the word of one of them.
    """
    scores = {word: len(set(own_columns(kind)) & set(heads)) for word, kind in KINDS.items()}
    if not any(scores.values()):
        scores = {word: _alike(heads, kind) for word, kind in KINDS.items()}
    most = max(scores.values())
    fits = [kind for word, kind in KINDS.items() if scores[word] == most]
    exact = [set(kind.required) <= set(heads) <= set(kind.columns) for kind in KINDS.values()]
    if most == 0 or (any(exact) and len(fits) > 1):
        fits = [kind for kind, fit in zip(KINDS.values(), exact, strict=True) if fit]
    if len(fits) == 1:
        return fits[0]
    named = [kind for kind in fits or KINDS.values() if kind.word.rstrip("s") in stem.lower()]
    if len(named) == 1:
        return named[0]
    return _unclear(heads, fits, spot)


def _alike(heads: Sequence[str], kind: Kind) -> int:
    """How many heads are spelt much like a column of its own; 0 where none is quite right."""
    own = own_columns(kind)
    right = set(heads) & set(kind.columns)
    return sum(nearest(head, own) is not None for head in heads if head) if right else 0


def _unclear(heads: Sequence[str], fits: Sequence[Kind], spot: Spot) -> Finding:
    shown = listed(repr(head) for head in heads if head)
    if fits:
        words = [kind.word for kind in fits]
        message = f"the columns {shown} fit tables of {' and of '.join(words)}"
        advice = " or ".join(f"{word}.csv" for word in words)
        remedy = f"call the file {advice}, or add a column that only one of them has"
    else:
        message = f"no kind of table has the columns {shown}" if shown else "there are no columns"
        remedy = "let the first line name the columns of one kind of table"
    allowed = "; ".join(
        f"{kind.word}: {listed(kind.columns, 4)}" for kind in fits or KINDS.values()
    )
    return new_finding("LW161", message, spot.place(), value=shown, allowed=allowed, remedy=remedy)
