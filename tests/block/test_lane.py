from fractions import Fraction

import pytest

from loopwright.block.lane import capacity, input_carriers, output_carriers


def test_a_mixed_lane() -> None:
    carriers = input_carriers({"a": 2, "b": 1, "c": 3}, {"a": 1, "b": 4, "c": 4})
    assert carriers == {"a": 2, "b": Fraction(1, 4), "c": Fraction(3, 4)}
    assert capacity(Fraction(15), Fraction(4), carriers.values()) == 20


def test_stacking_a_material_raises_the_capacity_in_proportion() -> None:
    one = capacity(Fraction(15), Fraction(4), input_carriers({"a": 3}, {"a": 1}).values())
    four = capacity(Fraction(15), Fraction(4), input_carriers({"a": 3}, {"a": 4}).values())
    assert four == 4 * one


@pytest.mark.parametrize(("stack", "hand", "load"), [(4, 1, 1), (1, 4, 1), (4, 3, 3), (2, 8, 2)])
def test_an_output_carrier_holds_what_a_hand_and_a_stack_allow(
    stack: int, hand: int, load: int
) -> None:
    given = output_carriers({"kit": 3}, {"kit": stack}, Fraction(5, 4), hand)
    assert given == {"kit": Fraction(15, 4) / load}


def test_a_station_that_uses_nothing_sets_no_capacity() -> None:
    with pytest.raises(ValueError, match="nothing"):
        capacity(Fraction(1), Fraction(1), [])
