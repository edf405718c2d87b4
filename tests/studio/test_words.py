"""What the pages say in words of their own is what the rooms say."""

from __future__ import annotations

import json
import re
from typing import get_args

from loopwright.model.choice import Choices
from loopwright.report.caution import POINTS
from loopwright.studio.options import Gate
from loopwright.studio.typescript import TARGET

PAGES = TARGET.parent


def test_gates_to_try_are_those_of_the_model() -> None:
    text = (PAGES / "parts" / "GateChoice.tsx").read_text("utf-8")
    found = re.search(r"GATES = (\[.*?\])", text)
    assert found is not None
    rules = get_args(Choices.model_fields["gate"].annotation)
    assert ["auto", *json.loads(found[1])] == ["auto", *get_args(Gate)] == list(rules)


def test_the_caution_is_that_of_the_report() -> None:
    text = (PAGES / "report" / "caution.ts").read_text("utf-8")
    assert tuple(re.findall(r'^  "(.*)",$', text, re.MULTILINE)) == POINTS
