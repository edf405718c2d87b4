"""Mixers: fewest devices, exact by the machine of tokens, and what a short lane does."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from itertools import product
from random import Random

import pytest

from loopwright.block.mixer import (
    Leaf,
    Mixer,
    Node,
    RatioError,
    choose_mix,
    design_gate,
    design_mixer,
    need_of,
    prove_mixer,
    short_product,
)
from loopwright.block.mixer.mixer import splits
from loopwright.block.sequence import largest_stray
from reference.mixer import Machine, Tree
from reference.mixer import largest_stray as machine_stray
from tests.layouts.ratios import Ratio, named, reduced_ratios

RATIOS = list(reduced_ratios(range(2, 5), 12))


def tree_of(node: Node | Leaf) -> Tree:
    """As the machine of tokens reads it."""
    return node.material if isinstance(node, Leaf) else [tree_of(inlet) for inlet in node.inlets]


def labelled_trees(merges: int, labels: str) -> Iterator[Tree]:
    """Every tree with so many merges and every way to name its leaves; `*` is feedback."""
    if merges == 0:
        yield from labels
        return
    for ways in (2, 3):
        for sizes in product(range(merges), repeat=ways):
            if sum(sizes) == merges - 1 and list(sizes) == sorted(sizes):
                groups = [list(labelled_trees(size, labels)) for size in sizes]
                for inlets in product(*groups):
                    yield list(inlets)


def plain_weights(tree: Tree, weight: Fraction, found: dict[str, Fraction]) -> None:
    if isinstance(tree, list):
        for inlet in tree:
            plain_weights(inlet, weight / len(tree), found)
    else:
        assert isinstance(tree, str)
        found[tree] = found.get(tree, Fraction(0)) + weight


def plain_leaves(tree: Tree) -> Iterator[str]:
    if isinstance(tree, list):
        for inlet in tree:
            yield from plain_leaves(inlet)
    else:
        assert isinstance(tree, str)
        yield tree


def plain_fewest(most_merges: int) -> dict[Ratio, int]:
    """Fewest devices of ratios of two materials, over all trees of at most so many merges."""
    best: dict[Ratio, int] = {}
    for merges in range(1, most_merges + 1):
        for tree in labelled_trees(merges, "AB*"):
            weights: dict[str, Fraction] = {}
            plain_weights(tree, Fraction(1), weights)
            if not {"A", "B"} <= set(weights) or weights["A"] < weights["B"]:
                continue
            ratio = weights["A"] / weights["B"]
            counts = Counter(plain_leaves(tree))
            devices = merges + counts["A"] // 2 + counts["B"] // 2 + (counts["*"] + 1) // 2
            key = (ratio.numerator, ratio.denominator)
            best[key] = min(devices, best.get(key, devices))
    return best


def test_no_tree_of_three_merges_has_fewer_devices() -> None:
    # Mixers of at most 4 devices have at most 3 merges, or they would be a tree of 4 merges and
    # no divert: two materials on five leaves or more.
    for ratio, devices in plain_fewest(3).items():
        if sum(ratio) <= 24:
            found = design_mixer(named(ratio)).devices
            assert found <= devices
            assert found == devices or devices > 4


@pytest.mark.parametrize(
    ("ratio", "devices"),
    [
        ("1:1:1", 1), ("2:1", 2), ("2:1:1", 2), ("3:1", 3), ("2:1:3", 3), ("3:2:1", 3),
        ("5:1", 3), ("3:2", 4), ("4:1", 4), ("4:3", 4), ("5:4", 4), ("4:3:2", 4), ("5:4:2:1", 4),
        ("5:2", 5), ("7:3", 5), ("9:2", 5), ("7:5", 5), ("5:3:2", 5), ("5:4:3", 5), ("5:5:1", 7),
    ],
)  # fmt: skip
def test_devices(ratio: str, devices: int) -> None:
    shares = tuple(map(int, ratio.split(":")))
    assert design_mixer(named(shares)).devices == devices


def test_no_ratio_up_to_twelve_needs_more_than_seven_devices() -> None:
    mixers = [design_mixer(named(shares)) for shares in RATIOS]
    assert len(mixers) == 115
    assert sum(1 for mixer in mixers if not mixer.feedback) == 52
    assert max(mixer.devices for mixer in mixers) == 7
    assert [shares for shares, mixer in zip(RATIOS, mixers, strict=True) if mixer.devices == 7] == [
        (5, 5, 1)
    ]


@pytest.mark.parametrize("shares", RATIOS, ids=lambda shares: ":".join(map(str, shares)))
def test_a_mixer_is_what_its_proof_says(shares: Ratio) -> None:
    mixer = design_mixer(named(shares))
    proof = prove_mixer(mixer)
    for places in (1, 2, 5):
        machine = Machine(tree_of(mixer.root), places)
        held = machine.places
        carriers = [machine.product() for _ in range(40 * mixer.total)]
        # The lane fills at first and turns are missed; each shifts a count by one, once.
        assert machine_stray(carriers, named(shares)) <= proof.spread + held + machine.skipped
        assert machine.skipped <= 3 * held

        skipped, before = machine.skipped, list(machine.passed)
        for _ in range(proof.round):
            carrier = machine.step()
            if len(machine.lane) < machine.places:
                machine.lane.append(carrier)
        passed = [now - then for now, then in zip(machine.passed, before, strict=True)]
        assert machine.skipped == skipped
        assert passed == list(proof.passes)


@pytest.mark.parametrize("shares", RATIOS[::4], ids=lambda shares: ":".join(map(str, shares)))
def test_the_bound_holds_wherever_the_turns_stand(shares: Ratio) -> None:
    mixer = design_mixer(named(shares))
    spread = prove_mixer(mixer).spread
    chance = Random(sum(shares))
    for _ in range(8):
        machine = Machine(tree_of(mixer.root), 1)
        for _ in range(mixer.round):
            machine.product()
        for turns in machine.turns.values():
            turns.next = chance.randrange(turns.ways)
        begin = chance.randrange(mixer.round)
        carriers = [machine.product() for _ in range(begin + 2 * mixer.round)][begin:]
        assert machine_stray(carriers, named(shares)) <= spread + machine.places


def test_without_feedback_the_product_is_the_sequence() -> None:
    for shares in RATIOS:
        mixer = design_mixer(named(shares))
        if not mixer.feedback:
            machine = Machine(tree_of(mixer.root))
            carriers = tuple(machine.product() for _ in range(2 * mixer.round))
            assert carriers == mixer.sequence * 2


@pytest.mark.parametrize("shares", [(9, 8, 7), (12, 11), (7, 5, 4, 3, 2, 2), (19, 1, 1, 1, 1, 1)])
def test_larger_ratios(shares: Ratio) -> None:
    mixer = design_mixer(named(shares))
    assert mixer.weight("A") == mixer.net_rate * Fraction(shares[0], sum(shares))
    assert sum(mixer.weight(name) for name in named(shares)) == mixer.net_rate
    machine = Machine(tree_of(mixer.root), 2)
    carriers = [machine.product() for _ in range(1000)]
    bound = prove_mixer(mixer).spread + machine.places + machine.skipped
    assert machine_stray(carriers, named(shares)) <= bound


def test_a_ratio_comes_in_lowest_terms_and_in_the_order_given() -> None:
    mixer = design_mixer({"tap": Fraction(1, 4), "seal": Fraction(3, 4), "candle": Fraction(1, 2)})
    assert mixer.shares == (("tap", 1), ("seal", 3), ("candle", 2))
    assert mixer.devices == 3
    assert (mixer.merges, mixer.supply_splits, mixer.feedback_splits) == (2, 1, 0)


@pytest.mark.parametrize(
    "ratio", [{"A": 1}, {"A": 1, "B": 0}, {"A": 24, "B": 1}, dict.fromkeys("ABCDEFG", 1)]
)
def test_other_ratios_are_refused(ratio: dict[str, int]) -> None:
    with pytest.raises(RatioError):
        design_mixer(ratio)


def test_more_devices_pass_more_of_a_belt() -> None:
    ratio = named((3, 2, 2))
    fewest = design_mixer(ratio)
    faster = design_mixer(ratio, Fraction(4, 5))
    assert (fewest.devices, fewest.net_rate) == (4, Fraction(7, 12))
    assert (faster.devices, faster.net_rate) == (6, Fraction(7, 8))
    with pytest.raises(RatioError, match="pattern gate"):
        design_mixer(ratio, Fraction(1))


def test_five_way_splits_need_two_diverts() -> None:
    assert [splits(ends) for ends in range(1, 8)] == [0, 1, 1, 2, 2, 3, 3]


def test_the_loss_of_a_short_lane_goes_to_its_sibling() -> None:
    inner = Node((Leaf("A"), Leaf("A"), Leaf("B")))
    mixer = Mixer((("A", 2), ("B", 1), ("C", 3)), Node((Leaf("C"), inner)))
    assert need_of(mixer, "B") == Fraction(1, 6)
    assert need_of(mixer, "B", Fraction(3, 5)) == Fraction(1, 10)
    short = dict(short_product(mixer, "B", Fraction(1, 10)))
    assert short == {"A": Fraction(2, 5), "B": Fraction(1, 10), "C": Fraction(1, 2)}
    assert dict(short_product(mixer, "B", Fraction(1, 6))) == dict(
        short_product(mixer, "B", Fraction(1))
    )
    assert dict(short_product(mixer, "B", Fraction(0)))["A"] == Fraction(1, 2)
    with pytest.raises(ValueError, match="no shortage"):
        short_product(mixer, "D", Fraction(0))


@pytest.mark.parametrize("shares", RATIOS[::5], ids=lambda shares: ":".join(map(str, shares)))
def test_a_short_lane_passes_what_it_has(shares: Ratio) -> None:
    mixer = design_mixer(named(shares))
    for name, _ in mixer.shares:
        full = need_of(mixer, name)
        for part in (Fraction(0), Fraction(1, 3), Fraction(9, 10), Fraction(1)):
            short = dict(short_product(mixer, name, full * part))
            assert short[name] == full * part
            assert sum(short.values()) <= 1
            if part == 1:
                assert short == {other: need_of(mixer, other) for other in short}


def test_the_gate_strays_no_more_than_any_pattern() -> None:
    gate = design_gate(named((5, 5, 1, 1)))
    assert gate.stray == Fraction(3, 4)
    assert gate.balanced is None or len(gate.balanced) == 12
    assert gate.devices == 4
    numbers = ["ABCD".index(name) for name in gate.pattern]
    assert largest_stray(numbers, (5, 5, 1, 1)) == gate.stray


def test_the_choice_is_the_mixer_while_it_is_the_simpler_one() -> None:
    assert choose_mix(named((2, 1, 3))).choice == "mixer"
    assert choose_mix(named((3, 1))).choice == "gate"
    assert "5/6" in choose_mix(named((3, 2))).reason
