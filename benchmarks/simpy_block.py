"""The block of `mixed_block.py` in SimPy, a general library, twice: as somebody would write it who
knows the library well.

`SteppedBlock`: one process steps all belts, each a list of cells, and serves the arms that wait at
them; every station and every arm is a process. `CarrierBlock`: every carrier is a process and
every cell a resource; it has the way forward only, so it is the block without returns. Time is in
ticks, as in the engine. Both begin in a state of the engine, in which arms are idle; cycles that
run in it begin anew.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from fractions import Fraction
from functools import partial
from typing import Any

from simpy import Container, Environment, Event, Resource

from benchmarks.mixed_block import HAND, LOAD, MATERIALS, OUTLET, ROW, Case
from loopwright.simulate.clock import common_tick
from loopwright.simulate.state import State

Carrier = list[Any]
"""Material and units."""

Process = Generator[Event, Any, None]


class Station:
    """Packs kits; `room` counts what is under way as taken, `opened` tells of new room."""

    def __init__(self, env: Environment, name: str, case: Case, cycle: int, start: State) -> None:
        self.env, self.cycle = env, cycle
        self.need = dict(zip(MATERIALS, case.need, strict=True))
        self.held = dict(start.stations[name].inputs)
        self.room = {material: 2 * need - self.held[material] for material, need in self.items()}
        self.kits = Container(env, capacity=OUTLET)
        self.came = env.event()
        self.opened: Callable[[], None] = lambda: None
        self.ended = 0
        env.process(self.run())

    def items(self) -> list[tuple[str, int]]:
        """What a cycle needs."""
        return list(self.need.items())

    def arrive(self, material: str, units: int) -> None:
        """An arm puts in what it has taken."""
        self.held[material] += units
        if not self.came.triggered:
            self.came.succeed()

    def run(self) -> Process:
        """Cycle after cycle."""
        needs = self.items()
        while True:
            while any(self.held[material] < need for material, need in needs):
                self.came = self.env.event()
                yield self.came
            for material, need in needs:
                self.held[material] -= need
                self.room[material] += need
            self.opened()
            yield self.env.timeout(self.cycle)
            self.ended += 1
            yield self.kits.put(1)


class Arm:
    """Feeds a station from the cell `place` of a lane; `found` is what it waits for."""

    def __init__(self, env: Environment, station: Station, place: int, swing: int) -> None:
        self.env, self.station, self.place, self.swing = env, station, place, swing
        self.found: Event = env.event()
        self.picks = 0

    def wants(self, carrier: Carrier) -> bool:
        """Whether the station has room for a unit of `carrier`."""
        return self.station.room[carrier[0]] > 0

    def take(self, carrier: Carrier) -> None:
        """Take a unit of `carrier` and swing."""
        carrier[1] -= HAND
        self.station.room[carrier[0]] -= HAND
        self.picks += 1
        self.found.succeed(carrier[0])


class Block:
    """What both models have in common: stations, arms, counts."""

    def __init__(self, case: Case, rows: int, start: State) -> None:
        self.env = Environment(initial_time=1)  # the first tick that is carried out
        spans = (1 / case.speed, case.swing, case.cycle)
        self.tick: Fraction = common_tick(spans)
        self.step, self.swing, self.cycle = (int(span / self.tick) for span in spans)
        self.case, self.rows, self.start = case, rows, start
        self.stations: list[Station] = []
        self.arms: list[Arm] = []
        self.drops = 0

    def place(self, number: int) -> int:
        """The cell of station `number` of a row."""
        return 4 * self.case.stretch * number + 1

    def station(self, row: int, number: int) -> Arm:
        """A station and the arm that feeds it."""
        name = f"station {row}-{number}"
        station = Station(self.env, name, self.case, self.cycle, self.start)
        arm = Arm(self.env, station, self.place(number), self.swing)
        self.stations.append(station)
        self.arms.append(arm)
        return arm

    def run(self, seconds: Fraction) -> None:
        """Go on for `seconds` of plant time."""
        self.env.run(until=self.env.now + int(seconds / self.tick))

    @property
    def picks(self) -> int:
        """From lanes and from stations, so far."""
        return sum(arm.picks for arm in self.arms) + self.drops

    @property
    def ended(self) -> int:
        """Cycles so far."""
        return sum(station.ended for station in self.stations)


# -------------------------------------------------------------------------- belts that are stepped


class Belt:
    """`cells` from the head to the tail: what moves on leaves from the front of the list."""

    __slots__ = ("cells", "idle", "placing")

    def __init__(self, cells: tuple[tuple[str, int] | None, ...]) -> None:
        self.cells: list[Carrier | None] = [list(cell) if cell else None for cell in cells[::-1]]
        self.idle: list[Arm] = []
        self.placing: list[tuple[int, Event]] = []

    def advance(self) -> None:
        """Everything behind the first gap moves one cell."""
        cells = self.cells
        if None in cells:
            cells.remove(None)
            cells.append(None)

    def serve(self) -> None:
        """Idle arms take what they want of the carrier before them."""
        cells, still = self.cells, []
        for arm in self.idle:
            carrier = cells[-1 - arm.place]
            if carrier is not None and arm.wants(carrier):
                arm.take(carrier)
                if not carrier[1]:
                    cells[-1 - arm.place] = None
            else:
                still.append(arm)
        self.idle = still

    def look(self, arm: Arm) -> None:
        """An idle arm has a reason to look between two steps."""
        carrier = self.cells[-1 - arm.place]
        if carrier is not None and arm in self.idle and arm.wants(carrier):
            self.idle.remove(arm)
            arm.take(carrier)
            if not carrier[1]:
                self.cells[-1 - arm.place] = None

    def receive(self) -> None:
        """Arms over empty cells put their kit down."""
        still = []
        for place, done in self.placing:
            if self.cells[-1 - place] is None:
                self.cells[-1 - place] = ["kit", 1]
                done.succeed()
            else:
                still.append((place, done))
        self.placing = still


class Lane:
    """A row: its lane and the belts that feed it."""

    def __init__(self, row: int, start: State) -> None:
        self.lane = Belt(start.belts[f"lane {row}"])
        self.supplies, self.backs, self.feeds = (
            [Belt(start.belts[f"{kind} {row}{material}"]) for material in MATERIALS]
            for kind in ("supply", "back", "feed")
        )
        self.turn = 0

    def step(self) -> None:
        """Downstream first; the ring is cut before the returns."""
        for back in self.backs:
            back.advance()
        lane = self.lane.cells
        if (head := lane[0]) is not None:
            back = self.backs[MATERIALS.index(head[0])]
            if back.cells[-1] is None:
                back.cells[-1], lane[0] = head, None
        self.lane.advance()
        if lane[-1] is None:
            self.mix()
        for supply, back, feed in zip(self.supplies, self.backs, self.feeds, strict=True):
            feed.advance()
            if feed.cells[-1] is None:
                inlet = back if back.cells[0] is not None else supply
                feed.cells[-1], inlet.cells[0] = inlet.cells[0], None
            supply.advance()
            if supply.cells[-1] is None:
                supply.cells[-1] = [MATERIALS[self.supplies.index(supply)], LOAD]
        self.lane.serve()

    def mix(self) -> None:
        """The first feed in turn with a carrier at its head passes it."""
        for number in (self.turn, self.turn + 1, self.turn + 2):
            cells = self.feeds[number % 3].cells
            if cells[0] is not None:
                self.lane.cells[-1], cells[0] = cells[0], None
                self.turn = (number + 1) % 3
                return


class SteppedBlock(Block):
    """`rows` rows from `start` on, belts stepped by one process."""

    def __init__(self, case: Case, rows: int, start: State) -> None:
        super().__init__(case, rows, start)
        self.lanes = [Lane(row, start) for row in range(rows)]
        self.outs = [Belt(start.belts[f"out {number}"]) for number in range(-(-rows // 2))]
        for row, lane in enumerate(self.lanes):
            for number in range(ROW):
                arm = self.station(row, number)
                arm.station.opened = partial(lane.lane.look, arm)
                self.env.process(self.feed(lane.lane, arm))
                self.env.process(self.unload(self.outs[row // 2], arm.station, arm.place))
        self.env.process(self.step_belts())

    def step_belts(self) -> Process:
        """All belts, at every tick that their step time divides."""
        yield self.env.timeout(-self.env.now % self.step)
        while True:
            for out in self.outs:
                out.cells[0] = None
                out.advance()
                out.receive()
            for lane in self.lanes:
                lane.step()
            yield self.env.timeout(self.step)

    def feed(self, lane: Belt, arm: Arm) -> Process:
        """Wait at the lane, swing, put in."""
        while True:
            arm.found = self.env.event()
            lane.idle.append(arm)
            if self.env.now % self.step:  # else the step is still to come, and serves it
                lane.look(arm)
            material = yield arm.found
            yield self.env.timeout(self.swing)
            arm.station.arrive(material, HAND)

    def unload(self, out: Belt, station: Station, place: int) -> Process:
        """Wait for a kit, swing, wait for an empty cell."""
        while True:
            yield station.kits.get(1)
            self.drops += 1
            yield self.env.timeout(self.swing)
            if self.env.now % self.step and out.cells[-1 - place] is None:
                out.cells[-1 - place] = ["kit", 1]
                continue
            done = self.env.event()
            out.placing.append((place, done))
            yield done


# ---------------------------------------------------------------------- carriers that are processes


class Spot(Resource):
    """A cell; `arm` is who works at it, `carrier` what stands there."""

    def __init__(self, env: Environment) -> None:
        super().__init__(env, capacity=1)
        self.arm: Arm | None = None
        self.carrier: Carrier | None = None

    def look(self) -> None:
        """The arm takes a unit if it is idle and wants one."""
        arm, carrier = self.arm, self.carrier
        if arm is None or carrier is None or not carrier[1] or arm.found.triggered:
            return
        if arm.wants(carrier):
            arm.take(carrier)


class CarrierBlock(Block):
    """`rows` rows without returns from `start` on, every carrier a process."""

    def __init__(self, case: Case, rows: int, start: State) -> None:
        super().__init__(case, rows, start)
        lanes = [self.way(f"lane {row}", []) for row in range(rows)]
        outs = [self.way(f"out {number}", []) for number in range(-(-rows // 2))]
        supplies = [
            (material, self.way(f"supply {row}{material}", lane))
            for row, lane in enumerate(lanes)
            for material in MATERIALS
        ]
        for row, lane in enumerate(lanes):
            for number in range(ROW):
                arm = self.station(row, number)
                lane[arm.place].arm = arm
                arm.station.opened = lane[arm.place].look
                self.env.process(self.feed(lane[arm.place], arm))
                self.env.process(self.unload(outs[row // 2], arm.station, arm.place))
        for material, way in supplies:
            self.env.process(self.supply(material, way))

    def way(self, belt: str, on: list[Spot]) -> list[Spot]:
        """The cells of `belt` and those `on` from there, with the carriers that `belt` has."""
        cells = self.start.belts[belt]
        spots = [Spot(self.env) for _ in cells] + on
        for at in range(len(cells) - 1, -1, -1):
            if cell := cells[at]:
                self.env.process(self.travel(spots, at, list(cell), spots[at].request()))
        return spots

    def travel(self, way: list[Spot], at: int, carrier: Carrier, claim: Any) -> Process:
        """A carrier goes from cell `at`, which it has, to the end of `way`, or until it is empty.

        Entering a cell takes it at once and a step of time; then the next one is asked for.
        """
        env, step = self.env, self.step
        last = len(way) - 1
        while True:
            spot = way[at]
            spot.carrier = carrier
            spot.look()
            yield env.timeout(step)
            if at == last or not carrier[1]:
                break
            following = way[at + 1].request()
            yield following
            spot.carrier = None
            spot.release(claim)
            if not carrier[1]:  # emptied while it waited
                spot, claim = way[at + 1], following
                break
            claim = following
            at += 1
        spot.carrier = None
        spot.release(claim)

    def supply(self, material: str, way: list[Spot]) -> Process:
        """A full carrier whenever the first cell is free."""
        while True:
            claim = way[0].request()
            yield claim
            self.env.process(self.travel(way, 0, [material, LOAD], claim))

    def feed(self, spot: Spot, arm: Arm) -> Process:
        """Wait at the lane, swing, put in."""
        while True:
            arm.found = self.env.event()
            spot.look()
            material = yield arm.found
            yield self.env.timeout(self.swing)
            arm.station.arrive(material, HAND)

    def unload(self, out: list[Spot], station: Station, place: int) -> Process:
        """Wait for a kit, swing, wait for an empty cell."""
        while True:
            yield station.kits.get(1)
            self.drops += 1
            yield self.env.timeout(self.swing)
            claim = out[place].request()
            yield claim
            self.env.process(self.travel(out, place, ["kit", 1], claim))
