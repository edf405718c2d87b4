"""`loopwright schema`."""

from __future__ import annotations

import pytest
from jsonschema.validators import validator_for

from tests.cli.typed import type_in


def test_it_prints_one_valid_schema() -> None:
    typed = type_in("schema")
    assert typed.code == 0
    schema = typed.document
    validator_for(schema).check_schema(schema)
    assert {"project", "materials", "processes", "equipment", "demand"} <= set(schema["properties"])


@pytest.mark.parametrize("word", ["extra", "--wrong"])
def test_wrong_use_ends_with_2(word: str) -> None:
    assert type_in("schema", word).code == 2
