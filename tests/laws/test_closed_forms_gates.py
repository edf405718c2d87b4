"""What each rule of a gate lets in, carrier by carrier."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.layout.layout import Layout
from tests.engines import Document, Engine, history
from tests.layouts.build import Build


def line(rule: str, materials: str = "AB", length: int = 12, **more: Any) -> Layout:
    """Endless supplies of `materials` before a gate onto a belt `lane` with no exit."""
    build = Build(sorted(set(materials)))
    inlets = [build.belt(f"in {material}", 1) for material in materials]
    for inlet, material in zip(inlets, materials, strict=True):
        build.source(inlet, material)
    build.belt("lane", length)
    build.gate(inlets, "lane", rule, name="gate", **more)
    return build.layout()


def loop(
    rule: str, supplies: Mapping[str, str | None], drained: bool = False, **more: Any
) -> Layout:
    """A ring of the belts `lane` (6 cells) and `back` (6 cells), fed by a gate with main `back`.

    `supplies` gives the rate of each material. If `drained`, a picker takes units off the lane.
    """
    build = Build(supplies)
    inlets = [build.belt(f"in {material}", 2) for material in supplies]
    for inlet, (material, rate) in zip(inlets, supplies.items(), strict=True):
        build.source(inlet, material, rate)
    build.belt("lane", 6)
    build.belt("back", 6)
    build.merge(["lane"], "back")
    build.gate(inlets, "lane", rule, "back", loop=("lane", "back"), name="gate", **more)
    if drained:
        build.store("box", 1000)
        build.picker("hand", ("lane", 2), "box", swing=3)
    return build.layout()


def entered(states: Sequence[Document], belt: str = "lane") -> str:
    """Materials at the tail of a free belt after each tick, `-` for none."""
    cells = [state["belts"][belt][0] for state in states[1:]]
    return "".join(cell[0] if cell else "-" for cell in cells)


def on_loop(state: Document, material: str) -> int:
    """Carriers of a material on the ring."""
    cells = state["belts"]["lane"] + state["belts"]["back"]
    return sum(1 for cell in cells if cell and cell[0] == material)


def test_open_gate_takes_turns(engine: Engine) -> None:
    """The inlets step after the gate, so their first carriers are there from step 2 on."""
    assert entered(history(engine, line("open"), 8)) == "-ABABABA"
    assert entered(history(engine, line("open", "ABC"), 8)) == "-ABCABCA"


def test_ratio_locked_gate_repeats_its_pattern(engine: Engine) -> None:
    """One inlet may come several times in the pattern; the place after is kept in `turns`."""
    layout = line("ratio-locked", pattern=("in A", "in A", "in B"))
    states = history(engine, layout, 10)
    assert entered(states) == "-AABAABAAB"
    assert [state["turns"]["gate"] for state in states] == [0, 0, 1, 2, 0, 1, 2, 0, 1, 2, 0]


def test_ratio_locked_gate_waits_for_its_place(engine: Engine) -> None:
    """B comes once in four steps; A waits for it although its head is occupied."""
    layout = loop("ratio-locked", {"A": None, "B": "1/4"}, pattern=("in A", "in B"))
    states = history(engine, layout, 12)
    # B is put at steps 4, 8; at the head after 5, 9; taken at 6, 10. A is at its head after 2.
    assert entered(states) == "--A--BA--BA-"


def test_main_goes_first(engine: Engine) -> None:
    """While the return brings carriers nothing fresh enters, and the turn stays where it was."""
    layout = loop("open", {"A": None, "B": None})
    states = history(engine, layout, 40)
    joint = states[-1]["counters"]["joints"]["gate"]
    # 11 cells: the twelfth, head of the break, is only passed through while the ring turns.
    assert sum(joint["passed"][:2]) == 11
    assert joint["passed"][2] == joint["offered"] - 11 - 2
    assert states[-1]["turns"]["gate"] == 1


def shared_head(
    pattern: Sequence[str], fresh: str | None = None, back: str | None = None
) -> Layout:
    """A gate onto a lane to a drain, with A at its inlet and B on its main, which has places."""
    build = Build("AB")
    for belt, material, rate in (("in A", "A", fresh), ("back", "B", back)):
        build.belt(belt, 1)
        build.source(belt, material, rate)
    build.belt("lane", 6)
    build.drain("lane")
    build.gate(["in A"], "lane", "ratio-locked", "back", pattern=pattern, name="gate")
    return build.layout()


@pytest.mark.parametrize("pattern", ["AAB", "ABB", "BA", "AABAB"])
def test_main_takes_its_places_in_the_pattern(engine: Engine, pattern: str) -> None:
    """With enough of both the lane carries the pattern, main does not go first."""
    layout = shared_head(["in A" if one == "A" else "back" for one in pattern])
    seen = entered(history(engine, layout, 41))
    assert seen[1:] in pattern * 42
    counts = history(engine, layout, 200)[-1]["counters"]["joints"]["gate"]["passed"]
    assert abs(counts[0] * pattern.count("B") - counts[1] * pattern.count("A")) <= len(pattern)


def test_places_of_an_empty_main_are_left_out(engine: Engine) -> None:
    """Main with a carrier every sixth step: all of them pass, and fresh ones fill the rest."""
    seen = entered(history(engine, shared_head(["in A", "back"], back="1/6"), 62))[1:]
    assert "-" not in seen
    assert seen.count("B") == 10


def test_main_waits_for_the_fresh_ones_before_its_place(engine: Engine) -> None:
    """A comes every fourth step: main, always waiting, passes once for each."""
    seen = entered(history(engine, shared_head(["in A", "back"], fresh="1/4"), 82))
    passed = seen.replace("-", "")
    assert passed in "AB" * 22
    assert 38 <= len(passed) <= 42


@pytest.mark.parametrize("quotas", [{"A": 2, "B": 3}, {"A": 1}, {"A": 4, "B": 0}])
def test_counted_gate_fills_to_its_quotas(engine: Engine, quotas: dict[str, int]) -> None:
    """Never more than the quota on the loop; with nothing taken off, exactly the quota."""
    layout = loop("counted", {"A": None, "B": None}, quotas=quotas)
    states = history(engine, layout, 40)
    for state in states:
        for material, quota in quotas.items():
            assert on_loop(state, material) <= quota
    for material, quota in quotas.items():
        assert on_loop(states[-1], material) == quota


def test_material_without_quota_is_admissible(engine: Engine) -> None:
    layout = loop("counted", {"A": None, "B": None}, quotas={"A": 1})
    end = engine.run(layout, 40)
    assert on_loop(end, "A") == 1
    assert on_loop(end, "B") == 10


@settings(deadline=None, max_examples=8)
@given(
    quota_a=st.integers(0, 4),
    quota_b=st.integers(0, 4),
    rule=st.sampled_from(["counted", "scarcest-first"]),
)
def test_quotas_hold_while_carriers_are_taken_off(
    engine: Engine, quota_a: int, quota_b: int, rule: str
) -> None:
    quotas = {"A": quota_a, "B": quota_b}
    layout = loop(rule, {"A": None, "B": "1/3"}, drained=True, quotas=quotas)
    for state in history(engine, layout, 60):
        for material, quota in quotas.items():
            assert on_loop(state, material) <= quota


@pytest.mark.parametrize(
    ("quotas", "window", "expected"),
    [
        ({"A": 2}, 5, "-AA---AA---AA---"),
        ({"A": 1}, 3, "-A--A--A--A--A--"),
        ({"A": 1}, 1, "-AAAAAAAAAAAAAAA"),
        ({"A": 0}, 4, "----------------"),
        ({}, 4, "-AAAAAAAAAAAAAAA"),
    ],
)
def test_windowed_gate(engine: Engine, quotas: dict[str, int], window: int, expected: str) -> None:
    """In any `window` actions one after the other at most the quota; an idle action counts."""
    layout = line("windowed", "A", 20, quotas=quotas, window=window)
    states = history(engine, layout, 16)
    assert entered(states) == expected
    told = [None] * (window - 1) + [cell if cell != "-" else None for cell in expected]
    assert states[-1]["windows"]["gate"] == told[len(told) - (window - 1) :]


@settings(deadline=None, max_examples=8)
@given(quota_a=st.integers(0, 3), quota_b=st.integers(0, 3), window=st.integers(1, 6))
def test_windowed_gate_in_any_window(
    engine: Engine, quota_a: int, quota_b: int, window: int
) -> None:
    """The lane has no exit, so an action is a step until it is full; the return adds none."""
    quotas = {"A": quota_a, "B": quota_b}
    layout = line("windowed", "AB", 30, quotas=quotas, window=window)
    sequence = entered(history(engine, layout, 30))
    for material, quota in quotas.items():
        for first in range(len(sequence)):
            assert sequence[first : first + window].count(material) <= quota


def test_windowed_gate_counts_what_main_passed(engine: Engine) -> None:
    """A lap of 12 cells with a break takes 11 steps: a window of 11 sees each carrier once."""
    layout = loop("windowed", {"A": None, "B": None}, quotas={"A": 3, "B": 2}, window=11)
    end = engine.run(layout, 60)
    assert (on_loop(end, "A"), on_loop(end, "B")) == (3, 2)


def test_scarcest_first_gate(engine: Engine) -> None:
    """Smallest (on the loop) / (share); equal ones by the order of inlets.

    Shares 2 : 1, by hand: 0/2 0/1 A, 1/2 0/1 B, 1/2 1/1 A, 2/2 1/1 A, 3/2 1/1 B, 3/2 2/1 A, ...
    """
    layout = line("scarcest-first", shares={"A": 2, "B": 1}, loop=("lane",))
    assert entered(history(engine, layout, 12)) == "-ABAABAABAAB"


def test_scarcest_first_gate_with_quotas(engine: Engine) -> None:
    """A material at its quota is passed over however scarce it is; no share means share 1."""
    layout = line("scarcest-first", shares={"A": 2}, quotas={"A": 3}, loop=("lane",))
    states = history(engine, layout, 12)
    assert entered(states) == "-ABAABBBBBBB"
    assert all(state["turns"]["gate"] == 0 for state in states)
