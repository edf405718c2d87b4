"""A text, laid out: what stands on the floor, and the stages that it came from."""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path

from loopwright.finding import DesignError, Finding, Severity
from loopwright.layout import Design, check_layout, design_project
from loopwright.layout.read import layout_from_yaml
from loopwright.model.read import check_text
from loopwright.record import bytes_digest
from loopwright.studio.folder import Folder

KEPT = 8
"""Layouts kept, the last used ones."""


@dataclass(frozen=True, slots=True)
class Laid(Design):
    """`edited` says that the layout comes from the one beside the file; `digest` is of all that it
    came from; `findings` are those of the layout."""

    edited: bool
    digest: str
    findings: tuple[Finding, ...]


class Drafts:
    """Lays texts out, each once."""

    def __init__(self) -> None:
        self._kept: OrderedDict[tuple[Path, str], Laid] = OrderedDict()
        self._turn = threading.Lock()

    def lay(self, folder: Folder, file: str, text: str) -> Laid:
        """The layout of `text`; the one edited by hand beside `file`, where there is one.

        Raises
        ------
        DesignError
            The text or the edited layout has errors, or a stage cannot go on.
        RefusalError
            The edited layout cannot be read.
        """
        path = folder.layout_path(file)
        hand = folder.read(path.name).text if path.exists() else ""
        digest = bytes_digest("\0".join((file, text, hand)).encode())
        key = (folder.root, digest)
        with self._turn:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        laid = _laid(folder, file, text, (path.name, hand) if hand else None, digest)
        with self._turn:
            self._kept[key] = laid
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        return laid


def _laid(folder: Folder, file: str, text: str, hand: tuple[str, str] | None, digest: str) -> Laid:
    project, findings = check_text(text, file, folder.root)
    if project is None:
        raise DesignError(findings)
    read = None
    if hand is not None:
        read, told = layout_from_yaml(hand[1], hand[0])
        if read is None:
            raise DesignError(told)
    made = design_project(project, read)
    found = check_layout(made.layout)
    faults = tuple(one for one in found if one.severity is Severity.ERROR)
    if faults:
        raise DesignError(faults)
    return Laid(
        made.project, made.plan, made.block, made.sections, made.layout,
        hand is not None, digest, found,
    )  # fmt: skip
