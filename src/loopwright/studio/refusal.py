"""The one error of the studio: a request that is understood and not carried out."""

from __future__ import annotations

from collections.abc import Sequence

from loopwright.studio.message import Failure, Finding, Message


class RefusalError(Exception):
    """`status` as in HTTP; `body` is the answer, of which the sentence is a part."""

    def __init__(
        self, status: int, error: str, found: Sequence[Finding] = (), body: Message | None = None
    ) -> None:
        super().__init__(error)
        self.status = status
        self.body: Message = body or Failure(error=error, findings=tuple(found))
