"""Headers, digests, and writing that never loses the old file."""

from __future__ import annotations

import os
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.record import (
    HeaderError,
    Origin,
    canonical_json,
    check_header,
    digest,
    header,
    write_bytes,
    write_text,
)

DOCUMENTS = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=8,
)


def test_a_header_says_what_is_needed_to_make_the_file_again() -> None:
    head = header("plan", Origin("sha256:00", {"seed": 1}))
    assert list(head) == ["kind", "version", "origin"]
    assert head["kind"] == "plan"
    assert head["origin"]["software"] == "loopwright"
    assert head["origin"]["input"] == "sha256:00"
    assert head["origin"]["parameters"] == {"seed": 1}
    assert head == header("plan", Origin("sha256:00", {"seed": 1}))
    check_header(head, "plan")


@pytest.mark.parametrize(
    "document", [None, [], {}, {"kind": "block", "version": 1}, {"kind": "plan", "version": 2}]
)
def test_files_of_another_kind_are_refused(document: Any) -> None:
    with pytest.raises(HeaderError):
        check_header(document, "plan")


def test_the_digest_does_not_depend_on_the_order_of_keys() -> None:
    assert digest({"a": 1, "b": [2, "é"]}) == digest({"b": [2, "é"], "a": 1})
    assert digest({}) == "sha256:44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"


@given(DOCUMENTS, DOCUMENTS)
def test_other_documents_have_other_digests(one: Any, other: Any) -> None:
    assert (digest(one) == digest(other)) == (canonical_json(one) == canonical_json(other))


def test_what_has_no_form_in_json_has_no_digest() -> None:
    with pytest.raises(TypeError):
        digest({"x": Fraction(1, 3)})
    with pytest.raises(ValueError, match="JSON"):
        digest(float("nan"))


def test_text_is_written_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "plan.txt"
    write_text(path, "é\r\nb\n")
    assert path.read_bytes() == "é\r\nb\n".encode()
    assert path.stat().st_mode & 0o777 == 0o644
    assert [entry.name for entry in tmp_path.iterdir()] == ["plan.txt"]


def test_permissions_of_the_old_file_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "plan.txt"
    path.write_text("old")
    path.chmod(0o600)
    write_bytes(path, b"new")
    assert path.stat().st_mode & 0o777 == 0o600
    assert path.read_bytes() == b"new"


def test_a_link_is_followed(tmp_path: Path) -> None:
    (tmp_path / "real.txt").write_text("old")
    (tmp_path / "link.txt").symlink_to("real.txt")
    write_text(tmp_path / "link.txt", "new")
    assert (tmp_path / "link.txt").is_symlink()
    assert (tmp_path / "real.txt").read_text() == "new"


def test_the_old_file_survives_a_failure(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "plan.txt"
    path.write_text("old")

    def fail(handle: int) -> None:
        raise OSError("disk full")

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(OSError, match="disk full"):
        write_text(path, "new")
    assert path.read_text() == "old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["plan.txt"]


def test_a_missing_folder_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        write_text(tmp_path / "none" / "plan.txt", "x")


def test_a_missing_folder_is_told_by_the_name_that_was_asked_for(tmp_path: Path) -> None:
    target = tmp_path / "away" / "sheet.pdf"
    with pytest.raises(FileNotFoundError) as told:
        write_text(target, "")
    assert told.value.filename == str(target)
