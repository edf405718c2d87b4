"""Live runs for pages: a socket each, orders one way, frames and messages the other."""

from __future__ import annotations

import asyncio
import contextlib
import queue
from collections import deque
from dataclasses import replace
from typing import Annotated

from pydantic import Field, TypeAdapter, ValidationError
from starlette.concurrency import run_in_threadpool
from starlette.routing import WebSocketRoute
from starlette.websockets import WebSocket, WebSocketDisconnect

from loopwright.finding import DesignError
from loopwright.model.scenario import Scenario as Entry
from loopwright.simulate.scenario import Scenario, laid_scenario
from loopwright.simulate.state import State
from loopwright.simulate.watch import Watch
from loopwright.studio.desk import Desk
from loopwright.studio.floor_message import (
    Ack,
    Ask,
    Open,
    Opened,
    Pause,
    Play,
    RunError,
    Seek,
    SetRule,
    StepOn,
    Supply,
)
from loopwright.studio.laid import Laid
from loopwright.studio.message import Message, findings
from loopwright.studio.refusal import RefusalError
from loopwright.studio.replay import Replay, replayed
from loopwright.studio.runner import MOST, Runner

MOST_RUNS = 4
"""Live runs at once."""

MOST_ORDER = 2_500_000
"""Longest order [characters]."""

AnyOrder = Annotated[
    Open | Play | Pause | StepOn | Seek | Supply | SetRule | Ask | Ack,
    Field(discriminator="type"),
]
_order: TypeAdapter[AnyOrder] = TypeAdapter(AnyOrder)


class Outbox:
    """What waits to be sent: every message in turn, but of frames only the last."""

    def __init__(self) -> None:
        self._loop = asyncio.get_running_loop()
        self._waiting: deque[Message | bytes] = deque()
        self._some = asyncio.Event()

    def say(self, told: Message | bytes) -> None:
        """Put something in; from any thread."""
        with contextlib.suppress(RuntimeError):  # the loop is closed: nobody listens any more
            self._loop.call_soon_threadsafe(self._put, told)

    def _put(self, told: Message | bytes) -> None:
        if self._waiting and type(self._waiting[-1]) is type(told):
            self._waiting.pop()
        self._waiting.append(told)
        self._some.set()

    async def send_to(self, socket: WebSocket) -> None:
        """Send all that comes, for ever."""
        while True:
            await self._some.wait()
            self._some.clear()
            while self._waiting:
                told = self._waiting.popleft()
                if isinstance(told, bytes):
                    await socket.send_bytes(told)
                else:
                    await socket.send_text(told.model_dump_json())


async def _live(socket: WebSocket) -> None:
    desk: Desk = socket.app.state.desk
    await socket.accept()
    outbox = Outbox()
    sending = asyncio.create_task(outbox.send_to(socket))
    runner: Runner | None = None
    try:
        while True:
            order = await _next(socket, outbox)
            if order is None:
                continue
            if isinstance(order, Open):
                _end(desk, runner)
                runner = await _begun(desk, order, outbox)
            elif runner is None:
                outbox.say(RunError(error="No run is open yet."))
            elif isinstance(order, Ack):
                runner.acked = max(runner.acked, order.frame)
            else:
                try:
                    runner.orders.put_nowait(order)
                except queue.Full:
                    outbox.say(RunError(error="Too many orders at once: wait a moment."))
    except (WebSocketDisconnect, RuntimeError):
        pass
    finally:
        sending.cancel()
        _end(desk, runner)


async def _next(socket: WebSocket, outbox: Outbox) -> AnyOrder | None:
    """The next order; None where it is not understood, which is told."""
    text = await socket.receive_text()
    if len(text) > MOST_ORDER:
        outbox.say(RunError(error="This order is too long."))
        return None
    try:
        return _order.validate_json(text)
    except ValidationError as error:
        first = error.errors(include_url=False, include_context=False, include_input=False)[0]
        outbox.say(RunError(error=f"This order is not understood: {first['msg']}."))
        return None


async def _begun(desk: Desk, order: Open, outbox: Outbox) -> Runner | None:
    """A run on its way; None where there can be none, which is told."""
    if desk.runs.open >= MOST_RUNS:
        said = f"{MOST_RUNS} live runs go on already: close one of the other pages."
        outbox.say(RunError(error=said))
        return None
    desk.runs.open += 1
    try:
        laid, scenario, start = await run_in_threadpool(_wanted, desk, order)
    except DesignError as error:
        told = RunError(error="This design has errors.", findings=findings(error.findings))
    except RefusalError as refused:
        told = RunError(error=str(refused))
    else:
        runner = Runner(
            lambda: _watch(laid, scenario, start, order.turn),
            float(laid.target),
            outbox.say,
        )
        runner.start()
        return runner
    desk.runs.open -= 1
    outbox.say(told)
    return None


def _wanted(desk: Desk, order: Open) -> Replay:
    """What is to run."""
    if order.play is not None:
        return replayed(desk, order.play)
    laid = desk.drafts.lay(desk.folder, order.file, order.text)
    return laid, _scenario(laid, order), None


def _scenario(laid: Laid, order: Open) -> Scenario:
    """The scenario that is asked for; a primed start where the file has none."""
    names = list(laid.project.scenarios)
    name = order.scenario or (names[0] if names else "primed")
    if names and name not in names:
        said = f"There is no scenario {name!r} in the file; it has: {', '.join(names)}."
        raise RefusalError(422, said)
    entry = laid.project.scenarios[name] if names else Entry()
    scenario = laid_scenario(entry, name, laid.layout)
    return scenario if order.seed is None else replace(scenario, seed=order.seed)


def _watch(laid: Laid, scenario: Scenario, start: State | None, turn: int) -> tuple[Watch, Message]:
    watch = Watch(laid.layout, scenario, start)
    return watch, Opened(
        tick=float(watch.tick),
        span=float(scenario.span),
        most=MOST,
        digest=laid.digest,
        scenario=scenario.name,
        seed=scenario.seed,
        turn=turn,
    )


def _end(desk: Desk, runner: Runner | None) -> None:
    """End a run, if there is one."""
    if runner is None:
        return
    runner.end()
    with contextlib.suppress(queue.Full):
        runner.orders.put_nowait(None)
    desk.runs.open -= 1


ROUTES = [WebSocketRoute("/api/run", _live)]
