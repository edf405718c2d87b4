"""The studio as a server on this machine: one folder, one link, one browser."""

from __future__ import annotations

import asyncio
import contextlib
import os
import secrets
import socket
import threading
import webbrowser
from collections.abc import AsyncIterator, Callable
from pathlib import Path

import uvicorn
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.types import ASGIApp

from loopwright.studio import cases, download, events, files, floor, live, stages, text
from loopwright.studio.desk import open_desk
from loopwright.studio.guard import Guard
from loopwright.studio.static import page_routes

HOST = "127.0.0.1"
PORT = 8460
"""Taken where it is free."""

PARTS = (files, text, stages, cases, floor, live, download, events)
"""Modules with endpoints."""

GRACE = 3
"""How long open connections may take when the studio ends [s]."""


_SENTENCES = {
    404: "There is nothing at this address.",
    405: "This address does not do that.",
}


def build_app(folder: Path, token: str, cookie: str = "loopwright", warm: bool = False) -> ASGIApp:
    """The studio of `folder`, behind its guard; `warm` it beforehand, so that no page waits."""
    desk = open_desk(folder)

    @contextlib.asynccontextmanager
    async def living(_app: Starlette) -> AsyncIterator[None]:
        desk.events.start()
        if warm:  # waited for at the end: a solver cut off while it loads takes the process along
            threading.Thread(target=desk.warm).start()
        looking = asyncio.create_task(desk.watch.keep_looking())
        yield
        looking.cancel()
        desk.events.close()
        await asyncio.to_thread(desk.jobs.close)

    app = Starlette(
        routes=[*(route for part in PARTS for route in part.ROUTES), *page_routes()],
        lifespan=living,
        exception_handlers={HTTPException: _refused, Exception: _broken},
    )
    app.state.desk = desk
    return Guard(app, token, cookie)


async def _refused(_request: Request, error: Exception) -> Response:
    """What the routing has to say, in the form of all other answers."""
    assert isinstance(error, HTTPException)
    said = _SENTENCES.get(error.status_code, error.detail)
    return JSONResponse({"error": said, "findings": []}, error.status_code)


async def _broken(_request: Request, error: Exception) -> Response:
    """A fault of the program; where it happened is told in the terminal."""
    said = f"A fault of the program: {type(error).__name__}. The terminal says more."
    return JSONResponse({"error": said, "findings": []}, 500)


def serve_studio(
    folder: Path,
    port: int | None = None,
    open_browser: bool = True,
    say: Callable[[str], None] = print,
) -> None:
    """Serve the studio of `folder` until it is interrupted.

    Without `port`, 8460 is taken, or any free one. `say` is told the link.

    Raises
    ------
    OSError
        The port is taken.
    """
    with _listening(port) as door:
        number = door.getsockname()[1]
        token = secrets.token_urlsafe(24)
        link = f"http://{HOST}:{number}/?token={token}"
        app = build_app(folder, token, f"loopwright-{number}", warm=True)
        say(link)
        if open_browser:
            threading.Thread(target=webbrowser.open, args=(link,), daemon=True).start()
        config = uvicorn.Config(
            app,
            log_level="warning",
            access_log=False,
            server_header=False,
            ws="websockets-sansio",
            ws_max_size=4_000_000,
            timeout_graceful_shutdown=GRACE,
        )
        with contextlib.suppress(KeyboardInterrupt):  # the server has ended in good order by then
            uvicorn.Server(config).run(sockets=[door])


def _listening(port: int | None) -> socket.socket:
    """A socket on `port` of this machine only; without one, on 8460 or any free port."""
    try:
        return _bound(PORT if port is None else port)
    except OSError:
        if port is not None:
            raise
        return _bound(0)


def _bound(port: int) -> socket.socket:
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name != "nt":  # there it would let others take the port too
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        door.bind((HOST, port))
        door.listen(128)  # from now on the browser waits instead of being turned away
    except BaseException:
        door.close()
        raise
    return door
