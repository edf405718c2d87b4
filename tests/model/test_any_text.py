"""Whatever the file holds, there are findings or a project, never a failure."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from loopwright.finding import has_errors
from loopwright.model import check_project, check_text, starter_text
from loopwright.model.load import load_text

STARTER = starter_text("Kits")
LINES = STARTER.splitlines()
PIECES = st.sampled_from(
    [
        *("\t", "  ", ":", "- ", "{", "}", "[", "]", '"', "'", "&a ", "*a", "!!int ", "<<: ", "|"),
        *("---\n", "...\n", "%YAML 1.1\n", "? ", "#", "\n", "\r", "null", "~", "-1", "1e9", ">"),
        *("\u2028", "\x85", "\ufeff", "é", "\U0001d518", "0x10", "2026-11-01", "yes", ", ", "@"),
        *("`", "\\", ".nan"),
    ]
)


def judge(text: str) -> None:
    project, findings = check_text(text)
    assert (project is None) == has_errors(findings)
    for finding in findings:
        assert finding.place.file == "project"
        assert finding.remedy


@given(st.text(max_size=200))
def test_any_text(text: str) -> None:
    judge(text)


@given(st.lists(PIECES, max_size=30).map("".join))
def test_any_run_of_pieces_of_yaml(text: str) -> None:
    judge(text)


@given(st.integers(0, len(STARTER)), st.integers(0, 12), PIECES | st.text(max_size=4))
def test_the_starter_with_a_piece_replaced(start: int, length: int, piece: str) -> None:
    judge(STARTER[:start] + piece + STARTER[start + length :])


@given(st.integers(0, len(LINES) - 1), st.integers(0, len(LINES) - 1), st.integers(-3, 3))
def test_the_starter_with_a_line_moved(start: int, end: int, indent: int) -> None:
    lines = list(LINES)
    line = lines.pop(start)
    line = " " * indent + line if indent >= 0 else line[-indent:]
    lines.insert(end, line)
    judge("\n".join(lines))


@given(st.integers(0, len(STARTER)))
def test_the_starter_cut_off(end: int) -> None:
    judge(STARTER[:end])


@given(data=st.binary(max_size=100))
def test_any_bytes(tmp_path_factory: object, data: bytes) -> None:
    path = tmp_path_factory.mktemp("any") / "p.yaml"  # type: ignore[attr-defined]
    path.write_bytes(data)
    project, findings = check_project(path)
    assert (project is None) == has_errors(findings)
    text, found = load_text(path, "p.yaml")
    assert (text is None) == bool(found)
