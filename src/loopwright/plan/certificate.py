"""The proof of a plan as a text: every condition with its reason and its price.

The text says all that a reader needs to check it by hand, or with `plan.checker`, which shares
nothing with what found it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from hashlib import sha256

from loopwright.plan.programme import Conflict, Optimum
from loopwright.plan.study import Proof
from loopwright.record import Origin, canonical_json, header

KIND = "plan-certificate"

_ABOUT = """\
# Every claim is about quantities at least 0, the columns. A column says its cost, its value, its
# name, and how much of it goes into which row. A row says how the sum of what goes into it compares
# with a number, its price, its name, and the key of the project file that is the reason.
# optimal: the values keep all rows; the prices are at least 0 for >= and at most 0 for <=; no
# column costs less than the prices of its rows give; and cost of the values = price of the rows.
# So nothing costs less. conflict: prices of the same signs give no column anything, but the rows
# something above 0. So no values keep all rows."""


def certificate_text(proofs: Sequence[Proof], origin: Origin) -> str:
    """The certificate of these proofs, in the order in which they were found."""
    body = "\n".join(
        line for number, proof in enumerate(proofs, 1) for line in _claim(number, proof)
    )
    body = f"{_ABOUT}\n{body}\nend\n"
    head = header(KIND, origin)
    lines = [f"{key}: {_plain(value)}" for key, value in head.items()]
    digest = sha256(body.encode()).hexdigest()
    return "\n".join([*lines, f"claims: {len(proofs)}", f"below: sha256:{digest}", body])


def _plain(value: object) -> str:
    return value if isinstance(value, str) else canonical_json(value)


def _claim(number: int, proof: Proof) -> Iterator[str]:
    programme, outcome = proof.programme, proof.outcome
    yield ""
    yield f"claim {number}: {'optimal' if isinstance(outcome, Optimum) else 'conflict'}"
    yield f"aim: {programme.aim}"
    yield f"result: {outcome.value if isinstance(outcome, Optimum) else _gap(proof, outcome)}"
    for at, (row, price) in enumerate(zip(programme.rows, outcome.y, strict=True)):
        reason = row.reason or "balance"
        yield f"row {at} | {row.sense} {row.rhs} | {price} | {row.name} | {reason}"
    values: Iterable[object] = (
        outcome.x if isinstance(outcome, Optimum) else ("-" for _ in programme.columns)
    )
    for column, value in zip(programme.columns, values, strict=True):
        entries = " ".join(f"{row}:{entry}" for row, entry in column.entries.items())
        yield f"column {column.cost} | {value} | {column.name} | {entries}"


def _gap(proof: Proof, conflict: Conflict) -> Fraction:
    """What the rows give, where nothing may be given."""
    rows = zip(proof.programme.rows, conflict.y, strict=True)
    return sum((row.rhs * price for row, price in rows), Fraction(0))
