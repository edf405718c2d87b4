"""`loopwright block`."""

from __future__ import annotations

from pathlib import Path

from loopwright.block import list_blocks, size_block
from loopwright.model import read_project
from loopwright.plan import solve_plan
from tests.cli.typed import type_in


def test_the_document_holds_the_block(starter: Path) -> None:
    project = read_project(starter)
    block = size_block(solve_plan(project), project)
    typed = type_in("block", starter, "--json")
    assert typed.code == 0
    document = typed.document
    assert document["kind"] == "block"
    assert document["process"] == block.process
    assert document["architecture"] == block.architecture
    assert len(document["rows"]) == len(block.rows)
    assert document["counts"]["stations"] == block.counts.stations
    assert len(document["designs"]) == len(block.designs)
    assert "alternatives" not in document


def test_all_lists_every_architecture(starter: Path) -> None:
    project = read_project(starter)
    blocks = list_blocks(solve_plan(project), project)
    document = type_in("block", starter, "--all", "--json").document
    found = [entry["architecture"] for entry in document["alternatives"]]
    assert found == [block.architecture for block in blocks]
    typed = type_in("block", starter, "--all")
    assert typed.code == 0
    assert all(block.architecture in typed.out for block in blocks)


def test_people_see_the_reason_and_the_chosen_design(starter: Path) -> None:
    project = read_project(starter)
    block = size_block(solve_plan(project), project)
    typed = type_in("block", starter)
    assert typed.code == 0
    assert block.reason in typed.out
    marked = [line for line in typed.out.splitlines() if line.startswith("chosen ")]
    assert len(marked) == 1
