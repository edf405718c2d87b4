"""The tutorial works: its commands run in this order, and say what the page says they say.

With --update, the outputs on the page are written anew. Outputs of later stages are not compared:
their own tests do that.
"""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from tests.cli.typed import type_in

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "tutorial" / "from-tables-to-plan.md"
BLOCK = re.compile(r"```console(?P<mark>[^\n]*)\n(?P<body>.*?)```", re.DOTALL)
COMPARED = ("import", "check")
MOST_LINES = 34


def _lines(body: str) -> list[str]:
    return [line[2:] for line in body.splitlines() if line.startswith("$ ")]


def _run(line: str) -> tuple[int, str]:
    """Exit code and output of a command; of other programs, nothing."""
    words = shlex.split(line)
    if words[0] != "loopwright":
        return 0, ""
    typed = type_in(*words[1:])
    said = [typed.out.rstrip("\n"), typed.err.rstrip("\n")]
    return typed.code, "\n".join(text for text in said if text)


def _shown(output: str) -> str:
    lines = output.splitlines()
    if len(lines) > MOST_LINES:
        lines = [*lines[: MOST_LINES - 1], "..."]
    return "".join(f"{line}".rstrip() + "\n" for line in lines)


def test_the_tutorial_runs_and_says_what_it_shows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    shutil.copytree(ROOT / "examples" / "tables", tmp_path / "try")
    monkeypatch.chdir(tmp_path / "try")
    fresh = request.config.getoption("--update")

    def renewed(found: re.Match[str]) -> str:
        said: dict[str, str] = {}
        for line in _lines(found["body"]):
            code, output = _run(line)
            assert code == (2 if "fails" in found["mark"] else 0), output
            said[line] = output
        if not fresh and not all(
            line.split()[0] != "loopwright" or line.split()[1] in COMPARED for line in said
        ):
            return found.group()
        body = "".join(f"$ {line}\n{_shown(output)}" for line, output in said.items())
        return f"```console{found['mark']}\n{body}```"

    text = PAGE.read_text("utf-8")
    again = BLOCK.sub(renewed, text)
    if fresh:
        PAGE.write_text(again, encoding="utf-8", newline="\n")
    assert again == PAGE.read_text("utf-8")
    assert (tmp_path / "try" / "kits.html").stat().st_size > 10_000


def test_the_table_on_the_page_is_the_one_that_ships() -> None:
    table = (ROOT / "examples" / "tables" / "processes.csv").read_text("utf-8")
    assert f"```csv\n{table}```" in PAGE.read_text("utf-8")
