"""Tables, documents and progress bars."""

from __future__ import annotations

import json

import pytest

from loopwright.cli.output import table_text, write_document
from loopwright.cli.progress import progress


def test_a_table_has_its_names_left_and_its_numbers_right() -> None:
    table = table_text(("row", "stations"), [("north", "64"), ("x", "7 1/9"), ("y", "-")])
    assert table.splitlines() == [
        "row    stations",
        "-----  --------",
        "north        64",
        "x         7 1/9",
        "y             -",
    ]


def test_a_column_with_a_word_in_it_is_set_to_the_left() -> None:
    lines = table_text(("row", "lanes", "n"), [("1", "flour", "2"), ("2", "7", "3")]).splitlines()
    assert lines[2:] == ["  1  flour  2", "  2  7      3"]


def test_a_table_of_nothing_is_its_heads() -> None:
    assert table_text(("a", "b"), []) == "a  b\n-  -"


def test_a_document_begins_with_its_header(capsys: pytest.CaptureFixture[str]) -> None:
    write_document("plan", "sha256:0", {"all": True}, {"power": "1/3"})
    document = json.loads(capsys.readouterr().out)
    assert list(document) == ["kind", "version", "origin", "power"]
    assert document["origin"]["input"] == "sha256:0"
    assert document["origin"]["parameters"] == {"all": True}


def test_progress_is_silent_where_nobody_looks_on(capsys: pytest.CaptureFixture[str]) -> None:
    with progress("simulating") as show:
        show(0.5)
        show(1.0)
    captured = capsys.readouterr()
    assert (captured.out, captured.err) == ("", "")


def test_progress_goes_to_stderr_of_a_terminal(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("TERM", "xterm")
    with progress("simulating") as show:
        show(1.0)
    captured = capsys.readouterr()
    assert captured.out == ""
    assert "simulating" in captured.err
