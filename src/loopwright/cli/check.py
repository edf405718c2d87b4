"""`loopwright check`: everything that is wrong with a project file."""

from __future__ import annotations

from loopwright.cli.option import AsJson, ProjectFile

EXAMPLES = (
    ("loopwright check bakery.yaml", "one line for each finding, with its place"),
    ("loopwright check bakery.yaml --json", "the same for programs"),
)


def run(file: ProjectFile, as_json: AsJson = False) -> int:
    """Say everything that is wrong with a project file."""
    from loopwright.cli.ending import BAD_INPUT, FINE, BadInputError
    from loopwright.cli.output import write_findings
    from loopwright.cli.project import open_project

    try:
        open_project(file)
    except BadInputError as error:
        write_findings(error.findings, as_json=as_json)
        return BAD_INPUT
    write_findings((), as_json=as_json)
    return FINE
