"""`loopwright mix`."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from loopwright.block.mixer import choose_mix
from tests.cli.typed import type_in


def test_the_document_holds_the_mixer_and_the_gate() -> None:
    typed = type_in("mix", "3:2", "--json")
    assert typed.code == 0
    document = typed.document
    assert document["kind"] == "mix"
    assert document["mixer"]["shares"] == [["A", 3], ["B", 2]]
    assert document["numbers"]["devices"] == 4
    assert document["numbers"]["net_rate"] == "5/6"
    assert document["gate"]["pattern"] == list(choose_mix({"A": 3, "B": 2}).gate.pattern)
    assert document["choice"] == "gate"
    assert [line["reason"] for line in document["proof"]["lines"]]


def test_people_see_tree_sequence_and_gate() -> None:
    typed = type_in("mix", "candle=2", "tap=1", "seal=3")
    assert typed.code == 0
    assert "`- merge of 2  1/3\n   |- tap  1/6" in typed.out
    assert "sequence  seal candle tap seal candle seal" in typed.out
    assert "devices   3: 2 merges + 1 divert of a lane\n" in typed.out
    assert "Pattern gate, ratio-locked: 3 stops and a counter of 6" in typed.out
    assert "Claim" not in typed.out
    assert "Claim" in type_in("mix", "5:2", "--proof").out


def test_a_higher_rate_takes_another_mixer() -> None:
    assert "net rate  7/12 of a belt" in type_in("mix", "3:2:2").out
    assert "net rate  7/8 of a belt" in type_in("mix", "3:2:2", "--rate", "0.8").out


def test_the_drawing_is_written(tmp_path: Path) -> None:
    path = tmp_path / "mixer.svg"
    assert type_in("mix", "5:2", "--svg", path).code == 0
    text = path.read_text("utf-8")
    assert text.startswith("<svg")
    assert "feedback lane" in text


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["3:0"], "above 0"),
        (["3:x"], "not a plain number"),
        (["3"], "2 to 6 materials"),
        (["30:1"], "at most 24"),
        (["a=1", "b"], "name=share"),
        (["a=1", "a=2"], "named twice"),
        (["1:" * 30 + "1"], "too many"),
        (["3:2", "--rate", "2"], "from 0 to 1"),
        (["3:2", "--rate", "1"], "pattern gate"),
        (["3:2", "--rate", "fast"], "not a plain number"),
    ],
)
def test_a_wrong_ratio_is_explained(words: list[str], said: str) -> None:
    typed = type_in("mix", *words)
    assert typed.code == 2
    # The message is set in lines of the terminal's width.
    assert said in " ".join(typed.err.split())


def test_it_is_measured_beside_the_law(tmp_path: Path) -> None:
    path = tmp_path / "floor.svg"
    typed = type_in("mix", "3:2", "--measure", "--floor", path)
    assert typed.code == 0
    assert re.search(r"rate +0\.833\d of a belt, 0\.8333 by the law", typed.out)
    assert re.search(r"priming +\d+ carriers fill what is fed back", typed.out)
    assert re.search(r"^A +0\.4500 +0\.4500 +0\.4[45]\d\d ", typed.out, re.MULTILINE)
    assert "mixer feedback first" in path.read_text("utf-8")
    told = type_in("mix", "3:2", "--measure", "--json").document
    assert [one["material"] for one in told["measured"]["short"]] == ["A", "B"]
