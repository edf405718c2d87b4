"""The pages: the built bundle, or a page that says how to build it."""

from __future__ import annotations

from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, HTMLResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import Receive, Scope, Send

BUNDLE = Path(__file__).parent / "static"

_MISSING = """\
<!doctype html><html lang="en"><meta charset="utf-8"><title>Loopwright studio</title>
<style>body{font:16px/1.5 sans-serif;max-width:36em;margin:4em auto;padding:0 1em}
@media(prefers-color-scheme:dark){body{background:#12161b;color:#dde4ea}}</style>
<h1>The pages are not built yet</h1>
<p>The server runs, but its pages are missing. In a clone of the project, <code>make web</code>
builds them; then load this page again. Packages that are installed have them inside.</p></html>
"""


def page_routes(bundle: Path = BUNDLE) -> list[BaseRoute]:
    """Routes of the first page and of everything that it loads."""

    async def first(_request: Request) -> Response:
        page = bundle / "index.html"
        if not page.is_file():
            return HTMLResponse(_MISSING, 503)
        return FileResponse(page, headers={"Cache-Control": "no-cache"})

    files = StaticFiles(directory=bundle, check_dir=False)

    async def others(scope: Scope, receive: Receive, send: Send) -> None:
        if not bundle.is_dir():
            raise HTTPException(404)
        await files(scope, receive, send)

    return [Route("/", first), Mount("/", others)]
