"""Small loops, searched whole: the theorems say neither too much nor too little."""

from __future__ import annotations

import pytest

from loopwright.prove.miniature import Miniature, search_miniature
from loopwright.prove.search import SearchLimitError


def _least_room(quotas: tuple[int, ...]) -> int:
    return max(sum(quotas) - quota for quota in quotas)


BOUNDARY = [
    (cells, quotas)
    for quotas in ((1, 1), (2, 1), (2, 2), (3, 1), (3, 2), (3, 3), (1, 1, 1), (2, 1, 1), (2, 2, 1))
    for cells in (_least_room(quotas) + 1, _least_room(quotas) + 2)
    if cells > 2
]


@pytest.mark.parametrize(("cells", "quotas"), BOUNDARY)
@pytest.mark.parametrize("rule", ["quota", "windowed"])
def test_quotas_are_safe_exactly_up_to_two_cells_less(
    cells: int, quotas: tuple[int, ...], rule: str
) -> None:
    count = len(quotas)
    found = search_miniature(
        Miniature(cells, (0,), (1,) * count, (1,) * count, rule, quotas, seam=2)
    )
    assert (not found.jams) == (_least_room(quotas) <= cells - 2)


@pytest.mark.parametrize("late", [False, True])
def test_quotas_hold_for_part_used_carriers_and_late_picks(late: bool) -> None:
    for cells, safe in ((3, False), (4, True)):
        small = Miniature(cells, (0,), (1, 1), (2, 2), "quota", (2, 2), load=2, seam=2, late=late)
        assert (not search_miniature(small).jams) == safe


def test_an_open_gate_jams_in_a_few_steps() -> None:
    found = search_miniature(Miniature(4, (0,), (1, 1), (2, 2), seam=2))
    assert found.jams
    assert found.steps == 5
    assert [label[-1] for label, _ in found.trace[1:]] == ["A"] * 5
    end = found.trace[-1][1]
    assert [slot[0] for slot in end.cells if slot] == [0, 0, 0]
    assert end.desks[0].held == (2, 0)


def test_the_seam_takes_one_cell_and_nothing_else() -> None:
    """A ring of L + 1 cells with a seam and a driven ring of L cells are the same system."""
    for cells in (2, 3):
        driven = Miniature(
            cells,
            (0, 1),
            (1, 1, 1),
            (4, 4, 1),
            "ratio-locked",
            pattern=(0, 1, 2),
            seam=0,
            late=True,
        )
        cut = Miniature(
            cells + 1, (0, 2), (1, 1, 1), (4, 4, 1), "ratio-locked", pattern=(0, 1, 2), seam=2,
            late=True,
        )  # fmt: skip
        one, other = search_miniature(driven), search_miniature(cut)
        assert (one.states, len(one.jams), one.steps) == (
            other.states,
            len(other.jams),
            other.steps,
        )


@pytest.mark.parametrize(
    ("cells", "caps", "states", "jams"),
    [
        (3, (4, 4, 1), 2862, 6),  # the counterexample: unequal caps
        (4, (4, 4, 1), 13498, 0),  # one cell more
        (3, (3, 3, 1), None, 0),
    ],
)
def test_a_locked_ratio_jams_with_unequal_caps_only(
    cells: int, caps: tuple[int, ...], states: int | None, jams: int
) -> None:
    small = Miniature(
        cells, (0, 2), (1, 1, 1), caps, "ratio-locked", pattern=(0, 1, 2), seam=2, late=True
    )
    found = search_miniature(small)
    assert len(found.jams) == jams
    assert states is None or found.states == states


@pytest.mark.parametrize("cells", [3, 4, 5])
@pytest.mark.parametrize("cap", [1, 2])
def test_a_locked_ratio_with_equal_caps_never_jams(cells: int, cap: int) -> None:
    small = Miniature(cells, (0,), (1, 1), (cap, cap), "ratio-locked", pattern=(0, 1), late=True)
    assert not search_miniature(small).jams


@pytest.mark.parametrize(("rule", "quotas"), [("quota", (1, 1)), ("ratio-locked", ())])
def test_taking_ahead_jams_under_every_gate(rule: str, quotas: tuple[int, ...]) -> None:
    small = Miniature(
        4, (0,), (1, 1), (1, 1), rule, quotas, pattern=(0, 1), seam=2, picks="grab", late=True
    )
    found = search_miniature(small)
    assert found.jams
    end = found.trace[-1][1].desks[0]
    assert end.hand is not None
    assert end.held[end.hand] == 1


@pytest.mark.parametrize(("cap", "safe"), [(3, False), (4, False), (5, False), (6, True)])
def test_whole_carriers_need_room_for_what_may_be_left(cap: int, safe: bool) -> None:
    """a = 3, u = 4: B >= a + u - gcd(a, u) = 6."""
    small = Miniature(3, (0,), (3,), (cap,), "quota", (1,), load=4, picks="whole")
    assert (not search_miniature(small).jams) == safe


def test_whole_carriers_of_a_multiple_need_one_carrier() -> None:
    for cap, safe in ((3, False), (4, True)):
        small = Miniature(3, (0,), (1,), (cap,), "quota", (1,), load=4, picks="whole")
        assert (not search_miniature(small).jams) == safe


def test_a_search_stops_at_its_limit() -> None:
    with pytest.raises(SearchLimitError):
        search_miniature(Miniature(4, (0,), (1, 1), (2, 2)), most=10)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("quotas", "safe"), [((2, 2), True), ((3, 3), True), ((4, 2), False), ((4, 4), False)]
)
def test_quotas_with_two_stations(quotas: tuple[int, ...], safe: bool) -> None:
    small = Miniature(5, (0, 1), (1, 1), (2, 2), "quota", quotas, seam=3, late=True)
    assert (not search_miniature(small).jams) == safe
