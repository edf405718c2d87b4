"""Why stations wait: what the counters of the devices around them say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from loopwright.simulate.reading.count import warm_ticks
from loopwright.simulate.reading.readings import (
    BeltReading,
    JointReading,
    PickerReading,
    Readings,
    SourceReading,
    TimeShares,
)
from loopwright.simulate.reading.text import by_material, figure, listed, percent
from loopwright.simulate.reading.trace import FULL, RETURNED, SPARE, WAIT, Trace
from loopwright.simulate.run import Run

CROWDED = Fraction(9, 10)
"""Share of a loop's cells that hold carriers at the end: what it holds is told from here on."""


class Causes:
    """What was counted around stations that wait, in sentences."""

    def __init__(self, run: Run, readings: Readings, trace: Trace) -> None:
        self._run = run
        self._trace = trace
        self._pickers = {picker.name: picker for picker in readings.pickers}

    def of_starving(self, row: TimeShares, worst: Sequence[TimeShares]) -> tuple[str, ...]:
        """Why the stations of `row` starve; `worst` are those that do so most."""
        least = max(WAIT / 2, row.waiting / 10)
        missing = [name for name, share in row.starved.items() if share >= least]
        lanes = self._lanes(row.name, missing)
        sentences = [
            sentence for lane in lanes for sentence in (*self._of_feeder(lane), *self._of_end(lane))
        ]
        for material in missing:
            sentences += self._of_supply(row.name, material, lanes)
        sentences += self._of_loop(row.name)
        sentences += self._of_pickers([one.name for one in worst], self._trace.inlets, "inlet")
        return tuple(dict.fromkeys(sentences))

    def of_blocking(self, belt: BeltReading, setters: Sequence[TimeShares]) -> tuple[str, ...]:
        """Why the stations that set down on `belt` are blocked."""
        sentences = []
        if belt.flow is not None and belt.flow >= FULL:
            sentences.append(
                f"{belt.name} is full: a carrier left it on {percent(belt.flow)} of its steps"
            )
        elif belt.name in self._trace.exits:
            sentences += self._of_end(belt.name)
        names = [one.name for one in setters if one.blocked >= WAIT]
        sentences += self._of_pickers(names, self._trace.outlets, "outlet")
        uses = self._uses(names, self._trace.outlets)
        if uses and max(one.use for one in uses) < FULL:
            mean = sum((one.use for one in uses), Fraction(0)) / len(uses)
            sentences.append(
                f"their outlet pickers are at work {percent(mean)} of the time; they are not what "
                f"is short"
            )
        return tuple(sentences)

    def _lanes(self, row: str, missing: Sequence[str]) -> list[str]:
        """The lanes of `row` on which one of the missing materials comes."""
        lanes = self._trace.lanes_of(row)
        fitting = [
            lane
            for lane in lanes
            if any(source.material in missing for source in self._trace.sources_of(lane))
        ]
        return fitting or list(lanes)

    def _of_feeder(self, lane: str) -> Iterator[str]:
        feeder = self._trace.feeder.get(lane)
        speed = self._trace.speed(lane)
        if isinstance(feeder, SourceReading):
            steps_flow = feeder.carriers / (self._span() * speed)
            if steps_flow >= FULL:
                yield (
                    f"{lane} is full: its dock put {figure(steps_flow * speed)} of at most "
                    f"{figure(speed)} carriers/s"
                )
        elif isinstance(feeder, JointReading) and feeder.steps:
            yield from self._of_joint(lane, feeder, speed)

    def _of_joint(self, lane: str, joint: JointReading, speed: Fraction) -> Iterator[str]:
        open_share = Fraction(joint.offered, joint.steps)
        if joint.flow >= FULL:
            yield (
                f"{lane} is full: {joint.name} passed {figure(joint.flow * speed)} of at most "
                f"{figure(speed)} carriers/s"
            )
        elif open_share < FULL:
            yield (
                f"{lane} is backed up: {joint.name} found its first cell occupied on "
                f"{percent(1 - open_share)} of the steps"
            )
        elif joint.use is not None and joint.use >= FULL:
            yield f"{joint.name} passed {percent(joint.use)} of the slots offered"
        if joint.use is not None and joint.use < FULL:
            yield f"{joint.name} left {percent(1 - joint.use)} of the slots offered empty"
        if joint.kind == "merge" and len(joint.passed) > 1 and joint.flow >= FULL:
            flows = [
                f"{inlet} {figure(Fraction(count, joint.steps) * speed)}"
                for inlet, count in joint.passed
            ]
            yield f"into {joint.name} came, in carriers/s: {listed(flows)}"
        if joint.returned >= RETURNED:
            fresh = (1 - joint.returned) * joint.flow * speed
            yield (
                f"{percent(joint.returned)} of the carriers that {joint.name} passed came back by "
                f"{joint.main}, which left {figure(fresh)} carriers/s of fresh material"
            )

    def _of_end(self, belt: str) -> Iterator[str]:
        """What the joint at the end of `belt` says, where it is a side merge used up."""
        joint = self._trace.exits.get(belt)
        if joint is None or joint.kind != "side merge" or not joint.steps:
            return
        if joint.offered == 0:
            yield f"{joint.name} found no empty cell on {joint.belt}"
        elif joint.use is not None and joint.use >= FULL:
            gaps = Fraction(joint.offered, joint.steps)
            yield (
                f"{joint.name} used {percent(joint.use)} of the empty cells on {joint.belt}, which "
                f"were {percent(gaps)} of all"
            )

    def _of_supply(self, row: str, material: str, lanes: Sequence[str]) -> Iterator[str]:
        sources = {
            source.name: source
            for lane in lanes
            for source in self._trace.sources_of(lane)
            if source.material == material
        }
        yield from self._of_outages(list(sources))
        shared = {other for name in sources for other in self._trace.rows_on(name)}
        if not sources or shared != {row}:
            return
        rate = sum((source.rate for source in sources.values()), Fraction(0))
        need = self._trace.needs(row).get(material, Fraction(0))
        told = f"{listed(list(sources))} brought {figure(rate)} units/s of {material}"
        if rate < need:
            told += f", of the {figure(need)} that the row uses when all its stations are busy"
        refused = [source.refused for source in sources.values() if source.refused is not None]
        if refused and max(refused) < SPARE:
            told += f"; nothing was left to give: {percent(max(refused))} of the loads waited"
        elif refused and min(refused) >= SPARE:
            told += f"; there was more to give: {percent(min(refused))} of the loads waited"
        elif rate >= need:
            return
        yield told

    def _of_outages(self, sources: Sequence[str]) -> Iterator[str]:
        run = self._run
        first = (run.start.tick + warm_ticks(run)) * run.tick
        last = (run.start.tick + run.ticks) * run.tick
        for outage in run.scenario.outages:
            end = outage.start + outage.span
            if outage.source in sources and end > first and outage.start < last:
                yield f"{outage.source} gave nothing from {figure(outage.start)} to {figure(end)} s"

    def _of_loop(self, row: str) -> Iterator[str]:
        """What the loop of `row` holds, if it is crowded at the end."""
        belts = self._trace.loop_of(row)
        cells = sum(belt.cells for belt in belts)
        held = dict.fromkeys(self._trace.inputs_of(row), 0)
        for belt in belts:
            for material, count in belt.carriers.items():
                held[material] = held.get(material, 0) + count
        if len(belts) > 1 and sum(held.values()) >= CROWDED * cells:
            yield (
                f"at the end {listed([belt.name for belt in belts])} hold "
                f"{sum(held.values())} carriers on {cells} cells: {by_material(held)}"
            )

    def _of_pickers(
        self, stations: Sequence[str], pickers: dict[str, list[str]], word: str
    ) -> Iterator[str]:
        bound = [one for one in self._uses(stations, pickers) if one.use >= FULL]
        if bound:
            most = max(bound, key=lambda one: one.use)
            count = f"{word} picker is" if len(bound) == 1 else f"{word} pickers are"
            yield f"{len(bound)} {count} at work all the time: {most.name} {percent(most.use)}"

    def _uses(self, stations: Sequence[str], pickers: dict[str, list[str]]) -> list[PickerReading]:
        return [self._pickers[name] for one in stations for name in pickers.get(one, ())]

    def _span(self) -> Fraction:
        return (self._run.ticks - warm_ticks(self._run)) * self._run.tick
