"""What pages and server say to each other: one model a message.

Everything here is turned into types for the pages (`messages.ts`) by `typescript`. Exact numbers
are text, such as "16/3"; lines and columns count from 1; digests begin with "sha256:".
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from loopwright.block.block import Block
from loopwright.finding import finding as told
from loopwright.finding import finding_document
from loopwright.plan.plan import Plan

Step = str | int
Kind = Literal["text", "quantity", "choice", "flag", "list", "map"]
Table = Literal["materials", "processes", "stations", "belts", "pickers"]
JobKind = Literal[
    "prove", "recover", "remedy", "stress", "compare", "simulate", "report", "pdf", "dxf", "svg",
    "png", "tables", "trace", "film",
]  # fmt: skip
JobState = Literal["waiting", "running", "done", "failed", "cancelled", "interrupted"]


class Message(BaseModel):
    """A message: frozen, and with no entry that is not in the contract."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Finding(Message):
    """Something to tell, as `finding_document` has it; null where not known."""

    code: str
    severity: Literal["error", "warning", "note"]
    message: str
    file: str | None = None
    line: int | None = None
    column: int | None = None
    path: str | None = None
    device: str | None = None
    value: str | None = None
    allowed: str | None = None
    remedy: str | None = None


def findings(found: tuple[told.Finding, ...]) -> tuple[Finding, ...]:
    """Findings as messages."""
    return tuple(Finding.model_validate(finding_document(one)) for one in found)


class Failure(Message):
    """Body of every answer with a status of 400 and above."""

    error: str
    findings: tuple[Finding, ...] = ()


# ------------------------------------------------------------------------------ folder and files


class Example(Message):
    """A project that comes with the program; `picture` is a small drawing (SVG) of its rows, empty
    where it makes several products."""

    name: str
    title: str
    about: str
    picture: str


class Limits(Message):
    """The most that is taken: characters of a text, of a table; [bytes]."""

    text: int
    table: int


class Studio(Message):
    """What the studio is and where it works. `film` lists the formats it can write."""

    version: str
    folder: str
    examples: tuple[Example, ...]
    limits: Limits
    film: tuple[str, ...]


class FileEntry(Message):
    """A project file of the folder; `layout` says that an edited layout lies beside it."""

    file: str
    title: str
    digest: str
    size: int
    layout: bool


class NewFile(Message):
    """A file to be made: `source` is "starter", the name of an example or a file of the folder."""

    name: str
    source: str = "starter"


class Rename(Message):
    """Another name for a file; its history and its layout go with it."""

    name: str


class Text(Message):
    """The text of a file and its digest."""

    file: str
    text: str
    digest: str


class Save(Message):
    """A text to be written; `base` is the digest of the text it was made from."""

    text: str
    base: str


class Saved(Message):
    """The file is written. `text` is what it holds now where that is not what was sent: changes of
    someone else on other lines are in it too."""

    digest: str
    text: str | None = None


class Conflict(Message):
    """The file is not written: someone else changed the same lines. `digest` is of `theirs`."""

    error: str
    digest: str
    theirs: str


class Version(Message):
    """A text that the file had; `time` in ISO 8601, UTC. Lines against the version before."""

    id: str
    time: str
    digest: str
    lines_added: int
    lines_removed: int


# ----------------------------------------------------------------------------------------- text


class Check(Message):
    """A text to be checked; `file` is its name in findings, and a catalogue lies beside it."""

    file: str
    text: str


class Checked(Message):
    """What is wrong with a text; `ok` says that there is no error."""

    ok: bool
    digest: str
    findings: tuple[Finding, ...]


class OfText(Message):
    """A text of a file, sent to be worked on; it need not be saved."""

    file: str
    text: str


class FormField(Message):
    """One entry of the project file. `value` is what is written, null where nothing is or where
    other entries stand below it; `default` is what holds then; `unit` as in "cells"; `allowed` are
    words or names that may stand there, `range` says in words what else; `line` is where it is
    written."""

    path: tuple[Step, ...]
    title: str
    help: str
    kind: Kind
    unit: str | None
    allowed: tuple[str, ...]
    range: str
    value: str | None
    default: str | None
    required: bool
    line: int | None
    given: bool


