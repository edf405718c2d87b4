"""Ctrl-C that waits for a good moment."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType


@contextmanager
def held_interrupt() -> Iterator[Callable[[], bool]]:
    """Hold an interrupt from the keyboard back; the function given out says whether there was one.

    A second one is let through at once. Where the interpreter gives signals to another thread,
    nothing is held back.
    """
    seen: list[int] = []
    if threading.current_thread() is not threading.main_thread():
        yield lambda: False
        return
    before = signal.getsignal(signal.SIGINT)

    def note(number: int, _: FrameType | None) -> None:
        seen.append(number)
        signal.signal(signal.SIGINT, before)

    if before is not signal.default_int_handler:  # somebody else deals with it
        yield lambda: False
        return
    signal.signal(signal.SIGINT, note)
    try:
        yield lambda: bool(seen)
    finally:
        signal.signal(signal.SIGINT, before)
