"""`loopwright new`: a project file to start from."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated

import typer

from loopwright.cli.option import AsJson

EXAMPLES = (
    ("loopwright new bakery", "writes bakery.yaml"),
    ("loopwright new designs/press", "writes press.yaml in the folder designs"),
)

_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,63}")


def run(
    name: Annotated[
        str, typer.Argument(metavar="NAME", help="Name of the project.", show_default=False)
    ],
    as_json: AsJson = False,
) -> int:
    """Write NAME.yaml, a small project to start from."""
    from loopwright.model import starter_text

    path = Path(name)
    if path.suffix in (".yaml", ".yml"):
        path = path.with_suffix("")
    if not _NAME.fullmatch(path.name):
        raise typer.BadParameter(
            f"{path.name!r} cannot be the name of a project: write a letter, then letters, digits, "
            "- or _ (64 characters at most)."
        )
    if not path.parent.is_dir():
        raise typer.BadParameter(
            f"the folder {str(path.parent)!r} is not there: make it first, or name another."
        )
    target = path.parent / f"{path.name}.yaml"
    try:
        with target.open("x", encoding="utf-8", newline="\n") as file:
            file.write(starter_text(path.name))
    except FileExistsError:
        raise typer.BadParameter(
            f"{str(target)!r} is there already and is left as it is: choose another name, or move "
            "the file away first."
        ) from None
    if as_json:
        from loopwright.cli.output import write_document

        write_document("new", "", {"name": path.name}, {"file": str(target)})
    else:
        typer.echo(f"{target} written. Next: loopwright check {target}")
    return 0
