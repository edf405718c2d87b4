"""Traces: every frame is the state at its tick, by time and by number, whole or cut short."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.record import Origin
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.trace import Trace, TraceWriter
from loopwright.simulate.trace.form import CHUNK, MAGIC, TraceError
from loopwright.simulate.trace.writer import CHUNK_FRAMES
from tests.layouts.plants import one_of_each

EVERY = Fraction(1, 4)


def plan(span: Fraction | int) -> Scenario:
    return Scenario("test", "empty", Fraction(span), Fraction(0), Fraction(7))


def traced(path: Path, span: Fraction | int, every: Fraction = EVERY) -> Path:
    simulate_layout(one_of_each(), plan(span), trace=TraceWriter(path, Origin("test"), every))
    return path


def test_every_frame_is_the_state_at_its_tick(tmp_path: Path) -> None:
    layout = one_of_each()
    with Trace.open(traced(tmp_path / "t", 40)) as trace:
        tick = trace.form.tick
        assert len(trace) == 161 > CHUNK_FRAMES
        for number in (0, 1, 2, 3, 50, 99, 100, 101, 160, 7):
            frame = trace.number(number)
            assert frame.tick == -(-number * EVERY // tick)
            state = simulate_layout(layout, plan(frame.tick * tick)).end
            assert frame.belts == dict(state.belts)
            assert frame.belt("lane 1") == state.belts["lane 1"]


def test_a_frame_is_found_by_its_time(tmp_path: Path) -> None:
    """The last one taken at or before the time that is asked for."""
    with Trace.open(traced(tmp_path / "t", 10, Fraction(1, 10))) as trace:
        times = [frame.time for frame in trace]
        for asked in (0, Fraction(1, 20), Fraction(1, 10), 1, Fraction(33, 10), 9.99, 10, 99):
            found = trace.frame(asked)
            taken = [number for number, time in enumerate(times) if time <= asked]
            assert found.number == taken[-1]
        with pytest.raises(IndexError):
            trace.frame(-1)
        with pytest.raises(IndexError):
            trace.number(len(trace))


def test_a_trace_in_parts_is_the_trace_as_a_whole(tmp_path: Path) -> None:
    whole = traced(tmp_path / "whole", 60)
    path = tmp_path / "parts"
    past = None
    for span in (Fraction(31, 3), 25, Fraction(101, 4), 60):
        writer = TraceWriter(path, Origin("test"), EVERY, go_on=past is not None)
        past = simulate_layout(one_of_each(), plan(span), past=past, trace=writer)
    with Trace.open(whole) as one, Trace.open(path) as other:
        assert len(one) == len(other)
        assert all((a.codes == b.codes).all() for a, b in zip(one, other, strict=True))


def test_a_chunk_that_was_cut_off_is_left_out(tmp_path: Path) -> None:
    path = traced(tmp_path / "t", 40)
    data = path.read_bytes()
    path.write_bytes(data[:-3])
    with Trace.open(path) as trace:
        assert len(trace) == CHUNK_FRAMES
        assert trace.number(CHUNK_FRAMES - 1).tick > 0
        end = trace.end
    past = simulate_layout(one_of_each(), plan(24))
    writer = TraceWriter(path, Origin("test"), EVERY, go_on=True)
    simulate_layout(one_of_each(), plan(40), past=past, trace=writer)
    assert path.read_bytes()[:end] == data[:end]
    with Trace.open(path) as trace:
        assert len(trace) == 161


@pytest.mark.parametrize(
    "data", [b"", b"something else", MAGIC, MAGIC + b"\xff\xff\xff\xff", MAGIC + b"\2\0\0\0{}"]
)
def test_other_files_are_no_traces(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "t").write_bytes(data)
    with pytest.raises(TraceError):
        Trace.open(tmp_path / "t")


def test_a_broken_chunk_is_told(tmp_path: Path) -> None:
    path = traced(tmp_path / "t", 10)
    with Trace.open(path) as trace:
        size = path.stat().st_size - trace._places[0][0]
    data = bytearray(path.read_bytes())
    data[-size : -size + 8] = bytes(8)
    path.write_bytes(bytes(data))
    with Trace.open(path) as trace, pytest.raises(TraceError):
        trace.number(0)
    assert CHUNK.size == 8


def test_a_trace_of_another_layout_is_not_gone_on_with(tmp_path: Path) -> None:
    path = traced(tmp_path / "t", 10)
    layout = one_of_each()
    other = replace(layout, belts=(*layout.belts, replace(layout.belts[0], name="another")))
    with pytest.raises(TraceError, match="another layout"):
        simulate_layout(other, plan(10), trace=TraceWriter(path, Origin("t"), EVERY, go_on=True))
    with pytest.raises(ValueError, match="every"):
        TraceWriter(path, Origin("t"), Fraction(0))
