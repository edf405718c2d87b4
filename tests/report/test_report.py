"""The page as a whole: order, safety, sameness, nothing from outside."""

from __future__ import annotations

import re
from copy import deepcopy
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.block import size_block
from loopwright.finding import Place, new_finding
from loopwright.layout.place import place_layout
from loopwright.plan import solve_plan
from loopwright.report import report_text, write_report
from loopwright.simulate.reading.count import read_run
from loopwright.simulate.truncation import Truncation
from tests.block.sample import project as check_block
from tests.layouts.plants import one_of_each
from tests.report.design import PROJECT, Design, Page, make_design, small_design
from tests.simulate.recorded import recorded, scenario

HOSTILE = "<xss a=\"1\" onload='x()'>&amp;</style></script>"


@pytest.fixture(scope="module")
def design() -> Design:
    return small_design()


@pytest.fixture(scope="module")
def page(design: Design) -> Page:
    return Page(design.text())


def test_parts_stand_in_their_order(page: Page) -> None:
    assert [attrs["id"] for attrs in page.all("section")] == [
        "job",
        "plan",
        "block",
        "drawing",
        "run-1",
        "run-2",
        "parts",
        "findings",
        "caution",
        "provenance",
    ]


def test_every_link_leads_to_a_place_in_the_page(page: Page) -> None:
    ids = [attrs["id"] for _, attrs in page.tags if "id" in attrs]
    assert len(ids) == len(set(ids))
    assert {attrs["href"] for attrs in page.all("a")} <= {f"#{name}" for name in ids}
    labels = [a["aria-labelledby"] for _, a in page.tags if "aria-labelledby" in a]
    assert set(labels) <= set(ids)


def assert_closed(text: str, page: Page) -> None:
    """Nothing in the page asks for anything outside of it."""
    assert not {"link", "img", "iframe", "object", "embed", "base", "image"} & {
        tag for tag, _ in page.tags
    }
    for _, attrs in page.tags:
        assert not {"src", "srcset", "xlink:href", "action", "formaction", "poster"} & set(attrs)
        assert not [name for name in attrs if name.startswith("on")]
    assert all(part.startswith("#") for part in re.findall(r"url\((.*?)\)", text))
    assert "@import" not in text
    addresses = set(re.findall(r"https?://[^\"' <]*", text))
    assert addresses <= {"http://www.w3.org/2000/svg"}


def test_the_page_needs_nothing_from_outside(design: Design, page: Page) -> None:
    assert_closed(design.text(), page)
    policy = [a["content"] for a in page.all("meta") if a.get("http-equiv")]
    assert len(policy) == 1
    assert str(policy[0]).startswith("default-src 'none'")
    assert len(page.all("script")) == 1


def test_equal_inputs_give_equal_bytes(design: Design, tmp_path: Path) -> None:
    again = make_design(deepcopy(PROJECT))
    other = replace(again, runs=tuple(replace(run, wall=12.5) for run in again.runs))
    written = write_report(
        tmp_path / "report.html",
        other.project,
        other.plan,
        other.block,
        other.layout,
        other.runs,
        other.findings,
    )
    assert written == tmp_path / "report.html"
    assert written.read_bytes() == design.text().encode("utf-8")


def test_no_reader_meets_a_value_that_is_none(page: Page) -> None:
    assert not re.search(r"\b(None|nan|NaN|inf|Fraction|undefined)\b", page.text)


def test_the_verdict_has_the_numbers_of_the_run(design: Design, page: Page) -> None:
    rate = read_run(design.runs[0]).rate
    assert 0 < rate < 2
    state = "target met" if rate >= 1 else "target met to within 1 %"
    if rate < Fraction(99, 100):
        state = "target missed"
    assert state in page.text
    assert " of 1 units/s" in page.text


def test_what_was_found_is_told_with_its_remedy(page: Page) -> None:
    text = page.text
    assert text.index("warning LW504") < text.index("note LW505")
    for words in ("a.yaml:3:1", "scenarios.outage", "look where stations starve", "0.8/s"):
        assert words in text


