"""`loopwright recover` and the laws of `loopwright prove`, as typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.typed import type_in


@pytest.fixture
def kits(tmp_path: Path) -> Path:
    """A row of six stations of the example block, with a short outage."""
    text = Path("examples/filter-kits.yaml").read_text("utf-8")
    text = text.replace("kit: 648/min", "kit: 18/min").replace("row: 36 ", "row: 6 ")
    path = tmp_path / "kits.yaml"
    path.write_text(text, "utf-8")
    return path


def test_the_card_of_an_open_gate(kits: Path) -> None:
    typed = type_in("recover", kits, "--gate", "open")
    assert typed.code == 0
    assert "row 1 lane: recovery by gate" in typed.out
    assert "1. See that candle can be supplied again." in typed.out
    assert "100 % of full rate long after" in typed.out


def test_the_card_after_a_scenario(kits: Path) -> None:
    typed = type_in("recover", kits, "--gate", "open", "--scenario", "tap-outage", "--json")
    assert typed.code == 0
    (group,) = typed.document["groups"]
    assert group["loops"] == ["row 1 lane"]
    assert group["ways"][0]["works"]
    assert group["ways"][0]["card"]["purge"]


def test_nothing_to_do_where_no_loop_stands(kits: Path) -> None:
    typed = type_in("recover", kits, "--scenario", "steady")
    assert (typed.code, typed.out) == (0, "No loop stands.\n")
    assert type_in("recover", kits, "--scenario", "nothing").code == 2


def test_laws_are_shown_and_listed(kits: Path) -> None:
    typed = type_in("prove", kits, "--gate", "open", "--laws")
    assert typed.code == 1
    assert "Laws of row 1 lane" in typed.out
    assert "carriers a step enter beyond what is used" in typed.out
    listed = type_in("prove", kits, "--laws", "--json").document["laws"]
    assert {law["topic"] for law in listed[0]["laws"]} >= {"load", "stock lasts", "safe outage"}
