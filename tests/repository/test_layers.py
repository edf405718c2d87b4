"""The layers that ARCHITECTURE.md shows are those that .importlinter holds."""

from __future__ import annotations

import re
from configparser import ConfigParser

from tests.repository.repository import PACKAGE, ROOT


def _shown() -> list[str]:
    text = (ROOT / "ARCHITECTURE.md").read_text(encoding="utf-8")
    block = re.search(r"```layers\n(.*?)```", text, re.DOTALL)
    assert block is not None
    return block.group(1).split("\n")[:-1]


def _held() -> list[str]:
    parser = ConfigParser()
    parser.read(ROOT / ".importlinter", encoding="utf-8")
    lines = parser["importlinter:contract:story"]["layers"].split("\n")
    return [line.strip() for line in lines if line.strip() and not line.strip().startswith("#")]


def _rooms(layers: list[str]) -> list[str]:
    return [room.strip() for layer in layers for room in layer.split("|")]


def test_architecture_shows_the_layers_of_the_contract() -> None:
    assert _shown() == _held()


def test_every_room_has_its_layer() -> None:
    built = {path.parent.name for path in PACKAGE.glob("*/__init__.py")}
    assert set(_rooms(_held())) == built


def test_architecture_says_what_each_room_holds() -> None:
    text = (ROOT / "ARCHITECTURE.md").read_text(encoding="utf-8")
    for room in _rooms(_held()):
        assert re.search(rf"^\| `{room}` \|", text, re.MULTILINE), room
