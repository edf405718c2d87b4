"""`loopwright new`."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.typed import type_in


def test_it_writes_a_project_that_checks(tmp_path: Path) -> None:
    typed = type_in("new", tmp_path / "bakery")
    assert typed.code == 0
    assert "bakery.yaml written" in typed.out
    assert "loopwright check" in typed.out
    assert type_in("check", tmp_path / "bakery.yaml").code == 0


def test_the_file_ends_with_a_line_end_and_names_the_project(tmp_path: Path) -> None:
    type_in("new", tmp_path / "bakery")
    data = (tmp_path / "bakery.yaml").read_bytes()
    assert data.endswith(b"\n")
    assert b"\r" not in data
    assert b"bakery" in data


def test_the_ending_may_be_given(tmp_path: Path) -> None:
    assert type_in("new", tmp_path / "press.yaml").code == 0
    assert [path.name for path in tmp_path.iterdir()] == ["press.yaml"]


def test_it_does_not_overwrite(tmp_path: Path) -> None:
    path = tmp_path / "bakery.yaml"
    path.write_text("mine", "utf-8")
    typed = type_in("new", tmp_path / "bakery")
    assert typed.code == 2
    assert typed.out == ""
    assert "is there already" in typed.err
    assert "choose another name" in typed.err
    assert path.read_text("utf-8") == "mine"


def test_it_does_not_write_through_a_link(tmp_path: Path) -> None:
    (tmp_path / "bakery.yaml").symlink_to(tmp_path / "elsewhere")
    assert type_in("new", tmp_path / "bakery").code == 2
    assert not (tmp_path / "elsewhere").exists()


@pytest.mark.parametrize("name", ["", "1st", "a b", "bäckerei", ".hidden", "x" * 65, "a;b", "-"])
def test_names_that_cannot_be_are_refused(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    typed = type_in("new", name)
    assert typed.code == 2
    assert "Traceback" not in typed.err
    assert list(tmp_path.iterdir()) == []


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    typed = type_in("new", tmp_path / "no" / "bakery")
    assert typed.code == 2
    assert "make it first" in typed.err
