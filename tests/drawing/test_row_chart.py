"""Little pictures of row designs."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from loopwright.block import Block, list_blocks
from loopwright.drawing.row_chart import row_picture
from loopwright.model import Project, check_text
from loopwright.model.example import example_path
from loopwright.plan import Plan, solve_plan

NUMBERS = {"candle": 1, "tap": 2, "seal": 3, "kit": 4}


@pytest.fixture(scope="module")
def blocks() -> dict[str, Block]:
    text = example_path("check-block.yaml").read_text("utf-8")
    project, _ = check_text(text)
    assert project is not None
    found = list_blocks(_plan(project), project)
    return {f"{block.architecture}-{block.sides}": block for block in found}


def _plan(project: Project) -> Plan:
    return solve_plan(project)


def _groups(svg: str) -> set[str]:
    return {
        node.attrib["id"]
        for node in ElementTree.fromstring(svg).iter()
        if node.tag.endswith("}g") and "id" in node.attrib
    }


def test_each_architecture_is_told_by_its_belts(blocks: dict[str, Block]) -> None:
    drawn = {key: row_picture(block, block.design, NUMBERS) for key, block in blocks.items()}
    assert {key for key, svg in drawn.items() if "lw-rows-belts-returns" in _groups(svg)} == {
        "loop-double",
        "loop-single",
    }
    assert {key for key, svg in drawn.items() if "lw-rows-belts-left-over" in _groups(svg)} == {
        "pass-double",
        "pass-single",
    }


def test_the_words_count_all_stations(blocks: dict[str, Block]) -> None:
    for block in blocks.values():
        for design in block.designs[:5]:
            said = re.findall(r">([^<>]* stations)<", row_picture(block, design, NUMBERS))
            (words,) = said
            parts = re.findall(r"(\d+) x (\d+)", words)
            assert sum(int(rows) * int(row) for rows, row in parts) == design.stations


def test_a_picture_is_small_and_takes_the_colours_of_the_page(blocks: dict[str, Block]) -> None:
    block = blocks["pass-double"]
    svg = row_picture(block, block.design, NUMBERS, theme="page", prefix="mine")
    assert len(svg) < 15_000
    assert "var(--lw-ink" in svg
    assert 'class="mine"' in svg
