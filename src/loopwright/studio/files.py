"""Endpoints of the folder: what is in it, texts, and what the studio is."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from starlette.routing import Route

from loopwright.drawing.film import film_formats
from loopwright.model.example import EXAMPLES, example_path
from loopwright.model.parse import parse_text
from loopwright.model.source import Mapping, Scalar, walk
from loopwright.model.starter import starter_text
from loopwright.record.header import software_version
from loopwright.studio.answer import MOST_TABLE, MOST_TEXT, answers, answers_to
from loopwright.studio.desk import Desk
from loopwright.studio.folder import Held, project_file
from loopwright.studio.message import (
    Example,
    FileEntry,
    Limits,
    NewFile,
    Rename,
    Save,
    Saved,
    Studio,
    Text,
    Version,
)
from loopwright.studio.refusal import RefusalError
from loopwright.studio.save import save_text

Parts = dict[str, str]


def _studio(desk: Desk, _parts: Parts) -> Studio:
    examples = []
    for name in EXAMPLES:
        title, about = head_of(_example(name))
        picture = desk.designs.picture(name, _example(name))
        examples.append(Example(name=name, title=title, about=about, picture=picture))
    return Studio(
        version=software_version(),
        folder=desk.folder.root.name,
        examples=tuple(examples),
        limits=Limits(text=MOST_TEXT, table=MOST_TABLE),
        film=film_formats(),
    )


def _list(desk: Desk, _parts: Parts) -> list[FileEntry]:
    entries = []
    for file in desk.folder.names():
        try:
            entries.append(_entry(desk, file, desk.folder.read(file)))
        except RefusalError:
            continue
    return entries


def _new(desk: Desk, _parts: Parts, asked: NewFile) -> FileEntry:
    file = project_file(asked.name)
    desk.folder.path(file)
    layout = None
    if asked.source == "starter":
        text = starter_text(Path(file).stem)
    elif asked.source in EXAMPLES:
        text = _example(asked.source)
    else:
        text = desk.folder.read(asked.source).text
        layout = desk.folder.layout_path(asked.source)
    with desk.writing:
        digest = save_text(desk, file, text, "").digest
        if layout is not None and layout.is_file():
            kept = desk.folder.layout_path(file).name
            desk.folder.write(kept, desk.folder.read(layout.name).text)
    return _entry(desk, file, Held(text, digest))


def _rename(desk: Desk, parts: Parts, asked: Rename) -> FileEntry:
    file, other = parts["file"], project_file(asked.name)
    with desk.writing:
        desk.folder.move(file, other)
        held = desk.folder.read(other)
    desk.watch.wrote(file, None)
    desk.watch.wrote(other, held.digest)
    return _entry(desk, other, held)


def _text(desk: Desk, parts: Parts) -> Text:
    held = desk.folder.read(parts["file"])
    desk.history.remember(held.digest, held.text)
    return Text(file=parts["file"], text=held.text, digest=held.digest)


def _save(desk: Desk, parts: Parts, asked: Save) -> Saved:
    return save_text(desk, parts["file"], asked.text, asked.base)


def _history(desk: Desk, parts: Parts) -> tuple[Version, ...]:
    desk.folder.path(parts["file"])
    return desk.history.versions(parts["file"])


def _version(desk: Desk, parts: Parts) -> Text:
    desk.folder.path(parts["file"])
    found = desk.history.read(parts["file"], parts["version"])
    if found is None:
        raise RefusalError(404, "That version is no longer kept.")
    text, digest = found
    return Text(file=parts["file"], text=text, digest=digest)


def _entry(desk: Desk, file: str, held: Held) -> FileEntry:
    title, _ = head_of(held.text)
    return FileEntry(
        file=file,
        title=title or file,
        digest=held.digest,
        size=len(held.text.encode("utf-8")),
        layout=desk.folder.layout_path(file).is_file(),
    )


def _example(name: str) -> str:
    return example_path(name).read_text(encoding="utf-8")


@lru_cache(maxsize=200)
def head_of(text: str) -> tuple[str, str]:
    """Name and purpose of the project in `text`; empty where it does not say."""
    tree, _ = parse_text(text, "project")
    if not isinstance(tree, Mapping):
        return "", ""
    found = [list(walk(tree, ("project", key))) for key in ("name", "about")]
    name, about = (
        nodes[2].text or "" if len(nodes) == 3 and isinstance(nodes[2], Scalar) else ""
        for nodes in found
    )
    return name, about


ROUTES = (
    Route("/api/studio", answers(_studio)),
    Route("/api/files", answers(_list)),
    Route("/api/files", answers_to(NewFile, _new), methods=["POST"]),
    Route("/api/files/{file}", answers(_text)),
    Route("/api/files/{file}", answers_to(Save, _save), methods=["PUT"]),
    Route("/api/files/{file}/rename", answers_to(Rename, _rename), methods=["POST"]),
    Route("/api/files/{file}/history", answers(_history)),
    Route("/api/files/{file}/history/{version}", answers(_version)),
)
