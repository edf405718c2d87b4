"""`loopwright check`, and how every command meets a file that is no project."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.typed import type_in

READERS = ["check", "plan", "block"]

BROKEN = {
    "empty": b"",
    "white space": b"\n\n  \n",
    "no text": bytes(range(256)),
    "not closed": b"project: {name: x\n",
    "tab": b"project:\n\tname: x\n",
    "a list": b"- 1\n- 2\n",
    "a word": b"hello\n",
    "twice": b"project:\n  name: x\nproject:\n  name: y\n",
    "python object": b"project: !!python/object/apply:os.system ['true']\n",
    "aliases": b"a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\nproject: *c\n",
    "deep": b"project: " + b"[" * 5000 + b"\n",
    "unknown section": b"projekt:\n  name: x\n",
}


def test_a_good_file_has_no_findings(starter: Path) -> None:
    typed = type_in("check", starter)
    assert typed.code == 0
    assert typed.out == "no findings\n"
    assert typed.err == ""


def test_a_misspelt_section_is_found_with_its_place(misspelt: Path) -> None:
    typed = type_in("check", misspelt)
    assert typed.code == 2
    assert f"{misspelt}:" in typed.out
    assert "LW111" in typed.out
    assert "'demand'" in typed.out


def test_json_is_one_document_with_a_header(starter: Path, misspelt: Path) -> None:
    good = type_in("check", starter, "--json").document
    bad = type_in("check", misspelt, "--json").document
    for document in (good, bad):
        assert list(document)[:3] == ["kind", "version", "origin"]
        assert document["kind"] == "findings"
        assert document["origin"]["software"] == "loopwright"
        assert document["origin"]["input"].startswith("sha256:")
    assert good["findings"] == []
    assert "LW111" in {finding["code"] for finding in bad["findings"]}


@pytest.mark.parametrize("command", READERS)
@pytest.mark.parametrize("what", BROKEN)
def test_a_broken_file_ends_with_2_and_findings(command: str, what: str, tmp_path: Path) -> None:
    path = tmp_path / "broken.yaml"
    path.write_bytes(BROKEN[what])
    typed = type_in(command, path)
    assert typed.code == 2
    assert "error LW1" in typed.out + typed.err
    assert "Traceback" not in typed.out + typed.err


@pytest.mark.parametrize("command", READERS)
def test_a_broken_file_gives_one_document_too(command: str, misspelt: Path) -> None:
    typed = type_in(command, misspelt, "--json")
    assert typed.code == 2
    assert typed.document["kind"] == "findings"
    assert typed.document["findings"]


@pytest.mark.parametrize("command", READERS)
def test_a_missing_file_or_a_folder_is_bad_input(command: str, tmp_path: Path) -> None:
    for path in (tmp_path / "none.yaml", tmp_path):
        typed = type_in(command, path)
        assert typed.code == 2
        assert "LW101" in typed.out + typed.err


@pytest.mark.parametrize("command", READERS)
def test_no_file_at_all_is_wrong_use(command: str) -> None:
    typed = type_in(command)
    assert typed.code == 2
    assert typed.out == ""
    assert "Usage:" in typed.err
