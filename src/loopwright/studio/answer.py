"""From a request to a message, from a message to an answer; work runs beside the event loop."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from loopwright.finding import DesignError
from loopwright.studio.desk import Desk
from loopwright.studio.message import Failure, Message, findings
from loopwright.studio.refusal import RefusalError

MOST_TEXT = 2_000_000
"""Largest text of a project [bytes in UTF-8]."""

MOST_TABLE = 5_000_000
"""Largest table to be imported [bytes in UTF-8]."""

Asked = TypeVar("Asked", bound=Message)
Endpoint = Callable[[Request], Awaitable[Response]]
Work = Callable[[Desk, dict[str, str]], object]


def answers(work: Callable[[Desk, dict[str, str]], object]) -> Endpoint:
    """An endpoint that takes no body: `work` gets the parts of the path."""

    async def endpoint(request: Request) -> Response:
        return await _answer(work, request.app.state.desk, dict(request.path_params))

    return endpoint


def answers_to(
    model: type[Asked], work: Callable[[Desk, dict[str, str], Asked], object]
) -> Endpoint:
    """An endpoint that takes a message of `model` as its body."""

    async def endpoint(request: Request) -> Response:
        try:
            asked = _read(model, await request.body())
        except RefusalError as refused:
            return message_answer(refused.body, refused.status)

        def with_message(desk: Desk, parts: dict[str, str]) -> object:
            return work(desk, parts, asked)

        return await _answer(with_message, request.app.state.desk, dict(request.path_params))

    return endpoint


async def _answer(work: Work, desk: Desk, parts: dict[str, str]) -> Response:
    try:
        made = await run_in_threadpool(work, desk, parts)
    except RefusalError as refused:
        return message_answer(refused.body, refused.status)
    except DesignError as error:
        body = Failure(error="The design has errors.", findings=findings(error.findings))
        return message_answer(body, 422)
    return made if isinstance(made, Response) else message_answer(made)


def message_answer(made: object, status: int = 200) -> Response:
    """A message, a sequence of messages or anything JSON-ready, as JSON."""
    data = TypeAdapter[Any](type(made)).dump_json(made)
    headers = {"Cache-Control": "no-store"}
    return Response(data, status, headers, media_type="application/json")


def _read(model: type[Asked], body: bytes) -> Asked:
    try:
        asked = model.model_validate_json(body)
    except ValidationError as error:
        first = error.errors(include_url=False, include_context=False, include_input=False)[0]
        where = ".".join(str(step) for step in first["loc"])
        said = f"{where}: {first['msg']}" if where else first["msg"]
        raise RefusalError(400, f"The request is not understood: {said}.") from None
    for name, most in (("text", MOST_TEXT), ("table", MOST_TABLE)):
        held = getattr(asked, name, None)
        if isinstance(held, str) and len(held.encode("utf-8", "replace")) > most:
            raise RefusalError(
                413,
                f"The {name} is too long: it may have {most // 1_000_000} MB. Split it: equipment "
                "can stand in a file of its own (`use`).",
            )
    return asked