def test_the_outage_is_told_once_for_all_docks(page: Page) -> None:
    assert "stopped from 40 to 60\u00a0s." in page.text


def test_the_account_is_told_with_its_numbers(design: Design, page: Page) -> None:
    entry = read_run(design.runs[0]).balance[0]
    title = design.project.materials[entry.material].title
    assert f"{title} {entry.came} = {entry.used + entry.taken} + {entry.held}" in page.text


def test_the_header_says_how_to_make_it_again(design: Design, page: Page) -> None:
    (head,) = [a["content"] for a in page.all("meta") if a.get("name") == "loopwright"]
    assert '"kind": "report"' in str(head)
    assert '"software": "loopwright"' in str(head)
    assert "sha256:" in str(head)
    assert "outage" in str(head)


def test_a_design_without_runs_says_so(design: Design) -> None:
    page = Page(replace(design, runs=(), findings=()).text())
    assert "not simulated" in page.text
    assert "Nothing was found" in page.text
    assert not [attrs for attrs in page.all("section") if str(attrs["id"]).startswith("run")]


def test_a_run_that_ended_in_its_warm_up_says_so(design: Design) -> None:
    run, _ = recorded(design.layout, scenario(10, 10))
    page = Page(replace(design, runs=(run,)).text())
    assert "The run ended before its warm-up did" in page.text


def test_a_warm_up_that_was_found_says_how(design: Design) -> None:
    run = design.runs[0]
    for refused, words in ((False, "found by MSER-5"), (True, "no steady state was found")):
        told = replace(run, truncation=Truncation(5, 20, refused))
        assert words in Page(replace(design, runs=(told,)).text()).text


def test_hostile_names_are_only_words() -> None:
    data = deepcopy(PROJECT)
    data["project"] |= {"name": HOSTILE, "about": HOSTILE}
    for section in ("materials", "processes"):
        for entry in data[section].values():
            entry["title"] = HOSTILE[:40]
    for kind in ("stations", "belts", "pickers"):
        for entry in data["equipment"][kind].values():
            entry["title"] = HOSTILE[:40]
    made = make_design(data, ("steady",))
    run = made.runs[0]
    named = replace(run, scenario=replace(run.scenario, name=HOSTILE))
    place = Place(file=HOSTILE, line=1, path=HOSTILE, device=HOSTILE)
    found = new_finding("LW504", HOSTILE, place, value=HOSTILE, allowed=HOSTILE, remedy=HOSTILE)
    text = replace(made, runs=(named,), findings=(found,)).text()
    page = Page(text)
    assert_closed(text, page)
    assert "xss" not in {tag for tag, _ in page.tags}
    assert len(page.all("script")) == 1
    assert HOSTILE in page.text


def test_a_layout_made_by_hand_is_reported_too(design: Design) -> None:
    """Devices, recipes and materials that the project does not know, with hostile names."""
    plant = one_of_each()
    materials = tuple(replace(m, title=f"{HOSTILE}{m.name}") for m in plant.materials)
    layout = replace(plant, title=HOSTILE, materials=materials)
    run, _ = recorded(layout, scenario(60, 20))
    text = replace(design, layout=layout, runs=(run,)).text()
    page = Page(text)
    assert_closed(text, page)
    assert "xss" not in {tag for tag, _ in page.tags}
    assert not re.search(r"\b(None|nan)\b", page.text)


@pytest.mark.parametrize("architecture", ["plain", "loop", "pass"])
def test_every_architecture_can_be_reported(architecture: str) -> None:
    data = deepcopy(PROJECT)
    data["choices"] = {"architecture": architecture}
    page = Page(make_design(data, ("steady",)).text())
    assert f"{architecture}, " in page.text
    assert "units in = out + held for every material" in page.text


def test_a_large_block_makes_a_page_that_loads() -> None:
    """640 stations: below 6 million bytes."""
    project = check_block(site={"width": 1000, "height": 1000})
    plan = solve_plan(project)
    block = size_block(plan, project)
    assert block.counts.stations >= 640
    text = report_text(project, plan, block, place_layout(block, project), ())
    assert len(text.encode("utf-8")) < 6_000_000
    Page(text)
