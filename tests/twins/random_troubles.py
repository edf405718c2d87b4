"""Disturbances at random for a layout."""

from __future__ import annotations

from fractions import Fraction
from random import Random

from hypothesis import strategies as st

from loopwright.layout.layout import Layout
from loopwright.simulate.disturbance import (
    Arrivals,
    BrownOut,
    Disturbances,
    Failure,
    Foreign,
    Law,
    Missed,
    Pace,
    Removal,
    Slow,
    Supply,
)

SHARES = (Fraction(0), Fraction(1, 50), Fraction(1, 3), Fraction(9, 10))
TIMES = tuple(Fraction(n, 3) for n in (1, 2, 7, 20, 55, 200, 900))
RATES = (Fraction(1, 5), Fraction(1, 3), Fraction(1), Fraction(7, 2))
KINDS = ("fixed", "uniform", "exponential", "geometric", "empirical")


def law(some: Random) -> Law:
    """Any law."""
    spread = some.choice((Fraction(0), Fraction(1, 10), Fraction(2, 3), Fraction(1)))
    values = tuple(some.choices(TIMES, k=some.randint(1, 4)))
    return Law(some.choice(KINDS), spread, values)


@st.composite
def troubles(draw: st.DrawFn, layout: Layout) -> Disturbances:
    """None in a fifth of all cases; else some of every kind."""
    if draw(st.integers(0, 4)) == 0:
        return Disturbances()
    some = Random(draw(st.integers(0, 2**30)))

    def chosen(devices: tuple[object, ...], most: int) -> list[str]:
        names = [device.name for device in devices]  # type: ignore[attr-defined]
        return some.sample(names, min(len(names), some.randint(0, most)))

    rated = tuple(source for source in layout.sources if source.rate is not None)
    cells = [(belt.name, len(belt.path)) for belt in layout.belts]
    places = [some.choice(cells) for _ in range(some.randint(0, 3))]
    slow = []
    for belt, length in [some.choice(cells) for _ in range(some.randint(0, 3))]:
        index = some.randrange(length - 1) if length > 1 and some.random() < 0.7 else None
        slow.append(Slow(belt, index, some.choice((1, 1, 2, 5)), some.choice(SHARES)))
    return Disturbances(
        paces=tuple(Pace(name, law(some)) for name in chosen(layout.stations, 3)),
        failures=tuple(
            Failure(
                name,
                some.choice(TIMES),
                some.choice(TIMES),
                some.choice(("work", "time")),
                law(some),
            )
            for name in chosen(layout.stations, 3)
        ),
        missed=tuple(Missed(name, some.choice(SHARES)) for name in chosen(layout.pickers, 4)),
        arrivals=tuple(
            Arrivals(name, law(some), some.choice((None, 1, 1, 2, 5))) for name in chosen(rated, 2)
        ),
        supplies=tuple(
            Supply(name, some.choice(TIMES), some.choice(RATES))
            for name in chosen(rated, 2)
            for _ in range(some.randint(1, 3))
        ),
        brown_outs=tuple(
            BrownOut(
                some.choice(TIMES),
                some.choice(TIMES),
                some.choice((Fraction(1, 2), Fraction(4, 5))),
            )
            for _ in range(some.randint(0, 2))
        ),
        slow=tuple(slow),
        foreign=tuple(
            Foreign(
                belt,
                some.randrange(length),
                some.choice(layout.materials).name,
                some.randint(1, 8),
                some.choice(TIMES),
            )
            for belt, length in places
        ),
        removals=tuple(
            Removal(belt, some.randrange(length), some.choice(TIMES)) for belt, length in places
        ),
    )
