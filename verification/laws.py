"""Laws of loops beside runs, at points of our own.

Run as `python -m verification.laws > verification/laws.txt`. Takes some minutes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction

from loopwright.prove.law.mix import share_of_mix, share_without, surplus, units_in
from loopwright.prove.law.outage import (
    jam_span,
    jam_span_part_used,
    safe_span,
    share_after,
)
from tests.prove.rows import SUPPLY, Row, Watched
from tests.prove.test_laws import LOCKED, ROWS, STACKED, jams

OUTAGE_HEADS = (
    "N", "L", "recipe", "caps", "rho", "safe, law", "run", "outage", "by mix", "by span", "run",
    "jams from, law", "run", "run / law",
)  # fmt: skip
PART_HEADS = ("N", "L", "recipe", "caps", "rho", "stack", "jams from, law", "run", "run / law")
CAPS_HEADS = ("N", "L", "recipe", "caps", "rho", "gate", "law", "run", "run - law", "1 / N")


def main() -> None:
    """All tables."""
    print("Outages of A under open gates; spans in s, rates as shares of full rate")
    _print(OUTAGE_HEADS, (_outage(row) for row in ROWS))
    print("\nPart-used carriers under open gates: outages of A that jam; spans in s")
    _print(PART_HEADS, (_part_used(row) for row in STACKED))
    print("\nCaps unequal in cycles, from empty")
    _print(CAPS_HEADS, (_caps(row) for row in LOCKED))


def _outage(row: Row) -> tuple[str, ...]:
    watched = Watched(row)
    terms = watched.terms
    safe, jam = safe_span(terms, "A", SUPPLY), jam_span(terms, "A", SUPPLY)
    span = Fraction(round(safe + (jam - safe) / 2))
    state = watched.after(span)
    by_mix = share_without(terms, "A", surplus(terms, units_in(watched.ring, state), "A"))
    run, stands = watched.share(state), _from(lambda x: jams(watched, x), jam)
    harmless = _from(lambda x: watched.share(watched.after(x)) < 1, safe) - 1
    return (
        *_row(watched), f"{float(safe):.0f}", str(harmless), str(span), f"{float(by_mix):.3f}",
        f"{float(share_after(terms, 'A', SUPPLY, span)):.3f}", f"{float(run):.3f}",
        f"{float(jam):.0f}", str(stands), f"{float(stands / jam):.2f}",
    )  # fmt: skip


def _part_used(row: Row) -> tuple[str, ...]:
    watched = Watched(row)
    jam = jam_span_part_used(watched.terms, "A", SUPPLY, row.stack)
    stands = _from(lambda x: jams(watched, x), jam)
    return (
        *_row(watched), str(row.stack), f"{float(jam):.0f}", str(stands),
        f"{float(stands / jam):.2f}",
    )  # fmt: skip


def _from(holds: Callable[[Fraction], bool], guess: Fraction) -> int:
    """The first whole span [s] from which it holds, by halving."""
    low, high = int(guess), int(guess)
    step = max(1, int(guess) // 8)
    while holds(Fraction(low)):
        low -= step
    while not holds(Fraction(high)):
        low, high = high, high + step
    while high - low > 1:
        middle = (low + high) // 2
        if holds(Fraction(middle)):
            high = middle
        else:
            low = middle
    return high


def _caps(row: Row) -> tuple[str, ...]:
    watched = Watched(row)
    state = watched.run(120 * row.cycle, begin="empty")
    law, run = share_of_mix(watched.terms), watched.share(state)
    return (
        *_row(watched), row.rule, f"{float(law):.3f}", f"{float(run):.3f}",
        f"{float(run - law):+.3f}", f"{1 / row.stations:.3f}",
    )  # fmt: skip


def _row(watched: Watched) -> tuple[str, ...]:
    terms = watched.terms
    return (
        str(terms.stations), str(watched.ring.cells),
        ":".join(str(need.amount) for need in terms.needs.values()),
        "/".join(str(need.cap) for need in terms.needs.values()), f"{float(terms.load):.2f}",
    )  # fmt: skip


def _print(heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> None:
    lines = [heads, *rows]
    widths = [max(len(line[column]) for line in lines) for column in range(len(heads))]
    for line in lines:
        print("  ".join(cell.ljust(w) for cell, w in zip(line, widths, strict=True)).rstrip())


if __name__ == "__main__":
    main()
