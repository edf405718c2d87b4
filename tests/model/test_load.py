"""Files that cannot be read at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from loopwright.finding import DesignError, Finding
from loopwright.model import check_project, read_project, starter_text


def only_finding(path: Path | str) -> Finding:
    project, findings = check_project(path)
    assert project is None
    assert len(findings) == 1
    with pytest.raises(DesignError) as caught:
        read_project(path)
    assert caught.value.findings == findings
    return findings[0]


def test_no_such_file(tmp_path: Path) -> None:
    found = only_finding(tmp_path / "none.yaml")
    assert found.code == "LW101"
    assert found.place.file == str(tmp_path / "none.yaml")


def test_a_folder(tmp_path: Path) -> None:
    assert only_finding(tmp_path).message == "this is a folder, not a file"


@pytest.mark.parametrize("path", ["", "a\x00b", "x" * 5000])
def test_paths_that_are_none(path: str) -> None:
    assert only_finding(path).code == "LW101"


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    assert only_finding(tmp_path / "pipe").message == "this is not an ordinary file"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read(tmp_path: Path) -> None:
    path = tmp_path / "p.yaml"
    path.write_text("x")
    path.chmod(0)
    assert only_finding(path).code == "LW101"


def test_a_file_that_is_too_large(tmp_path: Path) -> None:
    path = tmp_path / "p.yaml"
    path.write_bytes(b"#" * 2_000_001)
    assert only_finding(path).code == "LW102"
    path.write_bytes(b"#" * 2_000_000)
    assert only_finding(path).code == "LW109"


@pytest.mark.parametrize(
    ("data", "line", "column", "said"),
    [
        (b"\x89PNG\r\n\x1a\n\x00\x00", 1, 1, "byte 0x89"),
        ("a: 1\nname: Café\n".encode("latin-1"), 2, 10, "byte 0xe9"),
        ("a: 1\n".encode("utf-16"), 1, 1, "byte 0xff"),
        (b"a: 1\nb: \x00\n", 2, 4, "U+0000"),
        (b"a: \x1b[31mred\n", 1, 4, "U+001B"),
    ],
)
def test_files_that_are_no_text(
    tmp_path: Path, data: bytes, line: int, column: int, said: str
) -> None:
    path = tmp_path / "p.yaml"
    path.write_bytes(data)
    found = only_finding(path)
    assert found.code == "LW103"
    assert (found.place.line, found.place.column) == (line, column)
    assert said in found.message


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_line_ends_and_byte_order_marks_do_not_matter(
    tmp_path: Path, end: str, mark: bytes
) -> None:
    path = tmp_path / "p.yaml"
    path.write_bytes(mark + starter_text("Kits").replace("\n", end).encode())
    project, findings = check_project(path)
    assert findings == ()
    assert project is not None
    assert project.project.name == "Kits"
