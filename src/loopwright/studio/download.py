"""Endpoints of jobs: asked for, listed, cancelled; their results and files."""

from __future__ import annotations

from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, Response
from starlette.routing import Route

from loopwright.studio.answer import answers, answers_to, message_answer
from loopwright.studio.desk import Desk
from loopwright.studio.message import AskJob, Job, JobResult
from loopwright.studio.refusal import RefusalError

Parts = dict[str, str]

KINDS = {
    ".html": "text/html; charset=utf-8",
    ".svg": "image/svg+xml",
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".apng": "image/apng",
    ".gif": "image/gif",
    ".webp": "image/webp",
    ".mp4": "video/mp4",
    ".txt": "text/plain; charset=utf-8",
    ".csv": "text/csv; charset=utf-8",
    ".yaml": "text/plain; charset=utf-8",
    ".dxf": "application/dxf",
    ".zip": "application/zip",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}

SHOWN = (
    "sandbox allow-scripts allow-popups allow-downloads; default-src 'none'; "
    "style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:; font-src data:; "
    "frame-ancestors 'self'"
)
"""Policy of a file that is shown: it runs in a room of its own and reaches nothing."""


ACTIVE = (".html", ".svg")
"""Files that may hold scripts."""


def _list(desk: Desk, _parts: Parts) -> tuple[Job, ...]:
    return desk.jobs.listed()


def _add(desk: Desk, _parts: Parts, asked: AskJob) -> Job:
    return desk.jobs.add(asked)


def _get(desk: Desk, parts: Parts) -> JobResult:
    job = desk.jobs.get(parts["job"])
    return JobResult(job=job, result=desk.jobs.result(job.id))


def _cancel(desk: Desk, parts: Parts) -> Job:
    return desk.jobs.cancel(parts["job"])


async def _file(request: Request) -> Response:
    desk: Desk = request.app.state.desk
    job, name = request.path_params["job"], request.path_params["name"]
    try:
        path = await run_in_threadpool(desk.jobs.file, job, name)
    except RefusalError as refused:
        return message_answer(refused.body, refused.status)
    shown = "show" in request.query_params
    kind = KINDS.get(path.suffix, "application/octet-stream")
    place = "inline" if shown else "attachment"
    headers = {
        "Content-Disposition": f"{place}; filename*=UTF-8''{quote(name)}",
        "Cache-Control": "no-store",
        "X-Frame-Options": "SAMEORIGIN",
    }
    if path.suffix in ACTIVE:
        headers["Content-Security-Policy"] = SHOWN
    return FileResponse(path, media_type=kind, headers=headers)


ROUTES = (
    Route("/api/jobs", answers(_list)),
    Route("/api/jobs", answers_to(AskJob, _add), methods=["POST"]),
    Route("/api/jobs/{job}", answers(_get)),
    Route("/api/jobs/{job}", answers(_cancel), methods=["DELETE"]),
    Route("/api/jobs/{job}/files/{name}", _file),
)
