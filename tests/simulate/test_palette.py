"""Palettes of single belts: what goes on keeps its bit, what meets has bits of its own."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.simulate import simulate_layout
from loopwright.simulate.kind import Kind
from loopwright.simulate.limit import EngineLimitError
from loopwright.simulate.palette import Pass, narrow_palettes
from loopwright.simulate.scenario import Scenario
from tests.layouts.build import Build

KINDS = [Kind(name, mark) for name in "ABCDEF" for mark in (0, 1)]
PLACES = [f"b {number}" for number in range(6)]
LETTERS = st.frozensets(st.sampled_from("ABCDEF"), max_size=3)
WAYS = st.builds(Pass, st.sampled_from(PLACES), st.sampled_from(PLACES), LETTERS, st.booleans())


@given(
    st.fixed_dictionaries({name: st.frozensets(st.sampled_from(KINDS)) for name in PLACES}),
    st.lists(WAYS, max_size=8),
)
def test_what_goes_on_keeps_its_bit_and_none_stands_twice(found, ways):
    palettes = narrow_palettes(found, ways, KINDS)
    for place, kinds in found.items():
        palette = palettes[place]
        assert len(set(palette)) == len(palette)
        assert kinds <= set(palette)
    for way in ways:
        for kind in found[way.source] & found[way.target]:
            if way.lets(kind):
                one, other = (palettes[place].index(kind) for place in (way.source, way.target))
                assert one == other


def test_kinds_that_never_meet_share_bits():
    halves = {"one": frozenset(KINDS[:6]), "other": frozenset(KINDS[6:])}
    assert {len(palette) for palette in narrow_palettes(halves, (), KINDS).values()} == {6}


def test_a_pass_lets_what_is_named_or_all_the_rest():
    named = Pass("a", "b", frozenset("AB"), others=False)
    rest = Pass("a", "b", frozenset("AB"))
    assert [named.lets(Kind(name)) for name in "ABC"] == [True, True, False]
    assert [rest.lets(Kind(name)) for name in "ABC"] == [False, False, True]


def test_too_many_that_meet_on_one_belt_are_refused():
    materials = [f"m {number}" for number in range(29)]
    build = Build(materials)
    build.belt("lane", 40)
    for place, material in enumerate(materials):
        feed = build.belt(f"feed {material}", 2)
        build.source(feed, material, "1/40")
        build.side_merge(feed, "lane", place + 1)
    build.drain("lane")
    minute = Scenario("minute", "empty", Fraction(60), Fraction(0), Fraction(60))
    with pytest.raises(EngineLimitError, match="29 materials that meet on joined belts"):
        simulate_layout(build.layout(), minute)
