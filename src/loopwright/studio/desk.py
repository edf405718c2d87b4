"""What the server works with: one folder, its files and what is made of them."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field
from pathlib import Path

from loopwright.studio.design import Designs
from loopwright.studio.events import Events, Watch
from loopwright.studio.folder import Folder
from loopwright.studio.history import History
from loopwright.studio.job import Jobs
from loopwright.studio.laid import Drafts


@dataclass(slots=True)
class LiveRuns:
    """How many live runs go on; counted by the event loop alone."""

    open: int = 0


@dataclass(frozen=True, slots=True)
class Desk:
    """The parts of a studio that its endpoints share. Files are written under `writing`."""

    folder: Folder
    history: History
    events: Events
    watch: Watch
    designs: Designs
    jobs: Jobs
    drafts: Drafts = field(default_factory=Drafts)
    runs: LiveRuns = field(default_factory=LiveRuns)
    writing: threading.RLock = field(default_factory=threading.RLock)

    def warm(self) -> None:
        """Load beforehand what a first page and a first job would wait for."""
        self.designs.warm()
        self.jobs.warm()


def open_desk(root: Path) -> Desk:
    """The desk of the folder `root`."""
    folder = Folder(root)
    events = Events()
    return Desk(
        folder=folder,
        history=History(folder),
        events=events,
        watch=Watch(folder, events),
        designs=Designs(folder),
        jobs=Jobs(folder, events.tell),
    )
