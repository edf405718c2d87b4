"""The JSON Schema agrees with what the program reads."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

from loopwright.model import check_text, project_schema, read_project, starter_text

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))
VALIDATOR = Draft202012Validator(project_schema())
WRONG = [
    ("cycle: 8 s", "cycle: 8"),
    ("cycle: 8 s", "cycle: 8 kg"),
    ("cycle: 8 s", "cycle: fast"),
    ("cycle: 8 s", "cycle:"),
    ("kit: 60/min", "kit: 1e1/min"),
    ("width: 80", "width: 8"),
    ("width: 80", "width: wide"),
    ("letter: C ", "letter: CAN "),
    ("stack: 4", "stack: 9"),
    ("stack: 4", "stak: 4"),
    ("format: 1 ", "format: 2 "),
    ("architecture: auto", "architecture: ring"),
    ("row: auto", "row: 0"),
    ("{candle: 2,", "{candle: 0,"),
    ("  tap:\n", "  2 taps:\n"),
    ("    station: packer ", "    statoin: packer "),
]


def as_editors_read_it(text: str) -> Any:
    return YAML(typ="safe", pure=True).load(text)


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(project_schema())


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name)
def test_examples_fit(path: Path) -> None:
    VALIDATOR.validate(as_editors_read_it(path.read_text("utf-8")))
    VALIDATOR.validate(read_project(path).document())


@pytest.mark.parametrize(("right", "wrong"), WRONG)
def test_what_the_program_refuses_does_not_fit(right: str, wrong: str) -> None:
    text = starter_text("Kits")
    assert right in text
    text = text.replace(right, wrong, 1)
    assert check_text(text)[0] is None
    assert not VALIDATOR.is_valid(as_editors_read_it(text))


def test_every_field_says_what_it_means() -> None:
    schema = project_schema()
    for part in [schema, *schema["$defs"].values()]:
        assert part["additionalProperties"] is False
        for name, field in part["properties"].items():
            assert field.get("description"), name
