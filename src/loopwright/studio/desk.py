"""What the server works with: one folder, its files and what is made of them."""

from __future__ import annotations

from dataclasses import dataclass

from loopwright.studio.folder import Folder


@dataclass(frozen=True, slots=True)
class Desk:
    """The parts of a studio that its endpoints share."""

    folder: Folder
