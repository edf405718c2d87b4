"""Fixtures of all tests."""

from __future__ import annotations

import pytest
from hypothesis import settings

from tests.engines import ENGINES, Engine

# No clock and no chance without a seed: the same cases each time, however busy the machine is.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")


def pytest_addoption(parser: pytest.Parser) -> None:
    """With --update, golden texts are written anew instead of compared; read them afterwards."""
    parser.addoption("--update", action="store_true", help="write golden texts anew")


@pytest.fixture(scope="session", params=ENGINES, ids=lambda engine: engine.name)
def engine(request: pytest.FixtureRequest) -> Engine:
    """Each engine in turn."""
    found: Engine = request.param
    return found
