"""Codes, texts, JSON and the one error."""

from __future__ import annotations

import json
import re

import pytest

from loopwright.finding import (
    REGISTER,
    DesignError,
    Finding,
    Place,
    Severity,
    finding_text,
    findings_json,
    findings_text,
    has_errors,
    in_order,
    new_finding,
)

PLACE = Place(file="p.yaml", line=3, column=9, path="processes.pack.cycle")


def test_every_code_says_what_it_is_and_what_to_do() -> None:
    for code, entry in REGISTER.items():
        assert code == entry.code
        assert re.fullmatch(r"LW[1-9]\d\d", code)
        assert entry.title
        assert entry.remedy
        assert not entry.title.endswith(".")
        assert entry.stage


def test_no_two_codes_share_a_title() -> None:
    titles = [entry.title for entry in REGISTER.values()]
    assert sorted(set(titles)) == sorted(titles)


def test_one_finding_is_one_line() -> None:
    finding = new_finding("LW116", "'0 s' is too small", PLACE, allowed="more than 0 s")
    assert finding_text(finding) == (
        "p.yaml:3:9: error LW116: processes.pack.cycle: '0 s' is too small; "
        "allowed: more than 0 s; remedy: choose a value inside the range"
    )


@pytest.mark.parametrize(
    ("place", "start"),
    [
        (Place(), "error LW201: told"),
        (Place(file="p.yaml"), "p.yaml: error LW201: told"),
        (Place(file="p.yaml", line=2), "p.yaml:2: error LW201: told"),
        (Place(device="row 3 station 17", path="x"), "error LW201: row 3 station 17: told"),
        (Place(path="demand.kit"), "error LW201: demand.kit: told"),
    ],
)
def test_a_place_may_be_known_in_part(place: Place, start: str) -> None:
    assert finding_text(new_finding("LW201", "told", place)).startswith(start)


def test_a_remedy_of_its_own_stands_for_the_standard_one() -> None:
    assert new_finding("LW117", "m", remedy="did you mean 'x'?").remedy == "did you mean 'x'?"
    assert new_finding("LW117", "m").remedy == REGISTER["LW117"].remedy


def test_an_unknown_code_is_a_wrong_call() -> None:
    with pytest.raises(KeyError):
        new_finding("LW999", "m")


def test_a_list_ends_with_a_count() -> None:
    error, warning = new_finding("LW101", "m"), new_finding("LW154", "m")
    assert findings_text([]) == "no findings"
    assert findings_text([error]).splitlines()[-1] == "1 error"
    assert findings_text([error, error, warning]).splitlines()[-1] == "2 errors, 1 warning"
    assert findings_text([warning]).splitlines()[-1] == "1 warning"


def test_order_is_that_of_reading_and_doubles_go() -> None:
    late = new_finding("LW101", "m", Place(file="a", line=10, column=1))
    early = new_finding("LW102", "m", Place(file="a", line=9, column=5))
    assert in_order([late, early, late]) == (early, late)


def test_only_errors_are_errors() -> None:
    assert has_errors([new_finding("LW101", "m")])
    assert not has_errors([new_finding("LW154", "m")])


def test_json_leaves_out_what_is_not_known() -> None:
    finding = Finding("LW104", Severity.ERROR, "é", PLACE)
    assert json.loads(findings_json([finding])) == [
        {
            "code": "LW104",
            "severity": "error",
            "message": "é",
            "file": "p.yaml",
            "line": 3,
            "column": 9,
            "path": "processes.pack.cycle",
        }
    ]


def test_the_error_carries_all_findings_and_tells_them() -> None:
    findings = (new_finding("LW101", "one"), new_finding("LW102", "two"))
    error = DesignError(findings)
    assert error.findings == findings
    assert str(error) == findings_text(findings)
