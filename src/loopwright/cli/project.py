"""How every command gets at the project."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from loopwright.cli.ending import BadInputError

if TYPE_CHECKING:
    from loopwright.model import Project


def open_project(path: Path) -> Project:
    """The project in the file `path`.

    Raises
    ------
    BadInputError
        The file cannot be read as a project; the findings say all that is wrong.
    """
    from loopwright.finding import DesignError
    from loopwright.model import read_project

    try:
        return read_project(path)
    except DesignError as error:
        raise BadInputError(error.findings) from error
