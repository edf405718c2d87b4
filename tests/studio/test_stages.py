"""Plan and blocks as pages ask for them."""

from __future__ import annotations

import time
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from loopwright.model.example import example_path
from loopwright.studio.design import Designs
from loopwright.studio.folder import Folder
from loopwright.studio.message import AskPlan


def _plan(client: TestClient, text: str, **asked: Any) -> dict[str, Any]:
    answer = client.post("/api/plan", json={"file": "kits.yaml", "text": text} | asked)
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def test_a_plan_comes_with_its_picture_and_sentences(client: TestClient, demo: str) -> None:
    said = _plan(client, demo)
    stations = {one["process"]: one["whole"] for one in said["plan"]["processes"]}
    assert stations["pack-kit"] == 216
    assert said["flow"].startswith("<svg")
    assert "var(--lw-" in said["flow"]
    assert said["explain"]
    assert said["titles"]["candle"] == "Ceramic candle"
    assert said["demand"] == {"kit": "648/min"}


def test_a_plan_without_its_drawing_is_the_same_plan(client: TestClient, demo: str) -> None:
    drawn, bare = _plan(client, demo), _plan(client, demo, draw=False)
    assert bare["flow"] is None
    assert bare["plan"] == drawn["plan"]
    assert bare["explain"] == drawn["explain"]


def test_another_demand_gives_another_plan(client: TestClient, demo: str) -> None:
    one, two = _plan(client, demo), _plan(client, demo, demand={"kit": "324/min"})
    halves = [Fraction(plan["plan"]["processes"][0]["stations"]) for plan in (one, two)]
    assert halves[0] == 2 * halves[1]
    assert two["demand"] == {"kit": "324/min"}


def test_other_weights_give_another_cost(client: TestClient, demo: str) -> None:
    one, two = _plan(client, demo), _plan(client, demo, weights={"effort": "2", "imports": "0"})
    assert one["weights"]["effort"] == "1"
    assert two["weights"]["effort"] == "2"
    assert one["plan"]["cost"] != two["plan"]["cost"]


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"demand": {"kit": "5 apples"}}, "demand of kit"),
        ({"demand": {"kit": "-1/s"}}, "more than 0"),
        ({"demand": {"soap": "1/s"}}, "'soap' is not demanded"),
        ({"weights": {"effort": "-1"}}, "weight of effort"),
        ({"weights": {"beauty": "1"}}, "no weight 'beauty'"),
    ],
)
def test_what_cannot_be_asked_is_refused(
    client: TestClient, demo: str, asked: dict[str, Any], said: str
) -> None:
    answer = client.post("/api/plan", json={"file": "kits.yaml", "text": demo} | asked)
    assert answer.status_code == 422
    assert said in answer.json()["error"]


def test_a_conflict_is_told_with_its_place(client: TestClient, demo: str) -> None:
    said = _plan(client, example_path("relief-plant.yaml").read_text("utf-8"),
                 demand={"kit-pallet": "600/min"})  # fmt: skip
    assert said["plan"] is None
    asked = {"kit-pallet": "600/min", "refill": "120/min", "tablet-carton": "30/min"}
    assert said["demand"] == asked
    assert {"LW201", "LW202"} <= {one["code"] for one in said["findings"]}
    assert all(one["line"] for one in said["findings"])


@pytest.mark.parametrize("name", ["filter-kits.yaml", "relief-plant.yaml"])
def test_a_slider_is_followed(folder: Path, name: str) -> None:
    """With another demand, a plan takes less than 200 ms of processor time once it is warm."""
    text = example_path(name).read_text("utf-8")
    designs = Designs(Folder(folder))
    product, rate = next(iter(designs.planned(AskPlan(file=name, text=text)).demand.items()))
    spent = []
    for step in range(1, 6):
        lower = Fraction(rate.removesuffix("/min")) * (100 - step) / 100
        begun = time.thread_time()
        asked = AskPlan(file=name, text=text, demand={product: f"{lower}/min"})
        assert designs.planned(asked).plan is not None
        spent.append(time.thread_time() - begun)
    assert min(spent) < 0.200


def _blocks(client: TestClient, text: str) -> dict[str, Any]:
    answer = client.post("/api/blocks", json={"file": "kits.yaml", "text": text})
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def test_every_row_design_is_offered_beside_the_chosen(client: TestClient, demo: str) -> None:
    said = _blocks(client, demo)
    keys = [one["key"] for one in said["designs"]]
    assert keys[0] == said["chosen"] == "loop-double-36"
    assert len(set(keys)) == len(keys) > 40
    assert {key.rsplit("-", 1)[0] for key in keys} == {
        f"{architecture}-{sides}"
        for architecture in ("loop", "pass", "plain")
        for sides in ("double", "single")
    }
    for one in said["designs"]:
        block, design = one["block"], one["block"]["design"]
        made = design["lanes"] * design["row"] + design["make_up"] * design["make_up_row"]
        assert block["counts"]["stations"] == made >= 216
        assert one["picture"].startswith("<svg")
    assert said["refused"] == []


def test_a_design_can_be_chosen(client: TestClient, demo: str) -> None:
    other = next(one for one in _blocks(client, demo)["designs"] if one["key"] == "plain-single-24")
    body = {"file": "kits.yaml", "text": demo, "choices": other["choices"]}
    text = client.post("/api/choose", json=body).json()["text"]
    after = _blocks(client, text)
    assert after["chosen"] == "plain-single-24"
    assert after["designs"] == _blocks(client, demo)["designs"]


def test_what_cannot_be_built_is_told_with_its_place_and_others_are_offered(
    client: TestClient, demo: str
) -> None:
    said = _blocks(client, demo.replace("row: 36 ", "row: 999 "))
    assert said["chosen"] is None
    assert said["findings"][0]["line"] == 64
    assert len(said["designs"]) > 40


def test_an_architecture_that_is_not_possible_says_why(client: TestClient, demo: str) -> None:
    text = demo.replace("inputs: {candle: 2, seal: 3, tap: 1}", "inputs: {candle: 2}")
    said = _blocks(client, text)
    assert {one["key"].split("-")[0] for one in said["designs"]} == {"plain"}
    assert any("two materials or more" in one["message"] for one in said["refused"])
