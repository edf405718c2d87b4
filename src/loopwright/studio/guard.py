"""Who may speak with the studio: this machine, through the link that was printed, at a measure.

The link holds a token, which is changed for a cookie at once, so that it stays in no history. Names
of other hosts are refused (a page elsewhere could point its own name at this machine), and so is
whatever a page of another origin sends.
"""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import cookie_parser
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BODY = 16_000_000
"""Largest body of a request [bytes]: a text may take several times its size as JSON."""

BURST, STEADY = 400, 100
"""Requests that may come at once, and those that may come each second from then on."""

MOST_SOCKETS = 16

HOSTS = ("127.0.0.1", "localhost")
READS = ("GET", "HEAD")
CODE_REFUSED = 1008

POLICY = (
    "default-src 'self'; script-src 'self'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data: blob:; worker-src 'self' blob:; object-src 'none'; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}

_DOOR = """\
<!doctype html><html lang="en"><meta charset="utf-8"><title>Loopwright studio</title>
<style>body{font:16px/1.5 sans-serif;max-width:36em;margin:4em auto;padding:0 1em}
@media(prefers-color-scheme:dark){body{background:#12161b;color:#dde4ea}}</style>
<h1>This studio is closed to you</h1>
<p>Open it by the link that <code>loopwright studio</code> printed in its terminal; the link ends in
<code>?token=</code> and a row of characters. It changes each time the studio starts.</p></html>
"""


@dataclass
class Bucket:
    """Lets `burst` pass at once, then `steady` a second; `clock` gives the time [s]."""

    burst: int
    steady: float
    clock: Callable[[], float] = time.monotonic
    _left: float = field(init=False)
    _seen: float = field(init=False)

    def __post_init__(self) -> None:
        self._left, self._seen = self.burst, self.clock()

    def take(self) -> bool:
        """Whether one more may pass now."""
        now = self.clock()
        self._left = min(self.burst, self._left + (now - self._seen) * self.steady)
        self._seen = now
        if self._left < 1:
            return False
        self._left -= 1
        return True


class Guard:
    """Stands before the application `app`. `token` opens it; `name` is that of the cookie."""

    def __init__(self, app: ASGIApp, token: str, name: str, bucket: Bucket | None = None) -> None:
        self.app = app
        self.token = token
        self.name = name
        self.cookie = secrets.token_urlsafe(32)
        self.bucket = bucket or Bucket(BURST, STEADY)
        self.sockets = 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on what may pass."""
        if scope["type"] == "http":
            await self._request(scope, receive, send)
        elif scope["type"] == "websocket":
            await self._socket(scope, receive, send)
        else:
            await self.app(scope, receive, send)

    async def _request(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def send_marked(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for key, value in HEADERS.items():
                    headers.setdefault(key, value)
            await send(message)

        answer = self._refusal(scope)
        if answer is not None:
            await answer(scope, receive, send_marked)
            return
        await self.app(scope, _measured(receive), send_marked)

    def _refusal(self, scope: Scope) -> Response | None:
        """The answer to a request that may not pass."""
        headers = Headers(scope=scope)
        if not _local(headers):
            return _told(400, "The studio answers to 127.0.0.1 and localhost only.")
        if not self.bucket.take():
            return _told(429, "Too many requests at once: wait a second and try again.")
        if scope["path"] == "/" and scope["method"] == "GET":
            given = parse_qs(scope["query_string"].decode("latin-1")).get("token", [""])[0]
            if given and _same(given, self.token):
                return self._welcome()
        if not self._known(headers):
            if scope["path"].startswith("/api"):
                return _told(403, "Open the studio by the link that it printed.")
            return HTMLResponse(_DOOR, 403)
        origin = headers.get("origin")
        foreign = origin is not None and not _own(headers)
        if foreign or (origin is None and scope["method"] not in READS):
            return _told(403, "A page of another origin may not change anything here.")
        if headers.get("sec-fetch-site", "same-origin") in ("cross-site", "same-site") and (
            scope["path"] != "/"
        ):
            return _told(403, "A page of another origin may not read anything here.")
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > MOST_BODY:
            return _told(413, _TOO_LARGE)
        return None

    async def _socket(self, scope: Scope, receive: Receive, send: Send) -> None:
        headers = Headers(scope=scope)
        open_to = _local(headers) and self._known(headers) and _own(headers) and self.bucket.take()
        if not open_to or self.sockets >= MOST_SOCKETS:
            await receive()
            await send({"type": "websocket.close", "code": CODE_REFUSED})
            return
        self.sockets += 1
        try:
            await self.app(scope, receive, send)
        finally:
            self.sockets -= 1

    def _welcome(self) -> Response:
        answer = RedirectResponse("/", 303, {"Cache-Control": "no-store"})
        answer.set_cookie(self.name, self.cookie, httponly=True, samesite="strict", path="/")
        return answer

    def _known(self, headers: Headers) -> bool:
        given = cookie_parser(headers.get("cookie", "")).get(self.name, "")
        return _same(given, self.cookie)


_TOO_LARGE = (
    f"That is too much at once: a request may have {MOST_BODY // 1_000_000} MB, a text 2 MB."
)


def _measured(receive: Receive) -> Receive:
    """`receive` that stops where the body becomes too large."""
    came = 0

    async def measured() -> Message:
        nonlocal came
        message = await receive()
        came += len(message.get("body", b""))
        if came > MOST_BODY:
            raise HTTPException(413, _TOO_LARGE)
        return message

    return measured


def _local(headers: Headers) -> bool:
    """Whether the request was sent to a name of this machine."""
    host, _, port = headers.get("host", "").partition(":")
    return host in HOSTS and (port == "" or port.isdigit())


def _own(headers: Headers) -> bool:
    """Whether the page that sends it is one of ours. A request without an origin is not."""
    return headers.get("origin") == f"http://{headers.get('host', '')}"


def _same(given: str, wanted: str) -> bool:
    return secrets.compare_digest(given.encode("utf-8", "replace"), wanted.encode())


def _told(status: int, error: str) -> Response:
    return JSONResponse({"error": error, "findings": []}, status)
