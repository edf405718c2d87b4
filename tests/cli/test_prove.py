"""`loopwright prove` and `loopwright verify`."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.typed import type_in
from tests.layout.design import EXAMPLES

KITS = EXAMPLES / "filter-kits.yaml"


def test_people_read_verdicts_with_numbers() -> None:
    typed = type_in("prove", KITS)
    assert typed.code == 0
    assert "cannot jam: PROVED" in typed.out
    assert "tap: all others 107 + 80 = 187 <= 214 = 216 - 2" in typed.out
    assert "returns to full rate by itself: PROVED" in typed.out


def test_what_is_not_proved_is_measured() -> None:
    typed = type_in("prove", KITS, "--gate", "scarcest-first")
    assert typed.code == 0
    assert "returns to full rate by itself: UNDECIDED" in typed.out
    assert "100.0 % after 222 s without tap" in typed.out


def test_another_gate_is_refuted_with_a_run() -> None:
    typed = type_in("prove", KITS, "--gate", "open", "--json")
    assert typed.code == 1
    assert typed.document["kind"] == "verdicts"
    assert typed.document["origin"]["parameters"] == {"gate": "open"}
    first = typed.document["verdicts"][0]
    assert first["outcome"] == "refuted"
    assert first["jam"]["scenario"]["start"] == "primed"


@pytest.mark.parametrize("gate", [(), ("--gate", "scarcest-first")])
def test_a_certificate_is_written_and_verified(tmp_path: Path, gate: tuple[str, ...]) -> None:
    proof = tmp_path / "proof.txt"
    assert type_in("prove", KITS, *gate, "--certificate", proof).code == 0
    typed = type_in("verify", proof, KITS)
    assert typed.code == 0
    assert "holds" in typed.out
    text = proof.read_text("utf-8")
    proof.write_text(text.replace("107 + 80 = 187", "107 + 80 = 186"), "utf-8")
    typed = type_in("verify", proof, KITS)
    assert typed.code == 1
    assert "wrong line" in typed.out


def test_what_is_no_certificate_is_bad_input(tmp_path: Path) -> None:
    typed = type_in("verify", KITS, KITS)
    assert typed.code == 2
    assert "filter-kits.yaml" in typed.err
    assert type_in("verify", tmp_path / "none.txt", KITS).code == 2


def test_a_block_without_loops_says_so(starter: Path) -> None:
    typed = type_in("prove", starter)
    assert typed.code in (0, 1)
    assert "Traceback" not in typed.err
