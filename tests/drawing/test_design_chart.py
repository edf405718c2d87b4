"""Designs as points."""

from __future__ import annotations

from xml.etree import ElementTree

from loopwright.drawing.design_chart import DesignPoint, design_chart


def _texts(svg: str) -> list[str]:
    return [node.text or "" for node in ElementTree.fromstring(svg).iter() if node.text]


def test_every_design_has_its_letter_in_the_field_and_in_the_key() -> None:
    points = [
        DesignPoint("A", "as it is", 10, 20, True, True),
        DesignPoint("B", "the same place", 10, 20, True, True),
        DesignPoint("C", "worse <&>", 15, 25, False, False),
    ]
    texts = _texts(design_chart(points, "effort", "floor [cells]"))
    for letter in "ABC":
        assert texts.count(letter) == 2
    assert "worse <&>" in texts


def test_a_line_joins_those_that_no_other_beats() -> None:
    points = [
        DesignPoint("A", "a", 1, 9, True, True),
        DesignPoint("B", "b", 5, 2, True, True),
        DesignPoint("C", "c", 6, 9, True, False),
    ]
    assert "no other is better in both" in design_chart(points, "effort", "floor")
    alone = [DesignPoint("A", "a", 1, 9, True, True)]
    assert "no other is better in both" not in design_chart(alone, "effort", "floor")


def test_nothing_to_show_is_an_empty_field() -> None:
    assert _texts(design_chart([], "effort", "floor"))[0]
