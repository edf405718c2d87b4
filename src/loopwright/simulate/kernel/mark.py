"""Marks of those who may be able to act, 32 to a word."""

from __future__ import annotations

from loopwright.simulate.columns import WORD_BITS, Array
from loopwright.simulate.kernel.jit import kernel
from loopwright.simulate.kernel.vector import item


@kernel
def mark(words: Array, number: int) -> None:
    """Set the mark of device `number`."""
    number = int(number)  # of full width, also when it comes from a narrow column
    words[number >> WORD_BITS] |= 1 << (number & ((1 << WORD_BITS) - 1))


@kernel
def unmark(words: Array, number: int) -> None:
    """Take the mark of device `number` away."""
    number = int(number)
    words[number >> WORD_BITS] &= ~(1 << (number & ((1 << WORD_BITS) - 1)))


@kernel
def marked(words: Array) -> bool:
    """Whether any mark is set."""
    found = 0
    for number in range(words.size):
        found |= item(words, number)
    return found != 0
