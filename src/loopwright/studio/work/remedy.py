"""Changes that may make every loop safe: tried, proved, priced; and the file with the first."""

from __future__ import annotations

from loopwright.compare.change import changed_text
from loopwright.compare.remedy import changes_for, remedies_document, try_remedies
from loopwright.model.edit import EditError
from loopwright.record import write_text
from loopwright.studio.work.task import Task


def run(task: Task) -> None:
    """Try all changes; write the project with the first that helps."""
    laid = task.lay()
    count = 1 + sum(1 for _ in changes_for(laid.project))
    tried = []
    task.step(0.02, "as it is")
    for one in try_remedies(laid.project):
        tried.append(one)
        task.step(len(tried) / count, f"tried: {one.change}")
        task.result("remedies", laid, remedies_document(tried))
    best = next((one for one in tried if one.green), None)
    if best is not None and best.change.edits:
        try:
            text = changed_text(task.text, best.change)
        except EditError:  # it stands in a catalogue: the result says what to change
            return
        write_text(task.path(f"{task.stem}-safe.yaml"), text)
