"""Typing a command, as a user would."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from typer.testing import CliRunner

from loopwright.cli.main import build


@dataclass(frozen=True)
class Typed:
    """What one command printed, and its exit code."""

    code: int
    out: str
    err: str

    @property
    def document(self) -> dict[str, Any]:
        """The one JSON document on stdout. Raises where there is anything else."""
        found: dict[str, Any] = json.loads(self.out)
        return found


def type_in(*words: object) -> Typed:
    """Run `loopwright` with these words in this process."""
    result = CliRunner().invoke(build(), [str(word) for word in words])
    return Typed(result.exit_code, result.stdout, result.stderr)
