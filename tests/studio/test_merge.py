"""Two changes in one text: nothing of either is lost, or it is a conflict."""

from __future__ import annotations

from hypothesis import assume, given
from hypothesis import strategies as st

from loopwright.studio.merge import merge_texts

LINES = st.lists(st.sampled_from(["a", "b", "c", "", "  d: 1"]), max_size=12)


def _text(lines: list[str], ended: bool = True) -> str:
    return "\n".join(lines) + ("\n" if ended and lines else "")


def test_changes_apart_go_both_in() -> None:
    base = _text(["one", "two", "three", "four", "five"])
    ours = base.replace("one", "ONE")
    theirs = base.replace("five", "FIVE") + "six\n"
    assert merge_texts(base, ours, theirs) == "ONE\ntwo\nthree\nfour\nFIVE\nsix\n"


def test_changes_side_by_side_are_a_conflict() -> None:
    base = _text(["one", "two", "three"])
    assert merge_texts(base, base.replace("one", "1"), base.replace("two", "2")) is None


def test_two_insertions_at_one_place_are_a_conflict() -> None:
    base = _text(["one", "two"])
    assert merge_texts(base, "one\nmine\ntwo\n", "one\nyours\ntwo\n") is None


def test_the_same_change_is_made_once() -> None:
    base = _text(["one", "two", "three"])
    both = "one\n2\nthree\n"
    assert merge_texts(base, both, both) == both


def test_line_ends_are_kept() -> None:
    assert merge_texts("a\r\nb\r\nc\r\nd", "A\r\nb\r\nc\r\nd", "a\r\nb\r\nc\r\nD") == (
        "A\r\nb\r\nc\r\nD"
    )


@given(LINES, LINES)
def test_where_one_changes_nothing_the_other_wins(base: list[str], other: list[str]) -> None:
    assert merge_texts(_text(base), _text(base), _text(other)) == _text(other)
    assert merge_texts(_text(base), _text(other), _text(base)) == _text(other)
    assert merge_texts(_text(base), _text(other), _text(other)) == _text(other)


@st.composite
def edits(draw: st.DrawFn, count: int, mark: str) -> tuple[list[int], dict[int, str]]:
    """Lines to drop, and lines to put in before a place, each with a text of its own."""
    drop = draw(st.lists(st.integers(0, count - 1), unique=True, max_size=3))
    places = draw(st.lists(st.integers(0, count), unique=True, max_size=3))
    return drop, {place: f"{mark}{place}" for place in places}


def _edited(count: int, edit: tuple[list[int], dict[int, str]]) -> list[str]:
    drop, put = edit
    lines = []
    for place in range(count + 1):
        if place in put:
            lines.append(put[place])
        if place < count and place not in drop:
            lines.append(f"line {place}")
    return lines


@given(st.data(), st.integers(1, 30))
def test_no_change_is_lost(data: st.DataObject, count: int) -> None:
    base = [f"line {place}" for place in range(count)]
    ours, theirs = data.draw(edits(count, "mine")), data.draw(edits(count, "yours"))
    merged = merge_texts(_text(base), _text(_edited(count, ours)), _text(_edited(count, theirs)))
    assume(merged is not None)
    assert merged is not None
    lines = merged.splitlines()
    for drop, put in (ours, theirs):
        assert not {f"line {place}" for place in drop} & set(lines)
        assert set(put.values()) <= set(lines)
    kept = set(range(count)) - set(ours[0]) - set(theirs[0])
    assert [line for line in lines if line.startswith("line")] == [
        f"line {place}" for place in sorted(kept)
    ]
