"""Certificates: the checker takes what is true and nothing else."""

from __future__ import annotations

import ast
import random
import re
from fractions import Fraction
from hashlib import sha256
from pathlib import Path

import pytest

from loopwright.plan import checker, settle
from loopwright.plan.certificate import certificate_text
from loopwright.plan.checker import CertificateError, check_certificate
from loopwright.plan.study import RefusedError
from loopwright.record import Origin
from tests.plan.networks import as_project, network

NUMBER = re.compile(r"(?<![\w.-])-?\d+(?:/\d+)?(?![\w.])")


def certificate(seed: int, processes: int, *, tight: bool = False) -> str:
    project = as_project(network(seed, processes, tight=tight))
    try:
        proofs = settle(project).proofs
    except RefusedError as error:
        proofs = (error.proof,)
    return certificate_text(proofs, Origin("sha256:0", {"seed": seed}))


def resealed(text: str) -> str:
    """The text with the digest that it should have."""
    head, _, rest = text.partition("\nbelow: sha256:")
    body = rest.partition("\n")[2]
    return f"{head}\nbelow: sha256:{sha256(body.encode()).hexdigest()}\n{body}"


def changes(text: str) -> list[str]:
    """The text with one number of one claim changed, for each number."""
    start = text.index("\nclaim 1: ")
    found = []
    for match in NUMBER.finditer(text, start):
        other = str(Fraction(match.group()) + 1)
        found.append(text[: match.start()] + other + text[match.end() :])
    return found


def test_the_checker_shares_nothing_and_is_short() -> None:
    source = Path(checker.__file__).read_text("utf-8")
    names = {
        name
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Import | ast.ImportFrom)
        for name in ([node.module] if isinstance(node, ast.ImportFrom) else node.names)
    }
    assert names == {"__future__", "fractions", "hashlib"}
    assert len(source.splitlines()) < 100


@pytest.mark.parametrize("seed", range(3))
def test_every_number_that_is_changed_is_noticed(seed: int) -> None:
    text = certificate(seed, 6, tight=True)
    check_certificate(text)
    altered = changes(text)
    assert len(altered) > 50
    for other in altered:
        with pytest.raises(CertificateError):
            check_certificate(other)


@pytest.mark.parametrize("seed", range(6))
def test_a_wrong_claim_is_noticed_even_where_the_digest_fits(seed: int) -> None:
    """Prices, values and results: whatever is still taken is just as good a proof."""
    text = certificate(seed, 8, tight=True)
    true = check_certificate(text)
    noticed = 0
    for other in changes(text):
        sealed = resealed(other)
        try:
            claims = check_certificate(sealed)
        except CertificateError:
            noticed += 1
            continue
        rows = [line.split(" | ")[1] for line in text.split("\n") if line.startswith("row ")]
        same_rows = [line.split(" | ")[1] for line in other.split("\n") if line.startswith("row ")]
        columns = re.findall(r"^column (\S+) \| \S+ \| (.*)$", text, re.MULTILINE)
        same = columns == re.findall(r"^column (\S+) \| \S+ \| (.*)$", other, re.MULTILINE)
        if rows == same_rows and same:  # the same programme, so the same optimum
            assert claims[0][0] == true[0][0]
            assert claims == true or true[0][0] == "conflict"
    assert noticed > 20


@pytest.mark.parametrize(
    "damage",
    [
        lambda text: text[:-5],
        lambda text: text.replace("version: 1", "version: 2"),
        lambda text: text.replace("claims: 1", "claims: 2"),
        lambda text: resealed(text.replace("row 1 |", "row 2 |", 1)),
        lambda text: resealed(text.replace("| = 0 |", "| == 0 |", 1)),
        lambda text: resealed(text.replace("result: ", "result: 1/0", 1)),
        lambda text: resealed(text.replace("\ncolumn ", "\ncolunm ", 1)),
        lambda text: resealed(re.sub(r" 0:", " 999:", text, count=1)),
        lambda text: resealed(re.sub(r" 0:", " -1:", text, count=1)),
        lambda text: resealed(re.sub(r"result: .*", "result: 1e99", text, count=1)),
        lambda text: "",
    ],
)
def test_what_is_no_certificate_is_refused(damage: object) -> None:
    assert callable(damage)
    with pytest.raises(CertificateError):
        check_certificate(damage(certificate(1, 6)))


def test_the_same_project_gives_the_same_certificate() -> None:
    assert certificate(3, 30) == certificate(3, 30)


def test_random_digits_are_no_certificate() -> None:
    chance = random.Random(1)
    for _ in range(50):
        body = "".join(chance.choice("row clum|=<>0123456789:/ \n") for _ in range(200))
        text = f"kind: plan-certificate\nversion: 1\nclaims: 1\nbelow: sha256:0\nx\nclaim 1: {body}"
        with pytest.raises(CertificateError):
            check_certificate(resealed(f"{text}\nend\n"))
