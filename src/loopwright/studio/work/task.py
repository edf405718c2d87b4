"""One task of the worker: what it works on, and how it tells of its progress."""

from __future__ import annotations

import json
import re
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any, TypeVar

from loopwright.model import Project
from loopwright.record import Origin, digest, header, write_text
from loopwright.simulate.scenario import Scenario, laid_scenario
from loopwright.studio.folder import Folder
from loopwright.studio.gated import lay_gated
from loopwright.studio.laid import Drafts, Laid
from loopwright.studio.message import Message

RESULT, FILES = "result.json", "files"

PACE = 0.2
"""Least time between two tellings [s]; more would only keep the pages busy."""

Options = TypeVar("Options", bound=Message)


class TaskError(Exception):
    """The task cannot be done as it was asked for; the message says why."""


@dataclass
class Task:
    """`home` is the folder of the job; `tell` is given what is done, from 0 to 1, and a note."""

    kind: str
    file: str
    text: str
    options: dict[str, Any]
    folder: Folder
    home: Path
    drafts: Drafts
    tell: Callable[[float, str], None]
    _told: float = field(default=0.0, init=False)
    _kind: str = field(default="", init=False)

    def lay(self, gate: str | None = None) -> Laid:
        """Everything up to the layout, with `gate` in place of the file's where one is given;
        errors as `lay_gated`."""
        self.step(0, "laying out")
        return lay_gated(self.drafts, self.folder, self.file, self.text, gate)

    def read_options(self, model: type[Options]) -> Options:
        """What the task was told."""
        return model.model_validate_json(json.dumps(self.options))

    def step(self, done: float, note: str) -> None:
        """Tell how far it is, at a pace that pages can follow; another kind of note at once."""
        now, kind = time.monotonic(), re.sub(r"\d+", "", note)
        if kind != self._kind or now - self._told >= PACE:
            self._told, self._kind = now, kind
            self.tell(min(max(done, 0.0), 1.0), note)

    def part(self, note: str, first: float = 0.0, last: float = 1.0) -> Callable[[float], None]:
        """A function for the progress of a part of the work, from `first` to `last` of it."""
        return lambda share: self.step(first + (last - first) * share, note)

    def result(self, kind: str, laid: Laid, body: dict[str, Any]) -> None:
        """Keep what was found so far about a layout; as `keep`."""
        self.keep(kind, laid.project, body)

    def keep(self, kind: str, project: Project, body: dict[str, Any]) -> None:
        """Keep what was found so far, as the command of that name would print it."""
        origin = Origin(digest(project.document()), self.options)
        text = json.dumps(header(kind, origin) | body, ensure_ascii=False, allow_nan=False)
        write_text(self.home / RESULT, text)

    def path(self, name: str) -> Path:
        """Where a file that the job makes is to be written."""
        place = self.home / FILES
        place.mkdir(exist_ok=True)
        return place / name

    @property
    def stem(self) -> str:
        """Name of the project file without its ending."""
        return Path(self.file).stem


def scenario_of(laid: Laid, name: str | None, span: Fraction | None = None) -> Scenario:
    """A scenario of the project by name, None for the first; over `span` [s] where one is given.

    Raises
    ------
    TaskError
        There is none of that name, or nothing is left after its warm-up.
    """
    known = laid.project.scenarios
    wanted = next(iter(known)) if name is None else name
    if wanted not in known:
        raise TaskError(f"There is no scenario {wanted!r}; the file has {', '.join(known)}.")
    entry = known[wanted]
    if span is not None:
        entry = entry.of_span(span)
        if not isinstance(entry.warm_up, str) and entry.warm_up >= span:
            raise TaskError(f"{wanted}: nothing is left after the warm-up of {entry.warm_up} s.")
    return laid_scenario(entry, wanted, laid.layout)


def scenarios_of(laid: Laid, names: tuple[str, ...], span: Fraction | None) -> list[Scenario]:
    """The scenarios of these names, all where none is named; `span` and errors as `scenario_of`."""
    return [scenario_of(laid, name, span) for name in names or laid.project.scenarios]
