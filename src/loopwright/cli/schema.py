"""`loopwright schema`: the shape of a project file, for editors and programs."""

from __future__ import annotations

import typer

EXAMPLES = (
    ("loopwright schema > loopwright.schema.json", "for an editor that completes and checks"),
)


def run() -> int:
    """Print the JSON Schema of project files."""
    import json

    from loopwright.model import project_schema

    typer.echo(json.dumps(project_schema(), indent=2, ensure_ascii=False))
    return 0
