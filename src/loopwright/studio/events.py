"""News for all open pages: jobs and files, over a WebSocket."""

from __future__ import annotations

import asyncio
import contextlib
import threading

from starlette.routing import WebSocketRoute
from starlette.websockets import WebSocket, WebSocketDisconnect

from loopwright.studio.folder import Folder
from loopwright.studio.message import FileChanged, JobChanged
from loopwright.studio.refusal import RefusalError

Event = JobChanged | FileChanged

MOST_WAITING = 1000
"""News that a page may be behind; then it is sent away, and asks anew when it comes back."""

PAUSE = 0.5
"""Between two looks at the folder [s]."""


class Events:
    """Hands news to every page; `tell` may be called from any thread."""

    def __init__(self) -> None:
        self._loop: asyncio.AbstractEventLoop | None = None
        self._pages: set[asyncio.Queue[Event | None]] = set()

    def start(self) -> None:
        """Begin; called in the event loop."""
        self._loop = asyncio.get_running_loop()

    def tell(self, event: Event) -> None:
        """Send `event` to every page that is open."""
        if self._loop is not None:
            with contextlib.suppress(RuntimeError):  # the loop has ended, and so have its pages
                self._loop.call_soon_threadsafe(self._hand_out, event)

    def close(self) -> None:
        """Send every page away."""
        for page in self._pages:
            _put(page, None)

    def _hand_out(self, event: Event) -> None:
        for page in self._pages:
            _put(page, event)

    async def serve(self, socket: WebSocket) -> None:
        """Send news to one page until it leaves."""
        await socket.accept()
        page: asyncio.Queue[Event | None] = asyncio.Queue(MOST_WAITING)
        self._pages.add(page)
        leaving = asyncio.create_task(_left(socket))
        try:
            while not leaving.done():
                news = asyncio.create_task(page.get())
                await asyncio.wait({news, leaving}, return_when=asyncio.FIRST_COMPLETED)
                event = news.result() if news.done() else None
                if event is None:
                    news.cancel()
                    break
                await socket.send_text(event.model_dump_json())
        except (WebSocketDisconnect, RuntimeError):
            pass
        finally:
            self._pages.discard(page)
            leaving.cancel()
            with contextlib.suppress(RuntimeError, WebSocketDisconnect):
                await socket.close()


def _put(page: asyncio.Queue[Event | None], event: Event | None) -> None:
    if page.full():
        while not page.empty():
            page.get_nowait()
        event = None
    page.put_nowait(event)


async def _left(socket: WebSocket) -> None:
    """Ends when the page leaves; what it says is not listened to."""
    while (await socket.receive())["type"] != "websocket.disconnect":
        pass


class Watch:
    """Looks at the files of a folder and tells what others changed."""

    def __init__(self, folder: Folder, events: Events) -> None:
        self.folder = folder
        self.events = events
        self._lock = threading.Lock()
        self._stamps: dict[str, tuple[int, int]] = {}
        self._digests: dict[str, str] = {}
        self.look(quiet=True)

    def wrote(self, file: str, digest: str | None) -> None:
        """A page wrote `file` (None: took it away); the other pages are told at once."""
        with self._lock:
            if digest is None:
                self._digests.pop(file, None)
            else:
                self._digests[file] = digest
        self.events.tell(FileChanged(file=file, digest=digest))

    def look(self, quiet: bool = False) -> None:
        """Find what changed since the last look."""
        stamps = self.folder.stamps()
        with self._lock:
            gone = [file for file in self._stamps if file not in stamps]
            fresh = [file for file, stamp in stamps.items() if self._stamps.get(file) != stamp]
            self._stamps = stamps
        for file in gone:
            with self._lock:
                known = self._digests.pop(file, None)
            if known is not None and not quiet:
                self.events.tell(FileChanged(file=file, digest=None))
        for file in fresh:
            try:
                digest = self.folder.read(file).digest
            except RefusalError:
                continue
            with self._lock:
                changed = self._digests.get(file) != digest
                self._digests[file] = digest
            if changed and not quiet:
                self.events.tell(FileChanged(file=file, digest=digest))

    async def keep_looking(self) -> None:
        """Look again and again, beside the event loop."""
        while True:
            await asyncio.sleep(PAUSE)
            with contextlib.suppress(OSError):  # the folder may be away for a moment
                await asyncio.to_thread(self.look)


async def _serve(socket: WebSocket) -> None:
    events: Events = socket.app.state.desk.events
    await events.serve(socket)


ROUTES = (WebSocketRoute("/api/events", _serve),)
