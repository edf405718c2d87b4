"""The starter project and the examples are without findings."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.model import check_project, check_text, starter_text

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_the_starter_asks_for_8_stations() -> None:
    project, findings = check_text(starter_text("Kits"))
    assert findings == ()
    assert project is not None
    pack = project.processes["pack"]
    assert project.demand["kit"] * pack.cycle / pack.batch_yield == Fraction(8)


def test_the_docks_are_wide_enough() -> None:
    project, _ = check_text(starter_text("Kits"))
    assert project is not None
    inputs = project.processes["pack"].inputs
    for dock in project.site.docks:
        assert dock.rate >= inputs[dock.material] * project.demand["kit"]


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.yaml")), ids=lambda path: path.name)
def test_examples_are_without_findings(path: Path) -> None:
    project, findings = check_project(path)
    assert findings == ()
    assert project is not None


def test_the_example_is_the_starter() -> None:
    assert (EXAMPLES / "starter.yaml").read_text("utf-8") == starter_text("starter")


@given(st.text(min_size=1, max_size=80))
def test_any_name_is_kept_or_refused(name: str) -> None:
    if not name.isprintable():
        with pytest.raises(ValueError, match="printing"):
            starter_text(name)
        return
    project, findings = check_text(starter_text(name))
    assert findings == ()
    assert project is not None
    assert project.project.name == name


@pytest.mark.parametrize("name", ["", "x" * 81, "a\nb"])
def test_names_that_are_none_are_refused(name: str) -> None:
    with pytest.raises(ValueError, match="printing"):
        starter_text(name)
