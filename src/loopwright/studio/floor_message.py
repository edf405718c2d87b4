"""What pages and server say to each other about the floor and a live run on it.

Lengths in cells, from the west and the north edge of the site; times in seconds of the plant.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from loopwright.studio.message import Finding, Message

Name = Annotated[str, Field(max_length=200)]
Box = tuple[int, int, int, int]

# ----------------------------------------------------------------------------------------- floor


class AskFloor(Message):
    """The layout of a text; an edited one beside the file goes before the placed one."""

    file: str
    text: str


class Move(Message):
    """A device or a row to be put elsewhere: its north-west cell."""

    name: Name
    x: int = Field(ge=-100_000, le=100_000)
    y: int = Field(ge=-100_000, le=100_000)


class Rule(Message):
    """A gate, merge or divert that is to follow another rule."""

    name: Name
    rule: Name


class EditFloor(Message):
    """Changes of the layout; it is kept when nothing is wrong with it."""

    file: str
    text: str
    moves: tuple[Move, ...] = Field(default=(), max_length=2000)
    rules: tuple[Rule, ...] = Field(default=(), max_length=2000)


class FloorMaterial(Message):
    """What travels; `colour` 1 to 8 and the path of its hatch on a tile of 4 x 4; `over` is the
    colour role of the hatch."""

    name: str
    letter: str
    title: str
    stack: int
    colour: int
    hatch: str
    over: str


class FloorBelt(Message):
    """A belt; `path` holds x, y and level of each corner from tail to head, one after the other.
    `speed` [cells/s]."""

    name: str
    role: str
    speed: float
    cells: int
    path: tuple[int, ...]
    carries: tuple[str, ...]


class FloorStation(Message):
    """A station; `box` is x, y, width, height."""

    name: str
    row: str
    box: Box
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
    several; `detail` in a few words; `belts` that it joins; `material` of a dock."""

    name: str
    box: Box
    rule: str | None = None
    rules: tuple[str, ...] = ()
    detail: str = ""
    belts: tuple[str, ...] = ()
    material: str | None = None


class FloorRow(Message):
    """A row of stations and the box round them."""

    name: str
    box: Box


class Look(Message):
    """How marks of an ink look: colour roles, `hatch1` or nothing; `width` and `halo` [cells], or
    of a hair line [px]."""

    stroke: str
    fill: str
    width: float
    dash: tuple[float, ...]
    hair: bool
    bold: bool
    halo: float


class FloorMarks(Message):
    """Lines and areas of a layer of the drawing in one ink, a row of x, y for each; `dot` [cells]
    is the radius of a dot at the end of each line."""

    layer: str
    ink: str
    closed: bool
    dot: float
    points: tuple[tuple[float, ...], ...]


class FloorWords(Message):
    """Words of a layer in one ink: x, y and height of each one after the other."""

    layer: str
    ink: str
    anchor: str
    angle: int
    places: tuple[float, ...]
    words: tuple[str, ...]


class Floor(Message):
    """A layout for the page. Belts, stations and pickers stand in the order of frames. `edited`
    says that it comes from the layout beside the file; `cell` [m]. `marks` and `words` are the
    printed drawing, from the floor up, with empty belts."""

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
    applicators: tuple[FloorDevice, ...]
    obstacles: tuple[Box, ...]
    nodes: tuple[FloorDevice, ...]
    rows: tuple[FloorRow, ...]
    scenarios: tuple[str, ...]
    target: float
    product: str
    looks: dict[str, Look]
    marks: tuple[FloorMarks, ...]
    words: tuple[FloorWords, ...]


class FloorAnswer(Message):
    """The floor; null where there is none, and the findings say why. `kept` says that an edit was
    written to the layout beside the file."""

    floor: Floor | None
    findings: tuple[Finding, ...]
    kept: bool = False


# -------------------------------------------------------------------------------------- live run


class Open(Message):
    """Begin a run of a scenario; null: the first of the file, and its own seed. Or one that a job
    speaks of, on the text of that job: `play` is "JOB:ITEM", the loop or the number of the case.
    `turn` comes back in the answer: of runs asked for one after the other only the last counts."""

    type: Literal["open"]
    file: str
    text: str = Field(max_length=2_000_000)
    scenario: str | None = None
    seed: int | None = Field(default=None, ge=0, le=2**32 - 1)
    play: str | None = Field(default=None, max_length=200)
    turn: int = Field(default=0, ge=0, le=2**32 - 1)


