"""A certificate is read aloud, read back, and falls with any one number in it."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import Any

import pytest

from loopwright.layout import layout_document
from loopwright.layout.layout import Layout
from loopwright.prove.certificate import (
    Certificate,
    CertificateError,
    certificate_text,
    read_certificate,
)
from loopwright.prove.checker import check_certificate
from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_recovery, find_safety
from loopwright.prove.rings import find_rings
from loopwright.record import HeaderError, digest
from tests.prove.loops import kits, small_loop, with_caps, with_quotas
from tests.prove.trunks import row_of_loops

QUOTAS = {"A": 3, "B": 3}


def _claims(layout: Layout) -> tuple[Claim, ...]:
    found = [find(ring) for ring in find_rings(layout) for find in (find_safety, find_recovery)]
    return tuple(claim for claim in found if isinstance(claim, Claim))


def _certificate(layout: Layout) -> Certificate:
    return Certificate(digest(layout_document(layout)), {}, _claims(layout))


@cache
def _case(name: str) -> tuple[Certificate, dict[str, Any]]:
    layout = {
        "quota": lambda: small_loop(quotas=QUOTAS),
        "one material": lambda: small_loop("open", needs={"A": 2}),
        "ratio": lambda: small_loop("ratio-locked", pattern="AB", load=2, lane=9, back=9),
        "flow": lambda: small_loop("windowed", quotas=QUOTAS, cycle=12),
        "kits": lambda: kits(gate="windowed"),
        "trunk": lambda: row_of_loops(Fraction(9, 10)),
        "trunks": lambda: kits(supply="trunks"),
    }[name]()
    return _certificate(layout), layout_document(layout)


CASES = {
    "quota": ["quota"],
    "one material": ["quota"],
    "ratio": ["ratio"],
    "flow": ["quota", "flow"],
    "kits": ["quota", "flow"] * 6,
    "trunk": ["quota"] * 3,
    "trunks": ["quota", "flow", *["quota"] * 5],
}


@pytest.mark.parametrize("name", CASES)
def test_what_the_finder_proves_the_checker_accepts(name: str) -> None:
    certificate, document = _case(name)
    assert [claim.theorem for claim in certificate.claims] == CASES[name]
    text = certificate_text(certificate)
    assert read_certificate(text) == certificate
    assert check_certificate(read_certificate(text), document) == ()


def _refused(text: str, document: dict[str, Any]) -> bool:
    try:
        return check_certificate(read_certificate(text), document) != ()
    except (CertificateError, HeaderError):
        return True


@pytest.mark.parametrize("name", ["quota", "one material", "ratio", "flow", "trunk"])
@pytest.mark.parametrize("by", [1, -1])
def test_any_one_number_altered_is_refused(name: str, by: int) -> None:
    certificate, document = _case(name)
    text = certificate_text(certificate)
    body = text.index("\nloop: ")
    places = list(re.finditer(r"\d+", text[body:]))
    assert len(places) >= 25
    for place in places:
        start, stop = body + place.start(), body + place.end()
        altered = text[:start] + str(int(place.group()) + by) + text[stop:]
        assert _refused(altered, document), altered[start - 40 : stop + 20]


@pytest.mark.parametrize("name", ["quota", "ratio", "flow"])
def test_no_line_may_be_missing_doubled_or_foreign(name: str) -> None:
    certificate, document = _case(name)
    lines = certificate_text(certificate).splitlines()
    for number in range(3, len(lines)):
        if not lines[number]:
            continue
        assert _refused("\n".join(lines[:number] + lines[number + 1 :]), document), lines[number]
        twice = [*lines[: number + 1], *lines[number:]]
        assert _refused("\n".join(twice), document), lines[number]


def test_a_digit_of_the_digest_matters() -> None:
    certificate, document = _case("quota")
    other = replace(certificate, layout=certificate.layout[:-1] + "x")
    assert check_certificate(other, document) == ("the certificate was made for another layout",)


@pytest.mark.parametrize(
    ("name", "change"),
    [
        ("quota", lambda: small_loop(quotas={"A": 3, "B": 7})),
        ("quota", lambda: small_loop(quotas=QUOTAS, habit="grab")),
        ("quota", lambda: small_loop(quotas=QUOTAS, back_speed=2)),
        ("quota", lambda: small_loop(quotas=QUOTAS, at=(0, 3))),
        ("quota", lambda: small_loop("open")),
        ("quota", lambda: small_loop(quotas={"A": 3})),
        ("quota", lambda: with_caps(small_loop(quotas=QUOTAS), {"A": 2, "B": 1})),
        ("flow", lambda: small_loop("windowed", quotas=QUOTAS, cycle=12, window=6)),
        ("flow", lambda: small_loop("windowed", quotas=QUOTAS, cycle=2)),
        ("trunk", lambda: row_of_loops(Fraction(4, 5))),
        ("trunk", lambda: row_of_loops(Fraction(9, 10), cycle=4)),
        ("trunk", lambda: row_of_loops(Fraction(9, 10), rule="alternate")),
        ("ratio", lambda: small_loop("ratio-locked", pattern="AAB", load=2, lane=9, back=9)),
    ],
)
def test_a_proof_of_one_layout_is_none_of_another(name: str, change: Any) -> None:
    document = layout_document(change())
    certificate, _ = _case(name)
    forged = replace(certificate, layout=digest(document))
    assert check_certificate(forged, document) != ()


def test_the_checker_judges_without_the_finder() -> None:
    """Numbers that do not hold are refused even where every line reads as it should."""
    layout = with_quotas(kits(), "counted", {"candle": 108, "seal": 107, "tap": 107})
    ring = find_rings(layout)[0]
    assert not isinstance(find_safety(ring), Claim)
    good, _ = _case("kits")
    forged = Certificate(digest(layout_document(layout)), {}, good.claims[:1])
    faults = check_certificate(forged, layout_document(layout))
    assert faults == ("row 1 lane: cannot jam: seal can be shut out",)


@pytest.mark.parametrize(
    ("line", "text"),
    [
        (0, "kind: plan"),
        (1, "version: 2"),
        (1, "version: "),
        (2, "origin: {"),
        (4, "belt: x"),
        (7, "given A0: it starts as it likes"),
        (13, "nothing"),
    ],
)
def test_what_is_no_certificate_is_refused_with_its_line(line: int, text: str) -> None:
    lines = certificate_text(_case("quota")[0]).splitlines()
    lines[line] = text
    with pytest.raises((CertificateError, HeaderError)):
        read_certificate("\n".join(lines))


def test_a_certificate_cut_short_is_refused() -> None:
    text = certificate_text(_case("quota")[0])
    with pytest.raises(CertificateError, match="no end"):
        read_certificate(text.removesuffix("end\n"))
