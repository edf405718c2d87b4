"""Reading a project file: text, tree, models, checks; all findings at once."""

from __future__ import annotations

from pathlib import Path

from pydantic import ValidationError

from loopwright.finding import (
    DesignError,
    Finding,
    Place,
    has_errors,
    in_order,
    new_finding,
)
from loopwright.model.catalogue import with_catalogue
from loopwright.model.check import check_tree
from loopwright.model.fault import findings_of
from loopwright.model.load import load_text
from loopwright.model.parse import parse_text
from loopwright.model.project import Project
from loopwright.model.source import Mapping

_START = "start from the starter project"
_OF_CATALOGUE = {"LW131", "LW133", "LW134"}


def read_project(path: Path | str) -> Project:
    """The project in the file at `path`.

    Raises
    ------
    DesignError
        The file has errors; it carries all findings, warnings too.
    """
    project, findings = check_project(path)
    if project is None:
        raise DesignError(findings)
    return project


def check_project(path: Path | str) -> tuple[Project | None, tuple[Finding, ...]]:
    """The project at `path`, None where it has errors, and all findings in reading order.

    Findings name the file as `path` does.
    """
    text, findings = load_text(Path(path), str(path))
    if text is None:
        return None, findings
    return check_text(text, str(path), Path(path).parent)


def check_text(
    text: str, file: str = "project", folder: Path | None = None
) -> tuple[Project | None, tuple[Finding, ...]]:
    """As `check_project`, from the text itself.

    `file` is the name in findings; `folder` is where a catalogue (`use`) may lie, and without it
    none is read. What is not used is only told when all else is right.
    """
    tree, found = parse_text(text, file)
    findings = list(found)
    if tree is None or (not isinstance(tree, Mapping) and tree.plain() is None):
        if not findings:
            place = Place(file=file, line=1, column=1)
            findings.append(new_finding("LW109", "there is nothing in the file", place))
        return None, in_order(findings)
    if not isinstance(tree, Mapping):
        message = "the file must hold sections, such as `project:` and `materials:`"
        findings.append(new_finding("LW110", message, tree.spot.place(), remedy=_START))
        return None, in_order(findings)
    tree, of_catalogue = with_catalogue(tree, folder)
    findings += of_catalogue
    project = None
    try:
        project = Project.model_validate(tree.plain())
    except ValidationError as error:
        findings += findings_of(error, tree)
    findings += check_tree(tree)
    if has_errors(of_catalogue):
        findings = [finding for finding in findings if not _may_be_there(finding)]
    if has_errors(findings):
        return None, in_order(finding for finding in findings if finding.code != "LW154")
    return project, in_order(findings)


def _may_be_there(finding: Finding) -> bool:
    """Whether the finding misses something that a faulty catalogue may hold."""
    path = finding.place.path or ""
    section = finding.code == "LW112" and path.count(".") == 1 and path.startswith("equipment.")
    return section or finding.code in _OF_CATALOGUE
