"""The process that does the work: it takes tasks one after the other and tells how they go.

Both sides speak JSON. An interrupt ends the task at hand, and what was found by then is kept; when
the server goes, so does the worker, with all processes that it started.
"""

from __future__ import annotations

import _thread
import json
import os
import queue
import signal
import threading
import traceback
from collections.abc import Callable
from importlib import import_module
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from loopwright.finding import DesignError, finding_document
from loopwright.record import write_text
from loopwright.studio.folder import Folder
from loopwright.studio.laid import Drafts
from loopwright.studio.refusal import RefusalError
from loopwright.studio.work.task import Task, TaskError

MODULES = {
    "prove": "prove", "recover": "recover", "remedy": "remedy", "stress": "stress",
    "compare": "compare", "simulate": "simulate", "report": "report", "tables": "tables",
    "trace": "trace", "film": "film", "pdf": "drawing", "dxf": "drawing", "svg": "drawing",
    "png": "drawing",
}  # fmt: skip
"""The module of each kind of job."""

FAULT = "fault.txt"


class _Orders:
    """What came through the connection: tasks to do, and tasks to stop."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._waiting: queue.SimpleQueue[dict[str, Any]] = queue.SimpleQueue()
        self._stopped: set[str] = set()
        self._running = ""

    def take(self, said: dict[str, Any]) -> None:
        """An order, or {"stop": the name of a task}."""
        if "stop" not in said:
            self._waiting.put(said)
            return
        with self._lock:
            self._stopped.add(said["stop"])
            if self._running == said["stop"]:
                _interrupt_main()

    def next(self) -> dict[str, Any]:
        return self._waiting.get()

    def begin(self, task: str) -> bool:
        """Whether the task may begin: it may be stopped already."""
        with self._lock:
            if task in self._stopped:
                return False
            self._running = task
            signal.signal(signal.SIGINT, signal.default_int_handler)
            return True

    def end(self) -> None:
        """From now on nothing is interrupted."""
        with self._lock:
            self._running = ""
            signal.signal(signal.SIGINT, signal.SIG_IGN)


def _interrupt_main() -> None:
    """What Ctrl-C does to the main thread, also where that waits for other processes."""
    if hasattr(signal, "pthread_kill"):
        ident = threading.main_thread().ident
        assert ident is not None
        signal.pthread_kill(ident, signal.SIGINT)
    else:
        _thread.interrupt_main()


def work(connection: Connection) -> None:
    """Carry out what comes through `connection` until it is closed."""
    if hasattr(os, "setsid"):
        os.setsid()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    orders = _Orders()
    threading.Thread(target=_listen, args=(connection, orders), daemon=True).start()
    drafts = Drafts()
    import_module("loopwright.prove.prove")  # what takes long to load, while nothing waits
    while True:
        order = orders.next()

        def tell(done: float, note: str) -> None:
            _send(connection, {"done": done, "note": note})

        folder = Folder(Path(order["folder"]))
        task = Task(
            order["kind"], order["file"], order["text"], order["options"], folder,
            Path(order["home"]), drafts, tell,
        )  # fmt: skip
        _send(connection, _outcome(task, order["job"], orders))


def _outcome(task: Task, name: str, orders: _Orders) -> dict[str, Any]:
    """How the task ended."""
    try:
        try:
            if not orders.begin(name):
                return {"end": "cancelled"}
            module = import_module(f"loopwright.studio.work.{MODULES[task.kind]}")
            carry_out: Callable[[Task], None] = module.run
            carry_out(task)
        finally:
            orders.end()
    except KeyboardInterrupt:
        return {"end": "cancelled"}
    except DesignError as error:
        found = [finding_document(finding) for finding in error.findings]
        return {"end": "failed", "error": "The design has errors.", "findings": found}
    except (TaskError, RefusalError) as error:
        return {"end": "failed", "error": str(error)}
    except Exception as error:
        write_text(task.home / FAULT, traceback.format_exc())
        said = f"A fault of the program: {type(error).__name__}: {error}"
        return {"end": "failed", "error": said[:500]}
    return {"end": "done"}


def _listen(connection: Connection, orders: _Orders) -> None:
    """Take orders in; when nobody is there any more, end with everything that was started."""
    try:
        while True:
            orders.take(json.loads(connection.recv_bytes()))
    except (EOFError, OSError):
        if hasattr(os, "killpg"):
            os.killpg(os.getpgrp(), signal.SIGKILL)
        os._exit(1)


def _send(connection: Connection, message: dict[str, Any]) -> None:
    connection.send_bytes(json.dumps(message).encode("utf-8"))
