"""Arguments and options that several commands share, declared once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

ProjectFile = Annotated[
    Path, typer.Argument(metavar="FILE", help="The project file (YAML).", show_default=False)
]

AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]

LayoutFile = Annotated[
    Path | None,
    typer.Option(
        "--layout",
        "--from",
        metavar="PATH",
        help="Take the layout from this file (YAML) instead of placing it.",
    ),
]