class Form(Message):
    """All entries of a project file, those that are left out too, in the order of the model."""

    fields: tuple[FormField, ...]
    findings: tuple[Finding, ...]


class Edit(Message):
    """One entry to be set in a text: one value, or a list or entries in one line ("[a, b]",
    "{stack: 4}"); null takes the entry out."""

    file: str
    text: str
    path: tuple[Step, ...] = Field(max_length=20)
    value: str | None


class Choose(Message):
    """Entries of `choices` to be set; null puts one back to auto."""

    file: str
    text: str
    choices: dict[str, str | None]


class Import(Message):
    """A table (CSV) whose rows go into the section `kind`; those of the same name are replaced."""

    file: str
    text: str
    kind: Table
    name: str
    table: str


class Edited(Message):
    """A text after an edit; null where that is not possible, and the findings say why."""

    text: str | None
    findings: tuple[Finding, ...] = ()


# ------------------------------------------------------------------------------- plan and block


class AskPlan(Message):
    """A plan to be made, perhaps with another demand ("60/min") or other weights; without its
    drawing it is there sooner."""

    file: str
    text: str
    demand: dict[str, str] = Field(default_factory=dict)
    weights: dict[str, str] = Field(default_factory=dict)
    draw: bool = True


class Planned(Message):
    """The plan of a text; null with findings where there is none. `flow` is a drawing (SVG) that
    takes the colours of the page, null where none was asked for; `titles` are those of processes
    and materials; `demand` and `weights` are those that were asked for, as they are written; `ms`
    is the time it took [ms]."""

    plan: Plan | None
    flow: str | None
    explain: tuple[str, ...]
    findings: tuple[Finding, ...]
    titles: dict[str, str]
    demand: dict[str, str]
    weights: dict[str, str]
    ms: float


class BlockDesign(Message):
    """One row design of an architecture, sized; `key` names it, `picture` is a small drawing (SVG)
    of its rows. `choices` are the entries of the file that choose it."""

    key: str
    block: Block
    picture: str
    choices: dict[str, str | None]


class Blocks(Message):
    """Every block that is possible; `chosen` is the key of the one that the choices of the file
    lead to, null where they lead to none; `site` says that the file lays out a site, where these
    are of one section on its own. `findings` are about that one, `refused` say why others
    are not possible."""

    designs: tuple[BlockDesign, ...]
    chosen: str | None
    site: bool
    findings: tuple[Finding, ...]
    refused: tuple[Finding, ...]
    ms: float


# ----------------------------------------------------------------------------------------- jobs


class AskJob(Message):
    """Work to be done in the background. What `options` may hold depends on the kind."""

    kind: JobKind
    file: str
    text: str
    options: dict[str, Any] = Field(default_factory=dict)


class JobFile(Message):
    """A file that a job made; `size` [bytes]."""

    name: str
    size: int


class Job(Message):
    """Work in the background. `done` from 0 to 1; `note` says what is at hand; times in ISO 8601,
    UTC; `begun` is null while it waits; `digest` is of the text it works on."""

    id: str
    kind: JobKind
    file: str
    digest: str
    options: dict[str, Any]
    state: JobState
    done: float
    note: str
    made: str
    begun: str | None = None
    ended: str | None
    files: tuple[JobFile, ...]
    error: str | None
    findings: tuple[Finding, ...]


class JobResult(Message):
    """A job and what it found so far: the document of the command of the same name."""

    job: Job
    result: Any


class JobChanged(Message):
    """A job was made, went on or ended; null: it was taken off the list."""

    type: Literal["job"] = "job"
    id: str
    job: Job | None


class FileChanged(Message):
    """A file was changed, by whomever; null: it is gone."""

    type: Literal["file"] = "file"
    file: str
    digest: str | None
