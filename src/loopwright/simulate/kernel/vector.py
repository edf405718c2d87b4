"""Instructions that the compiler does not find by itself, and their plain equivalents."""

from __future__ import annotations

from typing import Any

from numba.core import cgutils, config, types
from numba.extending import intrinsic

from loopwright.simulate.columns import LANES, Array

if config.DISABLE_JIT:  # type: ignore[attr-defined]

    def match(cells: Array, at: int, want: Array, first: int) -> int:
        """Bit i is 1 where `cells[at + i]` and `want[first + i]` share a bit, i below LANES."""
        hits = (cells[at : at + LANES] & want[first : first + LANES]) != 0
        return sum(1 << int(lane) for lane in hits.nonzero()[0])

    def occupied(cells: Array, at: int) -> int:
        """Bit i is 1 where `cells[at + i]` is not 0, i below LANES."""
        return sum(1 << int(lane) for lane in cells[at : at + LANES].nonzero()[0])

    def shift(cells: Array, to: int, first: int, count: int) -> None:
        """Copy `count` cells from `first` on to `to` on; they may overlap."""
        cells[to : to + count] = cells[first : first + count].copy()

    def item(array: Array, index: int) -> Any:
        """Entry `index` of `array`, not to be counted from the end."""
        return array[index]

    def lowest(word: int) -> int:
        """The number of the lowest bit of `word` that is 1; there must be one."""
        word = int(word)
        return (word & -word).bit_length() - 1

else:
    from llvmlite import ir

    from loopwright.simulate.kernel.array import address_of, load_entry

    def _load(builder: Any, kind: Any, column: Any, index: Any) -> Any:
        """LANES cells from `index` on."""
        width = 8 * kind.dtype.itemsize
        lanes = ir.VectorType(ir.IntType(width), LANES)
        place = builder.bitcast(address_of(builder, kind, column, index), lanes.as_pointer())
        return builder.load(place, align=kind.dtype.itemsize)

    def _bits(builder: Any, cells: Any) -> Any:
        """Bit i is 1 where lane i of `cells` is not 0."""
        hits = builder.icmp_unsigned("!=", cells, ir.Constant(cells.type, [0] * LANES))
        return builder.zext(builder.bitcast(hits, ir.IntType(LANES)), ir.IntType(64))

    @intrinsic
    def match(typing: Any, cells: Any, at: Any, want: Any, first: Any) -> Any:
        """Bit i is 1 where `cells[at + i]` and `want[first + i]` share a bit, i below LANES."""

        def generate(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
            there = _load(builder, cells, arguments[0], arguments[1])
            wanted = _load(builder, want, arguments[2], arguments[3])
            return _bits(builder, builder.and_(there, wanted))

        return types.int64(cells, types.int64, want, types.int64), generate

    @intrinsic
    def occupied(typing: Any, cells: Any, at: Any) -> Any:
        """Bit i is 1 where `cells[at + i]` is not 0, i below LANES."""

        def generate(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
            return _bits(builder, _load(builder, cells, arguments[0], arguments[1]))

        return types.int64(cells, types.int64), generate

    @intrinsic
    def shift(typing: Any, cells: Any, to: Any, first: Any, count: Any) -> Any:
        """Copy `count` cells from `first` on to `to` on; they may overlap."""

        def generate(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
            array, target, source, number = arguments
            cgutils.raw_memmove(
                builder,
                address_of(builder, cells, array, target),
                address_of(builder, cells, array, source),
                number,
                itemsize=cells.dtype.itemsize,
                align=1,
            )
            return context.get_dummy_value()

        return types.void(cells, types.int64, types.int64, types.int64), generate

    @intrinsic
    def item(typing: Any, column: Any, index: Any) -> Any:
        """Entry `index` of `column`, not to be counted from the end."""

        def generate(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
            return load_entry(builder, column, *arguments)

        return column.entry(column, types.int64), generate

    @intrinsic
    def lowest(typing: Any, word: Any) -> Any:
        """The number of the lowest bit of `word` that is 1; there must be one."""

        def generate(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
            return builder.cttz(arguments[0], ir.Constant(ir.IntType(1), 1))

        return types.int64(types.int64), generate
