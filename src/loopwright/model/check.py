"""Checks across fields."""

from __future__ import annotations

from loopwright.finding import Finding
from loopwright.model.project import Project
from loopwright.model.source import Mapping


def check_references(tree: Mapping, project: Project | None) -> list[Finding]:
    """What is wrong between the parts of a project."""
    return []
