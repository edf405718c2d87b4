"""The door of the command line. Nothing heavy is loaded here, so that help comes at once."""

from __future__ import annotations

import gc
from typing import Annotated

import typer

from loopwright import __version__
from loopwright.cli.command import COMMANDS, examples_text
from loopwright.cli.ending import guarded

EXAMPLES = (
    ("loopwright new bakery", "writes bakery.yaml, a project to start from"),
    ("loopwright check bakery.yaml", "says everything that is wrong with it"),
    ("loopwright plan bakery.yaml", "how much of everything"),
)


def _show_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"loopwright {__version__}")
        raise typer.Exit


def _start(
    version: Annotated[
        bool,
        typer.Option(
            "--version", help="Print the version and stop.", callback=_show_version, is_eager=True
        ),
    ] = False,
) -> None:
    r"""Design belt-fed production blocks, from one text file.

    \b
    Exit codes: 0 fine; 1 a target is missed or the design has errors; 2 bad input;
    70 a fault of the program; 130 interrupted.
    """


def build() -> typer.Typer:
    """The application with all its commands."""
    app = typer.Typer(
        name="loopwright",
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        no_args_is_help=True,
        context_settings={"help_option_names": ["--help", "-h"], "max_content_width": 100},
    )
    app.callback(epilog=examples_text(EXAMPLES))(_start)
    for command in COMMANDS:
        app.command(command.name, epilog=examples_text(command.examples))(guarded(command.run))
    return app


def main() -> None:
    """Run the command line of this process."""
    gc.disable()  # a tenth of the start: there is no garbage while modules load
    build()(prog_name="loopwright")
