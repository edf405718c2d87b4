"""How every command gets at the project."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from loopwright.cli.ending import BadInputError

if TYPE_CHECKING:
    from loopwright.model import Project

MOST_BYTES = 50_000_000
"""Larger files are not read for their digest alone."""


def open_project(path: Path) -> Project:
    """The project in the file `path`; warnings go to stderr.

    Raises
    ------
    BadInputError
        The file cannot be read as a project; the findings say all that is wrong.
    """
    from loopwright.cli.output import write_findings
    from loopwright.model import check_project

    project, findings = check_project(path)
    if project is None:
        raise BadInputError(findings, file_digest(path))
    if findings:
        write_findings(findings, as_json=False, err=True)
    return project


def project_digest(project: Project) -> str:
    """Digest of the project with everything filled in, its catalogue too."""
    from loopwright.record import digest

    return digest(project.document())


def layout_digest(project: Project, layout: Path) -> str:
    """Digest of the project together with the layout file that stands for its own."""
    from loopwright.record import digest

    return digest({"project": project.document(), "layout": file_digest(layout)})


def file_digest(path: Path) -> str:
    """Digest of the bytes of a file, empty where they cannot be read."""
    from loopwright.record import bytes_digest

    try:
        if path.is_file() and path.stat().st_size <= MOST_BYTES:
            return bytes_digest(path.read_bytes())
    except OSError:
        pass
    return ""
