"""Findings of later stages, which know key paths only, with their place in the file."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from loopwright.finding import Finding
from loopwright.model.catalogue import with_catalogue
from loopwright.model.load import load_text
from loopwright.model.parse import parse_text
from loopwright.model.source import Mapping, nearest_spot

_STEP = re.compile(r"([^.\[\]]+)|\[([0-9]{1,6})\]")


def locate_findings(findings: Iterable[Finding], path: Path | str) -> tuple[Finding, ...]:
    """The same findings; those with a key path and no line get the place in the file at `path`.

    A place that the file does not spell out becomes that of the nearest key around it. Where the
    file cannot be read any more, the findings stay as they are.
    """
    text, _ = load_text(Path(path), str(path))
    if text is None:
        return tuple(findings)
    tree = whole_tree(text, str(path), Path(path).parent)
    return tuple(findings) if tree is None else locate_in_tree(findings, tree)


def whole_tree(text: str, file: str, folder: Path | None = None) -> Mapping | None:
    """The tree of a project file with its catalogue, None where it is none; as `check_text`."""
    tree, _ = parse_text(text, file)
    return with_catalogue(tree, folder)[0] if isinstance(tree, Mapping) else None


def locate_in_tree(findings: Iterable[Finding], tree: Mapping) -> tuple[Finding, ...]:
    """As `locate_findings`, by a tree that is read already."""
    return tuple(_located(finding, tree) for finding in findings)


def path_steps(path: str) -> tuple[str | int, ...]:
    """The steps of a key path as findings show it, such as site.docks[2].rate; lists count from 1
    there and from 0 here."""
    found = _STEP.findall(path)
    return tuple(key if key else max(0, int(index) - 1) for key, index in found)


def _located(finding: Finding, tree: Mapping) -> Finding:
    place = finding.place
    if place.path is None or place.line is not None:
        return finding
    spot = nearest_spot(tree, path_steps(place.path))
    where = replace(place, file=spot.file, line=spot.line, column=spot.column)
    return replace(finding, place=where)
