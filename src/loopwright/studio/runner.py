"""A live run: the engine in a thread of its own, told what to do and telling what happens."""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable
from fractions import Fraction
from time import perf_counter

from loopwright.finding import DesignError
from loopwright.simulate.limit import EngineLimitError, LayoutError
from loopwright.simulate.watch import Watch, read_device
from loopwright.studio.floor_message import (
    Ask,
    Ended,
    Pause,
    Play,
    RunError,
    Seek,
    SetRule,
    StepOn,
    Supply,
)
from loopwright.studio.frame import frame_bytes
from loopwright.studio.message import Message, findings
from loopwright.studio.told import device_message, history_of, status_of

FRAMES = 30
"""Frames a second at most."""

BEHIND = 8
"""Frames that a page may owe before it is left out."""

SLICE = 0.03
"""Time for which the engine runs before it looks at its orders again [s]."""

STATUS, DEVICE, HISTORY = 0.25, 0.5, 1.0
"""Time between messages of a kind while it plays [s]."""

MOST = 86_400
"""The latest time of the plant that a run may go on to [s]: a day."""

Order = Play | Pause | StepOn | Seek | Supply | SetRule | Ask
Say = Callable[[Message | bytes], None]


class Runner(threading.Thread):
    """Carries out `orders` on what `begin` makes; `say` may be called from this thread."""

    def __init__(self, begin: Callable[[], tuple[Watch, Message]], target: float, say: Say) -> None:
        super().__init__(daemon=True, name="live run")
        self.orders: queue.Queue[Order | None] = queue.Queue(200)
        self.acked = 0
        self._begin, self._target, self._to = begin, target, say
        self._ends = threading.Event()
        self._sent = 0
        self._speed: float | None = None
        self._playing = False
        self._asked: str | None = None
        self._last = dict.fromkeys(("frame", "status", "device", "history"), 0.0)

    def end(self) -> None:
        """Let the thread end soon; from now on it tells nothing."""
        self._ends.set()

    def _say(self, told: Message | bytes) -> None:
        """Tell the page, unless it has another run by now."""
        if not self._ends.is_set():
            self._to(told)

    def run(self) -> None:
        """Make the run, then play it as told until the end is wanted."""
        try:
            self._watch, opened = self._begin()
        except (LayoutError, EngineLimitError) as error:
            self._say(RunError(error=f"This floor cannot run: {error}."))
            return
        except DesignError as error:
            self._say(RunError(error="This floor cannot run.", findings=findings(error.findings)))
            return
        self._watch.wake()
        self._say(opened)
        self._anchor()
        self._show(everything=True)
        while not self._ends.is_set():
            try:
                order = self.orders.get(timeout=None if not self._playing else self._rest())
                if order is None:
                    return
                self._obey(order)
                continue
            except queue.Empty:
                pass
            self._go_on()

    def _rest(self) -> float:
        """How long to wait for orders before the engine runs on [s]."""
        if self._speed is None:
            return 0.001
        return max(0.001, self._last["frame"] + 1 / FRAMES - perf_counter())

    def _anchor(self) -> None:
        """From here on time is counted."""
        self._from = (perf_counter(), float(self._watch.time))
        self._measured = self._from
        self._reached = 0.0

    def _obey(self, order: Order) -> None:
        watch = self._watch
        try:
            if isinstance(order, Play):
                self._speed = None if order.speed == "max" else float(order.speed)
                self._playing = watch.time < MOST
                if not self._playing:
                    self._finish()
            elif isinstance(order, Pause):
                self._playing = False
            elif isinstance(order, StepOn):
                self._playing = False
                watch.run_to(min(watch.now + order.ticks, self._most()), self._ends.is_set)
            elif isinstance(order, Seek):
                watch.seek(min(Fraction(order.time), Fraction(MOST)), self._late(5.0))
            elif isinstance(order, Supply):
                watch.supply(self._docks(order.names), order.on)
            elif isinstance(order, SetRule):
                watch.rule(order.names, order.rule)
            elif isinstance(order, Ask):
                self._asked = order.device
                self._answer()
                return
        except KeyError as error:
            self._say(RunError(error=f"There is no {error.args[0]!r} on this floor."))
        except (ValueError, LayoutError, EngineLimitError) as error:
            self._say(RunError(error=f"{error}."))
        self._anchor()
        self._show(everything=True)

    def _docks(self, names: tuple[str, ...]) -> list[str]:
        """Docks by their own names, or by that of the material that they bring."""
        sources = self._watch.era.plant.wiring.sources
        found: list[str] = []
        for name in names:
            of_material = [one.name for one in sources.values() if one.material == name]
            found += of_material or [name]
        return list(dict.fromkeys(found))

    def _most(self) -> int:
        return int(MOST / self._watch.tick)

    def _late(self, span: float) -> Callable[[], bool]:
        """Whether `span` [s] have gone by from now, or the end is wanted."""
        until = perf_counter() + span
        return lambda: perf_counter() > until or self._ends.is_set()

    def _go_on(self) -> None:
        watch = self._watch
        began, (wall, time) = perf_counter(), self._from
        if self._speed is None:
            watch.run_to(self._most(), self._late(SLICE))
        else:
            wanted = int((Fraction(time) + Fraction((began - wall) * self._speed)) / watch.tick)
            watch.run_to(min(wanted, self._most()), self._late(SLICE))
            if watch.now < min(wanted, self._most()):  # it cannot keep up: no debt is carried on
                self._from = (perf_counter(), float(watch.time))
        now, passed = perf_counter(), float(watch.time)
        if now - self._measured[0] > 0.5:
            self._reached = (passed - self._measured[1]) / (now - self._measured[0])
            self._measured = (now, passed)
        if watch.now >= self._most():
            self._finish()
        self._show(everything=False)

    def _finish(self) -> None:
        self._playing = False
        self._say(Ended(why=f"The run is {MOST // 3600} h long; that is as far as it goes live."))

    def _show(self, *, everything: bool) -> None:
        """Tell what is due to be told."""
        now = perf_counter()

        def due(kind: str, every: float) -> bool:
            if not everything and now - self._last[kind] < every:
                return False
            self._last[kind] = now
            return True

        owed = self._sent - self.acked
        if owed < BEHIND and due("frame", 0.9 / FRAMES):
            view = self._watch.view()
            self._sent += 1
            self._say(frame_bytes(view, self._sent, float(self._watch.time)))
        if due("status", STATUS):
            view = self._watch.view()
            speed = self._reached if self._playing else 0.0
            self._say(status_of(self._watch, view, self._playing, speed, self._target))
        if due("history", HISTORY):
            self._say(history_of(self._watch))
        if self._asked is not None and due("device", DEVICE):
            self._answer()

    def _answer(self) -> None:
        if self._asked is None:
            return
        try:
            self._say(device_message(read_device(self._watch, self._asked)))
        except KeyError:
            self._asked = None
