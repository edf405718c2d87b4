"""Changes that may make every loop safe: tried, proved, priced; and the file with each of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from loopwright.compare.change import changed_text
from loopwright.compare.remedies.offer import offer_for
from loopwright.compare.remedies.remedy import Remedy, remedies_document, try_remedies
from loopwright.model.edit import EditError
from loopwright.record import write_text
from loopwright.studio.work.task import Task


def run(task: Task) -> None:
    """Try all changes; write the project with the first that helps."""
    laid = task.lay()
    offer = offer_for(laid.project, task.text)
    tried = []
    task.step(0.02, "as it is")
    for one in try_remedies(laid.project, offer):
        tried.append(one)
        task.step(len(tried) / (1 + len(offer.candidates)), f"tried: {one.change}")
        task.result("remedies", laid, _document(task.text, tried, offer.advice))
    best = next((one for one in tried if one.green), None)
    if best is not None and best.change.edits:
        text, _ = _changed(task.text, best)
        if text is not None:
            write_text(task.path(f"{task.stem}-safe.yaml"), text)


def _document(text: str, tried: Sequence[Remedy], advice: Sequence[str]) -> dict[str, Any]:
    """What was tried, and the file with each change; null, and why, where it is not to be had."""
    document = remedies_document(tried, advice)
    for entry, one in zip(document["tried"], tried, strict=True):
        entry["text"], entry["unwritten"] = _changed(text, one)
    return document


def _changed(text: str, remedy: Remedy) -> tuple[str | None, str]:
    if remedy.price is None:
        return None, ""
    try:
        return changed_text(text, remedy.change), ""
    except EditError as error:  # it stands in a catalogue, for instance
        return None, str(error)
