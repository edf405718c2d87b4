"""Remedies: tried in order, priced, and written into the file with its comments kept."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from loopwright.compare.change import Change, Edit, changed
from loopwright.compare.remedies.offer import offer_for
from loopwright.compare.remedies.remedy import try_change, try_remedies
from loopwright.model import Project, read_project
from tests.cli.typed import type_in
from tests.layout.design import example

SIX = Fraction(6, 20)


def _kits(**choices: Any) -> Project:
    return example("filter-kits.yaml", rate=SIX, row=6, **choices)


def _offered(project: Project) -> dict[str, Change]:
    return {str(one.change): one.change for one in offer_for(project).candidates}


def _with_habit(project: Project) -> Project:
    edits = [
        Edit(("equipment", "pickers", name, "habit"), "grab") for name in project.equipment.pickers
    ]
    return changed(project, Change(tuple(edits)))


def test_an_open_gate_is_cured_by_the_first_change() -> None:
    project = _kits(gate="open")
    tried = list(try_remedies(project, offer_for(project)))
    before, first = tried[:2]
    assert before.outcomes == (("refuted", "refuted"),)
    assert before.price is not None
    assert before.price.rate == 0
    assert str(first.change) == "choices.gate: windowed"
    assert first.green
    assert first.price is not None
    assert (first.price.rate, first.started, first.late) == (1, 1, 1)
    assert first.price.pickers == before.price.pickers
    assert str(tried[-1].change) == "choices.architecture: plain"
    assert tried[-1].green
    assert tried[-1].price is not None
    assert tried[-1].price.pickers > first.price.pickers


def test_takers_ahead_are_changed_before_anything_else() -> None:
    project = _with_habit(_kits(gate="open"))
    offered = _offered(project)
    changes = list(offered)
    assert changes[0] == "equipment.pickers.arm.habit: commit"
    assert changes[1] == "equipment.pickers.arm.habit: commit, choices.gate: windowed"
    assert try_change(project, offered[changes[1]]).green


def test_small_buffers_are_made_larger() -> None:
    """A full station has to outlast a turn of the loop: 3 batches of 20 s against 43 s do."""
    small = Edit(("equipment", "stations", "packer", "batches"), 1)
    project = example("filter-kits.yaml", rate=Fraction(36, 20), row=36, gate="windowed")
    project = changed(project, Change((small,)))
    assert not try_change(project, Change()).green
    (told,) = [text for text in _offered(project) if text.startswith("equipment.stations")]
    assert told == "equipment.stations.packer.batches: 3"
    assert try_change(project, _offered(project)[told]).green


def test_carriers_taken_whole_get_room_or_are_taken_by_the_unit() -> None:
    """Seals come by 4 and a cycle takes 3: with 3 or 5 held a carrier may never fit."""
    whole = [
        Edit(("equipment", "pickers", "arm", "takes"), "carriers"),
        Edit(("equipment", "pickers", "arm", "hand"), 4),
        Edit(("equipment", "stations", "packer", "batches"), 1),
    ]
    project = changed(_kits(gate="windowed"), Change(tuple(whole)))
    assert not try_change(project, Change()).green
    told = _offered(project)
    room = [change for text, change in told.items() if "batches" in text]
    units = [change for text, change in told.items() if "takes: units" in text]
    assert [str(change) for change in room + units] == [
        "equipment.stations.packer.batches: 4",
        "equipment.pickers.arm.takes: units",
    ]
    assert all(try_change(project, change).green for change in room + units)


def test_what_cannot_be_built_says_why() -> None:
    found = try_change(example("filter-kits.yaml"), Change((Edit(("choices", "row"), 4),)))
    assert found.price is None
    assert "site" in found.refusal
    assert not found.green


def _file(folder: Path, gate: str) -> Path:
    text = Path("examples/filter-kits.yaml").read_text("utf-8")
    text = text.replace("kit: 648/min", "kit: 18/min").replace("row: 36 ", "row: 6 ")
    path = folder / "kits.yaml"
    path.write_text(text.replace("gate: windowed", f"gate: {gate}"), "utf-8")
    return path


def test_the_first_that_helps_is_written_and_comments_stay(tmp_path: Path) -> None:
    file, safe = _file(tmp_path, "open"), tmp_path / "safe.yaml"
    typed = type_in("prove", file, "--remedy", "--write", safe)
    assert typed.code == 0
    assert "The first that helps: choices.gate: windowed" in typed.out
    assert "rate 0 % -> 100 %" in typed.out
    old, new = file.read_text("utf-8").splitlines(), safe.read_text("utf-8").splitlines()
    assert [b for a, b in zip(old, new, strict=True) if a != b] == [
        next(line for line in new if "gate: windowed" in line)
    ]
    assert read_project(safe).choices.gate == "windowed"
    assert type_in("prove", safe).code == 0


def test_a_safe_design_is_left_as_it_is(tmp_path: Path) -> None:
    typed = type_in("prove", _file(tmp_path, "windowed"), "--remedy", "--json")
    assert typed.code == 0
    assert typed.document["tried"][0]["green"]


@pytest.mark.parametrize("words", [("--write", "x.yaml"), ("--write", "x.yaml", "--gate", "open")])
def test_writing_goes_with_remedies_only(tmp_path: Path, words: tuple[str, ...]) -> None:
    assert type_in("prove", _file(tmp_path, "open"), *words).code == 2
