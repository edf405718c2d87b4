"""The part about loops: verdicts, laws and cards, safe and in order."""

from __future__ import annotations

from fractions import Fraction

from loopwright.prove import prove_loops
from loopwright.prove.recover import best_cards
from loopwright.report.html import Html
from loopwright.report.loops import card_fragment, loops_section
from tests.prove.loops import kits
from tests.prove.rows import Row
from tests.report.design import Page, small_design
from tests.report.test_report import report_text


def test_a_proved_loop_shows_its_inequalities() -> None:
    layout = kits(rate=Fraction(6, 20), row=6, gate="windowed")
    body = Page(loops_section(layout, prove_loops(layout)).body)
    assert "Cannot jam." in body.text
    assert "Theorem quota, given that" in body.text
    assert "What the laws say" in body.text
    assert [one["class"] for one in body.all("div") if "verdict" in str(one.get("class"))] == [
        "verdict met",
        "verdict met",
    ]


def test_a_loop_that_jams_shows_its_card() -> None:
    layout = Row(12).layout()
    verdicts = prove_loops(layout)
    assert verdicts[0].jam is not None
    cards = best_cards(layout, verdicts)
    page = Page(loops_section(layout, verdicts, cards).body)
    assert "Refuted" in page.text
    assert "time to jam" in page.text
    assert "lane: recovery by hand" in page.text
    assert len(page.all("h4")) == 1
    assert isinstance(card_fragment(cards[0]), Html)


def test_the_report_has_the_part_where_there_are_verdicts() -> None:
    design = small_design()
    verdicts = prove_loops(design.layout, runs=False)
    head = (design.project, design.plan, design.block, design.layout, design.runs)
    with_loops = Page(report_text(*head, design.findings, verdicts))
    ids = [attrs["id"] for attrs in with_loops.all("section")]
    assert ("loops" in ids) == bool(verdicts)
    assert "loops" not in [one["id"] for one in Page(design.text()).all("section")]
