"""How compiled code sees arrays: as pointers into a table of addresses.

A group of arrays, an array and an entry of records are one pointer each, wherever they are handed
over. Of each array the table holds where it begins and its extents; nobody changes it during a
call. Whole numbers are widened to 64 bits where they are read, so that a function is compiled once
and not once for each width. An index is not counted from the end.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Mapping
from typing import Any, get_args, get_type_hints

import numpy as np
from llvmlite import ir
from numba.core import types
from numba.core.typing.templates import AttributeTemplate
from numba.extending import (
    infer_getattr,
    lower_builtin,
    lower_getattr_generic,
    lower_setattr_generic,
    models,
    register_model,
    type_callable,
)

from loopwright.simulate.columns import column_of
from loopwright.simulate.kernel.table import WORDS

WORD, BYTE = ir.IntType(64), ir.IntType(8)


class Row(types.Type):
    """An entry of an array of records of the numpy type `dtype`."""

    def __init__(self, name: str, dtype: np.dtype[Any]) -> None:
        super().__init__(name)
        self.dtype = dtype


class Column(types.Type):
    """An array of numbers or records of the numpy type `dtype`; `name` is that of such records."""

    def __init__(self, dtype: np.dtype[Any], dimensions: int, name: str = "") -> None:
        super().__init__(f"{name or dtype}x{dimensions}")
        self.dtype, self.dimensions, self.words = dtype, dimensions, WORDS
        self.entry = Row(name, dtype) if name else types.int64


class Group(types.Type):
    """Arrays, and groups of them, by name."""

    def __init__(self, name: str, members: Mapping[str, Any]) -> None:
        super().__init__(name)
        self.members = dict(members)
        self.places: dict[str, int] = {}
        """Where the part of the table about each member begins [words]."""
        self.words = 0
        for member, kind in members.items():
            self.places[member] = self.words
            self.words += kind.words


for _type in (Row, Column, Group):
    register_model(_type)(models.OpaqueModel)


def group_type(group: type, cell: str) -> Group:
    """How compiled code sees a `group` of the list of columns; `cell` is the type of a cell."""
    members: dict[str, Any] = {}
    for name, hint in get_type_hints(group, include_extras=True).items():
        if hasattr(hint, "_fields"):
            members[name] = group_type(hint, cell)
        else:
            dtype, extents, record = column_of(get_args(hint)[1], cell)
            members[name] = Column(dtype, len(extents), record)
    return Group(f"{group.__name__}_{cell}", members)


def address_of(builder: Any, kind: Column, column: Any, index: Any) -> Any:
    """Where entry `index` of a column is, a pointer to bytes."""
    first = _table_entry(builder, column, 0, BYTE.as_pointer())
    return _moved(builder, first, builder.mul(index, WORD(kind.dtype.itemsize)))


def load_entry(builder: Any, kind: Column, column: Any, index: Any) -> Any:
    """Entry `index` of a column."""
    address = address_of(builder, kind, column, index)
    return address if isinstance(kind.entry, Row) else _load(builder, address, kind.dtype)


def _moved(builder: Any, pointer: Any, count: Any) -> Any:
    """The place `count` bytes behind `pointer`."""
    return builder.gep(pointer, [count], inbounds=True)


def _table_entry(builder: Any, table: Any, number: int, kind: Any = WORD) -> Any:
    """Entry `number` of a table."""
    address = _moved(builder, table, WORD(WORD.width // 8 * number))
    loaded = builder.load(builder.bitcast(address, kind.as_pointer()))
    loaded.set_metadata("invariant.load", builder.module.add_metadata([]))
    return loaded


def _load(builder: Any, address: Any, dtype: np.dtype[Any]) -> Any:
    """The number of the type `dtype` at `address`, widened."""
    kind = ir.IntType(8 * dtype.itemsize)
    loaded = builder.load(builder.bitcast(address, kind.as_pointer()), align=dtype.alignment)
    if kind.width == WORD.width:
        return loaded
    return builder.sext(loaded, WORD) if dtype.kind == "i" else builder.zext(loaded, WORD)


def _store(builder: Any, value: Any, address: Any, dtype: np.dtype[Any]) -> None:
    kind = ir.IntType(8 * dtype.itemsize)
    if kind.width < WORD.width:
        value = builder.trunc(value, kind)
    builder.store(value, builder.bitcast(address, kind.as_pointer()), align=dtype.alignment)


def _number(context: Any, builder: Any, kind: Any, index: Any, column: Any) -> Any:
    """The number of an entry in the order in which entries lie."""
    if not isinstance(kind, types.BaseTuple):
        return context.cast(builder, index, kind, types.int64)
    kinds: Any = kind.types  # type: ignore[attr-defined]
    row, place = (
        context.cast(builder, builder.extract_value(index, at), part, types.int64)
        for at, part in enumerate(kinds)
    )
    return builder.add(builder.mul(row, _table_entry(builder, column, 2)), place)


@type_callable(operator.getitem)
def _typed_getitem(context: Any) -> Callable[[Any, Any], Any]:
    return lambda column, index: column.entry if isinstance(column, Column) else None


@type_callable(operator.setitem)
def _typed_setitem(context: Any) -> Callable[[Any, Any, Any], Any]:
    return lambda column, index, value: types.void if isinstance(column, Column) else None


@lower_builtin(operator.getitem, Column, types.Any)
def _getitem(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
    kind, of_index = signature.args
    column, index = arguments
    return load_entry(builder, kind, column, _number(context, builder, of_index, index, column))


@lower_builtin(operator.setitem, Column, types.Any, types.Any)
def _setitem(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
    kind, of_index, of_value = signature.args
    column, index, value = arguments
    number = _number(context, builder, of_index, index, column)
    wide = context.cast(builder, value, of_value, types.int64)
    _store(builder, wide, address_of(builder, kind, column, number), kind.dtype)
    return context.get_dummy_value()


@infer_getattr
class _ColumnAttributes(AttributeTemplate):
    key = Column

    def resolve_size(self, column: Column) -> Any:
        return types.int64

    def resolve_shape(self, column: Column) -> Any:
        return types.UniTuple(types.int64, column.dimensions)


@lower_getattr_generic(Column)
def _extent(context: Any, builder: Any, kind: Column, column: Any, name: str) -> Any:
    if name == "size":
        return _table_entry(builder, column, 1)
    extents = [_table_entry(builder, column, 1 + axis) for axis in range(kind.dimensions)]
    return context.make_tuple(builder, types.UniTuple(types.int64, len(extents)), extents)


@infer_getattr
class _RowAttributes(AttributeTemplate):
    key = Row

    def generic_resolve(self, row: Row, name: str) -> Any:  # type: ignore[override]
        return types.int64 if row.dtype.fields and name in row.dtype.fields else None


@lower_getattr_generic(Row)
def _field(context: Any, builder: Any, kind: Any, row: Any, name: str) -> Any:
    dtype, offset = kind.dtype.fields[name][:2]
    return _load(builder, _moved(builder, row, WORD(offset)), dtype)


@lower_setattr_generic(Row)
def _set_field(context: Any, builder: Any, signature: Any, arguments: Any, name: str) -> None:
    kind, of_value = signature.args
    row, value = arguments
    dtype, offset = kind.dtype.fields[name][:2]
    wide = context.cast(builder, value, of_value, types.int64)
    _store(builder, wide, _moved(builder, row, WORD(offset)), dtype)


@infer_getattr
class _GroupAttributes(AttributeTemplate):
    key = Group

    def generic_resolve(self, group: Group, name: str) -> Any:  # type: ignore[override]
        return group.members.get(name)


@lower_getattr_generic(Group)
def _member(context: Any, builder: Any, kind: Group, group: Any, name: str) -> Any:
    return _moved(builder, group, WORD(WORD.width // 8 * kind.places[name]))
