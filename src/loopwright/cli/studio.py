"""`loopwright studio`: the design in the browser."""

from __future__ import annotations

import gc
from pathlib import Path
from typing import Annotated

import typer

EXAMPLES = (
    ("loopwright studio", "opens the project files of this folder in the browser"),
    ("loopwright studio designs", "those of the folder designs"),
    ("loopwright studio --no-browser", "prints the link only"),
    ("loopwright studio --port 9000", "on this port, or not at all"),
)


def run(
    folder: Annotated[
        Path, typer.Argument(metavar="[FOLDER]", help="Folder of project files.")
    ] = Path(),
    port: Annotated[
        int | None,
        typer.Option(
            min=1, max=65535, help="Port on this machine.", show_default="8460, or a free one"
        ),
    ] = None,
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the browser.")
    ] = True,
) -> int:
    """Work on designs in the browser; Ctrl-C ends it.

    Only this machine can reach it, only by the link that is printed. Files of the folder are
    changed as you type; nothing outside the folder is opened.
    """
    from loopwright.studio import serve_studio

    if not folder.is_dir():
        raise typer.BadParameter(f"there is no folder {str(folder)!r}: make it first.")

    def say(link: str) -> None:
        typer.echo(f"Studio of {folder.resolve().name}: {link}\nCtrl-C ends it.")

    gc.enable()  # `main` switched it off; a server runs for long
    try:
        serve_studio(folder, port, browser, say)
    except OSError as error:
        reason = error.strerror or "it cannot be used"
        what = f"--port {port}" if port is not None else f"the studio of {str(folder)!r}"
        raise typer.BadParameter(f"{what}: {reason.lower()}.") from None
    return 0
