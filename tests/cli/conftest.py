"""Projects for the tests of the commands."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.typed import type_in


@pytest.fixture
def starter(tmp_path: Path) -> Path:
    """The file that `loopwright new` writes."""
    assert type_in("new", tmp_path / "bakery").code == 0
    return tmp_path / "bakery.yaml"


@pytest.fixture
def misspelt(starter: Path) -> Path:
    """The starter with one section misspelt."""
    text = starter.read_text("utf-8")
    assert "\ndemand:" in text
    path = starter.with_name("misspelt.yaml")
    path.write_text(text.replace("\ndemand:", "\ndemmand:"), "utf-8")
    return path
