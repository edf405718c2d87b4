"""How a command ends: its exit code, and what is said when it fails."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, Any

import typer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loopwright.finding import Finding

FINE = 0
MISSED = 1
"""A target is missed, or the design has error findings."""
BAD_INPUT = 2
"""The input cannot be used; wrong options end with the same code."""
BROKEN = 70
"""A fault of the program itself."""
INTERRUPTED = 130
PIPE_CLOSED = 141


class BadInputError(Exception):
    """The input with the digest `source` cannot be used; `findings` say why."""

    def __init__(self, findings: Sequence[Finding], source: str = "") -> None:
        super().__init__(f"{len(findings)} findings")
        self.findings = tuple(findings)
        self.source = source


def guarded(run: Callable[..., int]) -> Callable[..., None]:
    """`run` made to end with its exit code, or with the right words and code where it fails."""

    @wraps(run)
    def call(**options: Any) -> None:
        try:
            code = run(**options)
            sys.stdout.flush()
        except KeyboardInterrupt:
            typer.echo("\nInterrupted. Nothing more is written.", err=True)
            code = INTERRUPTED
        except BrokenPipeError:
            # The reader went away; what is still held back must not raise again at exit.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            code = PIPE_CLOSED
        except (typer.Exit, typer.BadParameter):
            raise
        except Exception as error:
            code = _failed(error, as_json=bool(options.get("as_json")))
        raise typer.Exit(code)

    return call


def _failed(error: Exception, *, as_json: bool) -> int:
    """Say what went wrong; the exit code."""
    from loopwright.cli.output import write_findings
    from loopwright.finding import DesignError

    if isinstance(error, BadInputError):
        write_findings(error.findings, as_json=as_json, source=error.source, err=True)
        return BAD_INPUT
    if isinstance(error, DesignError):
        write_findings(error.findings, as_json=as_json, err=True)
        return MISSED
    if os.environ.get("LOOPWRIGHT_DEBUG"):
        import traceback

        traceback.print_exception(error)
    if isinstance(error, OSError) and error.filename is not None:
        typer.echo(f"{error.filename}: {error.strerror}", err=True)
        return BAD_INPUT
    typer.echo(
        f"This should not have happened: {type(error).__name__}: {error}\n"
        "Loopwright has a fault here, or was handed something it does not expect. Run the same "
        "command with LOOPWRIGHT_DEBUG=1 to see where, and please report it with the project file.",
        err=True,
    )
    return BROKEN
