"""What pages and server say to each other about the floor and a live run on it.

Lengths in cells, from the west and the north edge of the site; times in seconds of the plant.
"""

from __future__ import annotations

from typing import Literal

from loopwright.studio.message import Finding, Message

# ----------------------------------------------------------------------------------------- floor


class AskFloor(Message):
    """The layout of a text; an edited one beside the file goes before the placed one."""

    file: str
    text: str


class Move(Message):
    """A device or a row to be put elsewhere: its north-west cell."""

    name: str
    x: int
    y: int


class Rule(Message):
    """A gate, merge or divert that is to follow another rule."""

    name: str
    rule: str


class EditFloor(Message):
    """Changes of the layout; it is kept when nothing is wrong with it."""

    file: str
    text: str
    moves: tuple[Move, ...] = ()
    rules: tuple[Rule, ...] = ()


class FloorMaterial(Message):
    """What travels; `colour` 1 to 8 and `hatch` (name) as in drawings."""

    name: str
    letter: str
    title: str
    stack: int
    colour: int
    hatch: str


class FloorBelt(Message):
    """A belt; `path` holds x, y and level of each corner from tail to head, one after the other.
    `speed` [cells/s]."""

    name: str
    role: str
    speed: float
    cells: int
    path: tuple[int, ...]


class FloorStation(Message):
    """A station; `box` is x, y, width, height."""

    name: str
    row: str
    box: tuple[int, int, int, int]
    recipe: str


class FloorPicker(Message):
    """A picker; `facing` is where it puts."""

    name: str
    x: int
    y: int
    facing: Literal["north", "east", "south", "west"]
    source: str
    target: str


class FloorDevice(Message):
    """Whatever else stands: `box` as for stations; `rule` and `rules` where it follows one of
    several; `detail` in a few words."""

    name: str
    box: tuple[int, int, int, int]
    rule: str | None = None
    rules: tuple[str, ...] = ()
    detail: str = ""


class FloorLink(Message):
    """A cable between two power nodes."""

    a: str
    b: str


class FloorRow(Message):
    """A row of stations and the box round them."""

    name: str
    box: tuple[int, int, int, int]


class Floor(Message):
    """A layout for the page. Belts, stations and pickers stand in the order of frames. `edited`
    says that it comes from the layout beside the file; `cell` [m]."""

    title: str
    width: int
    height: int
    cell: float
    digest: str
    edited: bool
    materials: tuple[FloorMaterial, ...]
    belts: tuple[FloorBelt, ...]
    stations: tuple[FloorStation, ...]
    pickers: tuple[FloorPicker, ...]
    gates: tuple[FloorDevice, ...]
    merges: tuple[FloorDevice, ...]
    side_merges: tuple[FloorDevice, ...]
    diverts: tuple[FloorDevice, ...]
    sources: tuple[FloorDevice, ...]
    drains: tuple[FloorDevice, ...]
    stores: tuple[FloorDevice, ...]
    obstacles: tuple[tuple[int, int, int, int], ...]
    nodes: tuple[FloorDevice, ...]
    links: tuple[FloorLink, ...]
    rows: tuple[FloorRow, ...]
    scenarios: tuple[str, ...]
    findings: tuple[Finding, ...]


class FloorAnswer(Message):
    """The floor; null where there is none, and the findings say why."""

    floor: Floor | None
    findings: tuple[Finding, ...]


# -------------------------------------------------------------------------------------- live run


class Open(Message):
    """Begin a run of a scenario; null: the first of the file, and its own seed."""

    type: Literal["open"]
    file: str
    text: str
    scenario: str | None = None
    seed: int | None = None


class Play(Message):
    """Let it run at `speed` seconds of the plant a second, or as fast as it goes."""

    type: Literal["play"]
    speed: float | Literal["max"]


class Pause(Message):
    """Let it stand."""

    type: Literal["pause"]


class StepOn(Message):
    """Go on by so many ticks and stand."""

    type: Literal["step"]
    ticks: int


class Seek(Message):
    """Go to a time [s], back too."""

    type: Literal["seek"]
    time: float


class Supply(Message):
    """Stop or start the supply of a dock or of a material."""

    type: Literal["supply"]
    name: str
    on: bool


class SetRule(Message):
    """Let a gate, merge or divert follow another rule from now on."""

    type: Literal["rule"]
    name: str
    rule: str


class Ask(Message):
    """What does this device do? Answered now and while it is asked for; null: no longer."""

    type: Literal["ask"]
    device: str | None


class Ack(Message):
    """The frame is drawn."""

    type: Literal["ack"]
    frame: int


class Close(Message):
    """End the run."""

    type: Literal["close"]


class Opened(Message):
    """The run stands at its start; `tick` and `span` [s]."""

    type: Literal["opened"] = "opened"
    tick: float
    span: float
    belts: int
    stations: int
    pickers: int
    scenario: str
    seed: int


class Stock(Message):
    """Units of a material on all belts of loops and lanes."""

    material: str
    units: int


class Status(Message):
    """Where the run is. `rate` of the last minute and `target` [units/s]; `speed` that is reached
    [s/s]; `cause` says in a sentence what most stations wait for."""

    type: Literal["status"] = "status"
    time: float
    playing: bool
    speed: float
    rate: float | None
    target: float
    made: int
    busy: int
    starved: int
    blocked: int
    down: int
    stock: tuple[Stock, ...]
    off: tuple[str, ...]
    jam: str | None
    cause: str | None


class Reading(Message):
    """One line about a device: what, how much, and the unit."""

    name: str
    value: str
    unit: str


class Past(Message):
    """What a device did: a state or a figure and since when [s]."""

    time: float
    value: str


class Device(Message):
    """What a device does now and did lately."""

    type: Literal["device"] = "device"
    name: str
    kind: str
    readings: tuple[Reading, ...]
    history: tuple[Past, ...]


class Ended(Message):
    """The run is over, and why."""

    type: Literal["ended"] = "ended"
    why: str


class RunError(Message):
    """An order could not be carried out."""

    type: Literal["error"] = "error"
    error: str
    findings: tuple[Finding, ...] = ()


ORDERS = (Open, Play, Pause, StepOn, Seek, Supply, SetRule, Ask, Ack, Close)
"""What a page may say in a live run."""

ANSWERS = (Opened, Status, Device, Ended, RunError)
"""What the server says in a live run, beside frames."""
