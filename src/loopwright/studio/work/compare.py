"""Designs side by side: rows that fill while the designs are measured; and the file of each."""

from __future__ import annotations

from collections.abc import Mapping
from math import prod

from loopwright.compare.change import Change, changed_text
from loopwright.compare.comparison import Comparison
from loopwright.compare.study import MOST, Study, read_axis, study_of, usual_variants, varied
from loopwright.compare.workers import compare_designs
from loopwright.finding import DesignError
from loopwright.model import Project, check_text
from loopwright.model.edit import EditError
from loopwright.record import write_text
from loopwright.studio.options import CompareOptions
from loopwright.studio.work.task import Task, TaskError


def run(task: Task) -> None:
    """Measure all designs; the result holds those that are finished, in their order."""
    project, study = _study(task)
    texts = {one.letter: _changed(task.text, one.change) for one in study.variants}
    count = len(study.variants)

    def each(found: Comparison) -> None:
        task.step(len(found.outcomes) / count, f"{len(found.outcomes)} of {count} designs")
        task.keep("comparison", project, _document(found, texts))

    each(Comparison(study, ()))
    found = compare_designs(study, each=each)
    told = {"sentences": list(found.sentences())}
    task.keep("comparison", project, _document(found, texts) | told)
    write_text(task.path(f"{task.stem}-designs.csv"), found.csv())


def _study(task: Task) -> tuple[Project, Study]:
    """The project as it is, and what it is held against.

    Raises
    ------
    DesignError
        A text has errors, or there is no plan.
    TaskError
        These designs are too many, or a key cannot be set in the file.
    """
    root = task.folder.root
    project, findings = check_text(task.text, task.file, root)
    if project is None:
        raise DesignError(findings)
    axes = [read_axis(text) for text in task.read_options(CompareOptions).vary]
    if not axes:
        return project, study_of(usual_variants(project))
    count = prod(len(axis.values) for axis in axes)
    if count > MOST:
        raise TaskError(f"{count} designs are too many; at most {MOST}.")
    try:
        return project, study_of(varied(task.text, axes, task.file, root))
    except EditError as error:
        raise TaskError(str(error)) from None


def _changed(text: str, change: Change) -> str | None:
    """The file of a design; None where the change cannot be written there."""
    try:
        return changed_text(text, change)
    except EditError:
        return None


def _document(found: Comparison, texts: Mapping[str, str | None]) -> dict[str, object]:
    """What was found, with the file of each design, and all designs of the study."""
    document = found.document()
    for entry in document["designs"]:
        entry["text"] = texts[entry["letter"]]
    told = [{"letter": one.letter, "told": one.told} for one in found.study.variants]
    return document | {"variants": told, "sentences": []}
