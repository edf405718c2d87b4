"""Sizes and names of files, and what no file may say."""

from __future__ import annotations

import re

import pytest

from tests.repository.repository import ROOT, python_files, short, source_files, tracked_files

MOST_LINES = 400
NO_NAMES = {"utils", "util", "helpers", "helper", "common", "core", "misc", "tools", "shared"}

# Written in pieces, so that this file does not say them itself.
NO_TEXTS = {
    "a folder of one machine": re.compile(r"/(?:work|home/\w+|root|Users/\w+)/"),
    "the address of a package index": re.compile(
        r"\bpypi\." + r"org|files\.pythonhosted\." + r"org|registry\.npmjs\." + r"org",
        re.IGNORECASE,
    ),
    "an address inside a network": re.compile(
        r"\b(?:10\.\d{1,3}|192\.168|172\.(?:1[6-9]|2\d|3[01]))\.\d{1,3}\.\d{1,3}\b"
    ),
    "a key or a password": re.compile(
        r"-----BEGIN [A-Z ]*PRIVATE KEY|\bgh[pousr]_\w{20}|\bAKIA[0-9A-Z]{16}\b"
    ),
}
BINARY = {".png", ".webp", ".gif", ".apng", ".pdf", ".woff2", ".ico", ".zst", ".parquet"}


def test_source_files_stay_short() -> None:
    lengths = {short(path): len(path.read_text("utf-8").splitlines()) for path in source_files()}
    assert {name: count for name, count in lengths.items() if count >= MOST_LINES} == {}


def test_no_module_is_named_for_what_came_later() -> None:
    found = [
        short(path)
        for path in python_files()
        if NO_NAMES & {part.strip("_") for part in path.relative_to(ROOT).with_suffix("").parts}
    ]
    assert found == []


@pytest.mark.parametrize("what", NO_TEXTS)
def test_no_file_says(what: str) -> None:
    pattern = NO_TEXTS[what]
    found = [
        f"{short(path)}:{number}"
        for path in tracked_files()
        if path.suffix not in BINARY
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if pattern.search(line)
    ]
    assert found == []


def test_no_file_is_large() -> None:
    found = [short(path) for path in tracked_files() if path.stat().st_size > 2_000_000]
    assert found == []


def test_the_changelog_has_a_place_for_what_is_new() -> None:
    text = (ROOT / "CHANGELOG.md").read_text("utf-8")
    assert re.search(r"^## Unreleased$", text, re.MULTILINE)


def test_the_lock_names_hashes_and_no_address() -> None:
    for name in ("requirements.lock", "requirements-uv.lock"):
        text = (ROOT / name).read_text("utf-8")
        pins = re.findall(r"^[a-z0-9][^\s]*==", text, re.MULTILINE)
        blocks = re.split(r"^(?=[a-z0-9][^\s]*==)", text, flags=re.MULTILINE)[1:]
        assert pins
        assert all("--hash=sha256:" in block for block in blocks)
        assert "://" not in text
        assert not re.search(r"^--?(?:index|extra|find|trusted)", text, re.MULTILINE)
