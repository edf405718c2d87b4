"""A placed mixer in runs: what comes out with full lanes, and what a short one does to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from loopwright.block.mixer import Mixer, need_of, prove_mixer, short_product
from loopwright.layout.layout import Layout
from loopwright.layout.mixing.bench import PRODUCT, PRODUCT_BELT, mixer_layout
from loopwright.prove.mixed import supply_of
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.wiring import Wiring

CARRIERS = 10_000
"""Carriers of product in a run with full lanes."""

STEPS = 12_000
"""Steps of the belts in a run with a short lane."""

BIN = 50
"""Steps after which the counts are looked at, again and again."""

Flows = tuple[tuple[str, Fraction], ...]


@dataclass(frozen=True, slots=True)
class ShortLane:
    """The lane of `material` brings `supply`; product of each by the law, and as measured, all
    [of a belt]."""

    material: str
    supply: Fraction
    law: Flows
    measured: Flows


@dataclass(frozen=True, slots=True)
class MixerRun:
    """What runs of a placed mixer of `cells` belt cells show.

    With full lanes: `counts` of the product, `rate` [of a belt], the largest `stray` from the exact
    shares at the end of any stretch and the most that is proved, `bound`; `priming` [carriers] goes
    into the feedback lanes before anything leaves. `short` are the lanes that are short in turn.
    """

    cells: int
    counts: tuple[tuple[str, int], ...]
    rate: Fraction
    stray: Fraction
    bound: Fraction
    priming: int
    short: tuple[ShortLane, ...]


def measure_mixer(mixer: Mixer, part: Fraction) -> MixerRun:
    """Runs of `mixer` by itself: with full lanes, and with each lane in turn bringing only `part`
    of what it must."""
    layout = mixer_layout(mixer)
    steps = int(CARRIERS / mixer.net_rate) + BIN
    course = _course(layout, mixer, steps)
    counts = {name: course[-1][name] - course[0][name] for name, _ in mixer.shares}
    total = sum(counts.values())
    ring = supply_of(Wiring(layout), PRODUCT_BELT, Fraction(1)).mix
    assert ring is not None
    return MixerRun(
        cells=sum(len(belt.path) for belt in layout.belts),
        counts=tuple(counts.items()),
        rate=Fraction(total, BIN * (len(course) - 1)),
        stray=max(_stray(mixer, course[0], now) for now in course),
        bound=prove_mixer(mixer).spread + ring.cells,
        priming=sum(len(b.path) for b in layout.belts if b.name.startswith("mixer feedback")),
        short=tuple(_short(mixer, name, part) for name, _ in mixer.shares),
    )


def _short(mixer: Mixer, material: str, part: Fraction) -> ShortLane:
    supply = need_of(mixer, material) * part
    course = _course(mixer_layout(mixer, {material: supply}), mixer, STEPS)
    span = BIN * (len(course) - 1)
    measured = tuple(
        (name, Fraction(course[-1][name] - course[0][name], span)) for name, _ in mixer.shares
    )
    return ShortLane(material, supply, short_product(mixer, material, supply), measured)


def _course(layout: Layout, mixer: Mixer, steps: int) -> list[Mapping[str, int]]:
    """Carriers of product of each material, every BIN steps from when all lanes have filled."""
    filling = 4 * BIN * (1 + sum(len(belt.path) for belt in layout.belts) // BIN)
    bins = -(-(filling + steps) // BIN)
    span = Fraction(bins * BIN)
    run = simulate_layout(layout, Scenario("mix", "empty", span, Fraction(0), Fraction(BIN)))
    counts = {name: 0 for name, _ in mixer.shares}
    course: list[Mapping[str, int]] = []
    for number, taken in enumerate(run.bins[PRODUCT], start=1):
        counts = {name: count + taken.get(name, 0) for name, count in counts.items()}
        if number * BIN >= filling:
            course.append(counts)
    return course


def _stray(mixer: Mixer, begun: Mapping[str, int], now: Mapping[str, int]) -> Fraction:
    """How far the counts of a stretch are from their shares."""
    gone = {name: now[name] - begun[name] for name, _ in mixer.shares}
    total = sum(gone.values())
    return max(abs(gone[name] - Fraction(total * s, mixer.total)) for name, s in mixer.shares)
