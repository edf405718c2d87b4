"""One entry set in a text: nothing else changes."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.model.edit import EditError, set_entry
from loopwright.model.example import EXAMPLES, example_path
from loopwright.model.parse import parse_text
from loopwright.model.source import Items, Mapping, Scalar, Spot, Step, Tree

TEXT = """\
# head
project:
  name: Kits   # the name
  about: |
    Two lines
    of text.

materials:
  candle: {title: "Ceramic: candle", stack: 4}  # fired
  tap:
    # of brass
    title: Tap
    stack:
  seal: {}

# what comes out
demand: {kit: 60/min}
site:
  docks:
    - {material: candle, rate: 3/s}
    - material: tap     # from the east
      rate: 90/min
choices:
"""


def _changed(path: list[Step], value: str | None) -> list[tuple[str, str]]:
    """Lines that differ, before and after, where their number stays the same."""
    after = set_entry(TEXT, path, value)
    pairs = zip(TEXT.splitlines(), after.splitlines(), strict=True)
    return [(old, new) for old, new in pairs if old != new]


def test_a_value_is_replaced_and_its_comment_stays() -> None:
    assert _changed(["project", "name"], "Taps: all") == [
        ("  name: Kits   # the name", '  name: "Taps: all"   # the name')
    ]


def test_a_quoted_value_in_braces_is_replaced() -> None:
    old = '  candle: {title: "Ceramic: candle", stack: 4}  # fired'
    new = "  candle: {title: Candle, stack: 4}  # fired"
    assert _changed(["materials", "candle", "title"], "Candle") == [(old, new)]


def test_a_value_is_put_where_there_is_none() -> None:
    assert _changed(["materials", "tap", "stack"], "2") == [("    stack:", "    stack: 2")]
    assert _changed(["choices", "row"], "6") == [("choices:", "choices: {row: 6}")]
    assert _changed(["materials", "seal", "stack"], "6") == [("  seal: {}", "  seal: {stack: 6}")]


def test_a_text_of_several_lines_gives_way() -> None:
    after = set_entry(TEXT, ["project", "about"], "One line")
    assert "  about: One line\n\nmaterials:" in after


@pytest.mark.parametrize(
    ("path", "value", "line"),
    [
        (["materials", "tap", "letter"], "T", "    stack:\n    letter: T\n  seal:"),
        (["materials", "kit", "title"], "Kit", "  seal: {}\n  kit: {title: Kit}\n\n# what"),
        (["materials", "candle", "letter"], "C", "stack: 4, letter: C}  # fired"),
        (["site", "docks", 2, "rate"], "1/s", "rate: 90/min\n    - {rate: 1/s}\nchoices"),
        (["site", "docks", 1, "x"], "1", "rate: 90/min\n      x: 1\nchoices"),
        (["site", "obstacles", 0, "x"], "4", "90/min\n  obstacles:\n    - {x: 4}\nchoices"),
        (["scenarios", "calm", "span"], "1 h", "choices:\n\nscenarios:\n  calm: {span: 1 h}\n"),
        (["demand", "a b"], "1", "{kit: 60/min, a b: 1}"),
    ],
)
def test_an_entry_is_added_after_the_others(path: list[Step], value: str, line: str) -> None:
    after = set_entry(TEXT, path, value)
    assert line in after
    assert len([kept for kept in TEXT.splitlines() if kept not in after.splitlines()]) <= 1


@pytest.mark.parametrize(
    ("path", "gone"),
    [
        (["materials", "candle", "stack"], ", stack: 4"),
        (["materials", "candle", "title"], 'title: "Ceramic: candle", '),
        (["materials", "tap", "stack"], "    stack:\n"),
        (["materials", "seal"], "  seal: {}\n"),
        (["site", "docks", 0], "    - {material: candle, rate: 3/s}\n"),
        (["site", "docks", 1], "    - material: tap     # from the east\n      rate: 90/min\n"),
        (["site", "docks", 1, "material"], "material: tap     # from the east\n      "),
        (["demand"], "demand: {kit: 60/min}\n"),
        (["choices"], "choices:\n"),
        (["choices", "row"], ""),
    ],
)
def test_an_entry_is_taken_out(path: list[Step], gone: str) -> None:
    assert gone in TEXT
    assert set_entry(TEXT, path, None) == TEXT.replace(gone, "", 1)


def test_the_last_entry_leaves_braces() -> None:
    assert "demand: {}\n" in set_entry(TEXT, ["demand", "kit"], None)
    one = "a: 1\nb:\n  c: 2  # two\n"
    assert set_entry(one, ["b", "c"], None) == "a: 1\nb: {}  # two\n"


def test_a_whole_tree_is_set() -> None:
    spot = Spot("", 1, 1)
    tree = Mapping(spot, {"title": Scalar(spot, "Tap"), "x": Items(spot, [Scalar(spot, "1")])})
    after = set_entry(TEXT, ["materials", "tap"], tree)
    assert "  tap: {title: Tap, x: [1]}\n  seal: {}" in after


def test_line_ends_and_the_mark_at_the_start_are_kept() -> None:
    text = "\ufeffa:\r\n  b: 1\r\nc: 2\r\n"
    assert set_entry(text, ["a", "d"], "3") == "\ufeffa:\r\n  b: 1\r\n  d: 3\r\nc: 2\r\n"
    assert set_entry("a: 1", ["b"], "2") == "a: 1\n\nb: 2"


@pytest.mark.parametrize(
    ("text", "path", "said"),
    [
        ("a: &x {b: 1}\nc: *x\n", ["c", "b"], "elsewhere"),
        ("a: &x 1\nc: *x\n", ["a"], "by itself"),
        ("a: 1\n", ["a", "b"], "one value"),
        ("a: [1]\n", ["a", 4], "no entry 4"),
        ("a: [1\n", ["a"], "does not read"),
        ("- a\n", ["a"], "does not read"),
        ("", ["a"], "does not read"),
        ("a: 1\n", ["a"], "last section"),
    ],
)
def test_what_would_change_more_is_refused(text: str, path: list[Step], said: str) -> None:
    with pytest.raises(EditError, match=said):
        set_entry(text, path, None if said == "last section" else "2")


def _paths(plain: Any, path: tuple[Step, ...] = ()) -> list[tuple[Step, ...]]:
    found = [path] if path else []
    steps = (
        plain.items()
        if isinstance(plain, dict)
        else enumerate(plain)
        if isinstance(plain, list)
        else ()
    )
    for step, inner in steps:
        found += _paths(inner, (*path, step))
    return found


TEXTS = {name: example_path(name).read_text("utf-8") for name in EXAMPLES[:3:2]}
TREES: dict[str, Tree | None] = {name: parse_text(text, name)[0] for name, text in TEXTS.items()}


@settings(max_examples=30)
@given(st.data(), st.text(st.characters(codec="utf-8", exclude_categories=["C"]), max_size=12))
def test_any_entry_gets_any_value_or_goes(data: st.DataObject, value: str) -> None:
    """`set_entry` reads the result again by itself; here it must only not refuse."""
    name = data.draw(st.sampled_from(list(TEXTS)))
    tree = TREES[name]
    assert tree is not None
    path = data.draw(st.sampled_from(_paths(tree.plain())))
    for new in (value or "x", None):
        after = set_entry(TEXTS[name], path, new)
        comments = [line for line in TEXTS[name].splitlines() if line.startswith("#")]
        assert [line for line in after.splitlines() if line.startswith("#")] == comments
