"""`loopwright schema`: the shape of a project file, for editors and programs."""

from __future__ import annotations

import typer

from loopwright.cli.option import AsJson

EXAMPLES = (
    ("loopwright schema > loopwright.schema.json", "for an editor that completes and checks"),
)


def run(as_json: AsJson = False) -> int:
    """Print the JSON Schema of project files.

    With --json it stands under the key schema of a document with a header.
    """
    import json

    from loopwright.cli.output import write_document
    from loopwright.model import project_schema

    schema = project_schema()
    if as_json:
        write_document("schema", "", {}, {"schema": schema})
    else:
        typer.echo(json.dumps(schema, indent=2, ensure_ascii=False))
    return 0
