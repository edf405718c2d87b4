"""The worker as the server sees it: started when it is first needed, kept warm, ended for sure."""

from __future__ import annotations

import atexit
import contextlib
import json
import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from multiprocessing import get_context
from multiprocessing.connection import Connection
from typing import TYPE_CHECKING, Any

from loopwright.studio.work.worker import work

if TYPE_CHECKING:
    from multiprocessing.context import SpawnProcess

GRACE = 5.0
"""Time that a task has to keep what is done when it is cancelled [s]; then it is ended."""

MOST_TIME = 6 * 3600.0
"""Longest task [s]."""

LOOK = 0.1
"""Between two looks at the clock while nothing is told [s]."""


class Worker:
    """One process, one task at a time."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._process: SpawnProcess | None = None
        self._connection: Connection | None = None

    def warm(self) -> None:
        """Start it, so that the first task need not wait."""
        self._started()

    def do(self, order: dict[str, Any], cancelled: Callable[[], bool]) -> Iterator[dict[str, Any]]:
        """Carry out `order`; what the worker tells, its end last.

        A task that does not stop in time after `cancelled` says so is ended with its process.
        """
        connection = self._started()
        try:
            with self._lock:
                self._send(order)
            begun, stop = time.monotonic(), 0.0
            while True:
                if connection.poll(LOOK):
                    said: dict[str, Any] = json.loads(connection.recv_bytes())
                    yield said
                    if "end" in said:
                        return
                now = time.monotonic()
                if stop == 0 and (cancelled() or now - begun > MOST_TIME):
                    stop = now
                    self.interrupt(order["job"])
                elif stop and now - stop > GRACE:
                    self.kill()
                    late = not cancelled()
                    error = f"It took more than {MOST_TIME / 3600:g} h." if late else None
                    yield {"end": "failed" if late else "cancelled", "error": error}
                    return
        except (EOFError, OSError):
            self.kill()
            yield {"end": "failed", "error": "The worker ended, perhaps for want of memory."}

    def interrupt(self, job: str) -> None:
        """Ask the task of this job to stop, keeping what is done."""
        with self._lock:
            if self._connection is not None:
                with contextlib.suppress(OSError):  # it has ended, and is told as ended
                    self._send({"stop": job})

    def _send(self, message: dict[str, Any]) -> None:
        assert self._connection is not None
        self._connection.send_bytes(json.dumps(message).encode("utf-8"))

    def kill(self) -> None:
        """End the process and everything that it started."""
        with self._lock:
            process, connection = self._process, self._connection
            self._process = self._connection = None
        atexit.unregister(self.kill)
        if process is not None and process.pid is not None:
            _kill_group(process.pid)
            process.kill()
            process.join(GRACE)
        if connection is not None:
            connection.close()

    def _started(self) -> Connection:
        with self._lock:
            alive = self._process is not None and self._process.is_alive()
            if alive and self._connection is not None:
                return self._connection
            context = get_context("spawn")
            ours, theirs = context.Pipe()
            process = context.Process(target=work, args=(theirs,), name="loopwright worker")
            process.start()
            theirs.close()
            self._process, self._connection = process, ours
            atexit.register(self.kill)  # or Python would wait for it at the end
            return ours


def _kill_group(leader: int) -> None:
    """End the group that the worker leads, if it came to lead one."""
    if not hasattr(os, "killpg"):
        return
    try:
        if os.getpgid(leader) == leader:
            os.killpg(leader, signal.SIGKILL)
    except ProcessLookupError:
        pass
