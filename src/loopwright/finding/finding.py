"""Something to tell the user, as data."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Severity(Enum):
    """How bad a finding is."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Place:
    """Where a finding points: a spot in a file, a named device, or both.

    `line` and `column` count from 1.
    """

    file: str | None = None
    line: int | None = None
    column: int | None = None
    path: str | None = None
    device: str | None = None


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to tell: `code` is permanent, `remedy` says what to do next."""

    code: str
    severity: Severity
    message: str
    place: Place = Place()
    value: str | None = None
    allowed: str | None = None
    remedy: str | None = None
