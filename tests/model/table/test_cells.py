"""The text of tables: delimiters, quotes, line ends, encodings, places of cells."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.finding import has_errors
from loopwright.model.table import import_tables
from loopwright.model.table.cell import split_cells
from loopwright.model.table.imported import finish
from loopwright.model.table.load import load_table
from loopwright.model.table.read import Reading

TABLE = "name,title,stack\ncandle,Céramique,4\n"


def test_cells_know_their_places() -> None:
    text = 'a, b ,"c ""x"""\r\n"two\nlines",  "q" ,\n\n,,\nlast,1,2'
    rows, findings = split_cells(text, "t", ",")
    assert findings == ()
    cells = [(c.text, c.spot.line, c.spot.column) for row in rows for c in row]
    assert cells == [
        ("a", 1, 1),
        ("b", 1, 4),
        ('c "x"', 1, 7),
        ("two\nlines", 2, 1),
        ("q", 3, 10),
        ("", 3, 15),
        ("last", 6, 1),
        ("1", 6, 6),
        ("2", 6, 8),
    ]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig"])
def test_all_forms_of_one_table_give_one_text(
    end: str, delimiter: str, codec: str, tmp_path: Path
) -> None:
    path = tmp_path / "materials.csv"
    path.write_bytes(TABLE.replace("\n", end).replace(",", delimiter).encode(codec))
    found = import_tables([path])
    assert found.text is not None
    assert "  candle: {title: Céramique, stack: 4}\n" in found.text
    assert {finding.code for finding in found.findings} == {"LW168"}


def test_a_table_in_latin_1_is_read_with_a_warning(tmp_path: Path) -> None:
    path = tmp_path / "materials.csv"
    path.write_bytes(TABLE.encode("latin-1"))
    found = import_tables([path])
    assert found.text is not None
    assert "Céramique" in found.text
    warning = found.findings[-1]
    assert (warning.code, warning.place.line, warning.place.column) == ("LW165", 2, 9)


@pytest.mark.parametrize(
    "data", [b"name\x00,title\n", TABLE.encode("utf-16"), b"\xff\xfe\x00\xd8", b"name\n\x81\n"]
)
def test_bytes_that_are_no_text_are_refused(data: bytes, tmp_path: Path) -> None:
    path = tmp_path / "materials.csv"
    path.write_bytes(data)
    text, findings = load_table(path, "materials.csv")
    assert text is None
    assert [finding.code for finding in findings] == ["LW103"]


def test_a_missing_table_and_a_folder_are_told_together(tmp_path: Path) -> None:
    found = import_tables([tmp_path / "none.csv", tmp_path])
    assert [finding.code for finding in found.findings] == ["LW101", "LW101"]
    assert found.text is None


WORDS = "name title station cycle inputs outputs speed swing stack [s] process side material"
WORDS += ' amount input , ; + " ( 1,5 1.250 kiln 0 - é'
PIECES = st.sampled_from([*WORDS.split(), *"\t\n ", "\r\n", "2 candle", "60 s", "\ufeff", "\u2028"])


def judge(text: str, stem: str = "t") -> None:
    reading = Reading()
    reading.add_text(text, f"{stem}.csv", stem)
    found = finish(reading, "any", [("kit", "60/min")])
    assert (found.text is None) == has_errors(found.findings)
    assert all(finding.remedy for finding in found.findings)


@given(st.lists(PIECES, max_size=40).map("".join), st.sampled_from(["t", "belts", "stations"]))
def test_any_run_of_pieces(text: str, stem: str) -> None:
    judge(text, stem)


PROCESSES = "name,title,station,cycle [s],inputs,outputs\nfire,Fire,kiln,60,8 clay,1 kit\n"


@given(st.integers(0, len(PROCESSES)), st.integers(0, 9), PIECES | st.text(max_size=4))
def test_a_good_table_with_a_piece_replaced(start: int, length: int, piece: str) -> None:
    judge(PROCESSES[:start] + piece + PROCESSES[start + length :])


@given(data=st.binary(max_size=120))
def test_any_bytes(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    path = tmp_path_factory.mktemp("any") / "t.csv"
    path.write_bytes(data)
    found = import_tables([path])
    assert (found.text is None) == has_errors(found.findings)
