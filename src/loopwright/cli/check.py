"""`loopwright check`: everything that is wrong with a project file."""

from __future__ import annotations

from loopwright.cli.option import AsJson, ProjectFile

EXAMPLES = (
    ("loopwright check bakery.yaml", "one line for each finding, with its place"),
    ("loopwright check bakery.yaml --json", "the same for programs"),
)


def run(file: ProjectFile, as_json: AsJson = False) -> int:
    """Say everything that is wrong with a project file."""
    from loopwright.cli.ending import BAD_INPUT, FINE
    from loopwright.cli.output import write_findings
    from loopwright.cli.project import file_digest
    from loopwright.model import check_project

    project, findings = check_project(file)
    write_findings(findings, as_json=as_json, source=file_digest(file))
    return BAD_INPUT if project is None else FINE