class Play(Message):
    """Let it run at `speed` seconds of the plant a second, or as fast as it goes."""

    type: Literal["play"]
    speed: Annotated[float, Field(gt=0, le=100_000)] | Literal["max"]


class Pause(Message):
    """Let it stand."""

    type: Literal["pause"]


class StepOn(Message):
    """Go on by so many ticks and stand."""

    type: Literal["step"]
    ticks: int = Field(ge=1, le=100_000)


class Seek(Message):
    """Go to a time [s], back too."""

    type: Literal["seek"]
    time: float = Field(ge=0, le=1e7)


class Supply(Message):
    """Stop or start the supply of docks; the name of a material stands for all its docks."""

    type: Literal["supply"]
    names: tuple[Name, ...] = Field(max_length=5000)
    on: bool


class SetRule(Message):
    """Let gates, merges or diverts follow another rule from now on."""

    type: Literal["rule"]
    names: tuple[Name, ...] = Field(max_length=5000)
    rule: Name


class Ask(Message):
    """What does this device do? Answered now and while it is asked for; null: no longer."""

    type: Literal["ask"]
    device: Name | None


class Ack(Message):
    """The frame is drawn."""

    type: Literal["ack"]
    frame: int


class Opened(Message):
    """The run stands at its start; `tick` and `span` of the scenario [s], `most` [s] that it can
    go on to."""

    type: Literal["opened"] = "opened"
    tick: float
    span: float
    most: float
    digest: str
    scenario: str
    seed: int
    turn: int


class Stock(Message):
    """Carriers and units of a material on all belts, and stations that starve for it."""

    material: str
    carriers: int
    units: int
    starved: int


class Jam(Message):
    """What stands for good since when [s], and why; `belts` are those round it."""

    since: float
    sentence: str
    because: tuple[str, ...]
    rows: tuple[str, ...]
    belts: tuple[str, ...]


class Status(Message):
    """Where the run is. `rate` of the last minute and `target` [units/s]; `speed` that is reached
    [s/s]; `reach` is the latest time it was at [s]; `off` are docks whose supply is stopped,
    `rules` what gates, merges and diverts follow that were changed."""

    type: Literal["status"] = "status"
    time: float
    reach: float
    playing: bool
    speed: float
    rate: float
    target: float
    made: int
    busy: int
    starved: int
    blocked: int
    down: int
    stock: tuple[Stock, ...]
    off: tuple[str, ...]
    rules: dict[str, str]
    jam: Jam | None


class RunEvent(Message):
    """Something to be marked on the time line; `end` [s] is null where it goes on."""

    kind: Literal["outage", "change", "jam"]
    time: float
    end: float | None
    words: str


class History(Message):
    """The whole run so far: `rate` [units/s] in the minute that ends at each of `times` [s], or
    since the time before, and how many stations were starved and blocked then."""

    type: Literal["history"] = "history"
    times: tuple[float, ...]
    rate: tuple[float, ...]
    starved: tuple[int, ...]
    blocked: tuple[int, ...]
    events: tuple[RunEvent, ...]


class Fact(Message):
    """A word about a device, and what it is."""

    name: str
    value: str


class ChartLine(Message):
    """A series of a chart, about a material where one is named."""

    name: str
    material: str
    values: tuple[float, ...]


class Chart(Message):
    """What was counted in the stretches that end at `times` [s]; shares add up to 1."""

    unit: str
    times: tuple[float, ...]
    lines: tuple[ChartLine, ...]


class Device(Message):
    """What a device does now and did until now. `mix`: the share of each material on each cell of
    a belt in the last minutes, tail first."""

    type: Literal["device"] = "device"
    name: str
    kind: str
    facts: tuple[Fact, ...]
    chart: Chart | None
    mix: tuple[tuple[float, ...], ...]


class Ended(Message):
    """The run goes no further, and why."""

    type: Literal["ended"] = "ended"
    why: str


class RunError(Message):
    """An order could not be carried out."""

    type: Literal["error"] = "error"
    error: str
    findings: tuple[Finding, ...] = ()


ORDERS = (Open, Play, Pause, StepOn, Seek, Supply, SetRule, Ask, Ack)
"""What a page may say in a live run."""

ANSWERS = (Opened, Status, History, Device, Ended, RunError)
"""What the server says in a live run, beside frames."""
