"""Fixtures of all tests."""

from __future__ import annotations

import pytest

from tests.engines import ENGINES, Engine


@pytest.fixture(scope="session", params=ENGINES, ids=lambda engine: engine.name)
def engine(request: pytest.FixtureRequest) -> Engine:
    """Each engine in turn."""
    found: Engine = request.param
    return found
