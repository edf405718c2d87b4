"""The page docs/files/project.md, written from the models: python -m tests.model.project_page."""

from __future__ import annotations

from pathlib import Path

from loopwright.model.page import project_page

PAGE = Path(__file__).parents[2] / "docs" / "files" / "project.md"

if __name__ == "__main__":
    PAGE.write_text(project_page(), encoding="utf-8", newline="\n")
