"""A numbered part of the report."""

from __future__ import annotations

from dataclasses import dataclass

from loopwright.report.html import Html


@dataclass(frozen=True, slots=True)
class Section:
    """`anchor` is its id in the page; `note` says in a sentence what it tells."""

    anchor: str
    title: str
    note: str
    body: Html
