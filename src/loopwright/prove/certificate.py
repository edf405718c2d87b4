"""A certificate: claims about loops as a text, a reason on each line, to be read aloud.

kind: certificate
version: 1
origin: {...}

loop: row 1 lane
claim: cannot jam
theorem: quota
given A0: ...
loop | ...
room | ...
end
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from loopwright.prove.claim import ASSUMPTIONS, Claim, Reason
from loopwright.record import Origin, check_header, header

KIND = "certificate"


class CertificateError(ValueError):
    """A text is no certificate; the line at fault is named."""


@dataclass(frozen=True, slots=True)
class Certificate:
    """Claims about one layout. `layout` is the digest of its document, `parameters` what else the
    layout was made with, and `claims` what is proved of it."""

    layout: str
    parameters: Mapping[str, Any]
    claims: tuple[Claim, ...]


def certificate_text(certificate: Certificate) -> str:
    """The certificate as people and `read_certificate` read it."""
    head = header(KIND, Origin(certificate.layout, certificate.parameters))
    lines = [
        f"kind: {head['kind']}",
        f"version: {head['version']}",
        f"origin: {json.dumps(head['origin'], sort_keys=True, ensure_ascii=False)}",
    ]
    for claim in certificate.claims:
        lines += ["", *_claim_lines(claim)]
    return "\n".join(lines) + "\n"


def _claim_lines(claim: Claim) -> Iterable[str]:
    yield f"loop: {claim.loop}"
    yield f"claim: {claim.question}"
    yield f"theorem: {claim.theorem}"
    for name in claim.given:
        yield f"given {name}: {ASSUMPTIONS[name]}"
    for reason in claim.reasons:
        yield f"{reason.topic} | {reason.text}"
    yield "end"


def read_certificate(text: str) -> Certificate:
    """The certificate that `certificate_text` wrote.

    Raises
    ------
    CertificateError
        A line is not as it should be.
    HeaderError
        The text begins as no certificate of this version does.
    """
    lines = text.splitlines()
    head = dict(line.partition(": ")[::2] for line in lines[:3])
    version = int(head["version"]) if head.get("version", "").isdecimal() else None
    check_header({"kind": head.get("kind", ""), "version": version}, KIND)
    try:
        origin = json.loads(head["origin"])
        layout, parameters = str(origin["input"]), dict(origin["parameters"])
    except (KeyError, TypeError, ValueError) as error:
        raise CertificateError("line 3: the origin cannot be read") from error
    claims = []
    number = 3
    while number < len(lines):
        if lines[number]:
            claim, number = _read_claim(lines, number)
            claims.append(claim)
        number += 1
    return Certificate(layout, parameters, tuple(claims))


def _read_claim(lines: list[str], first: int) -> tuple[Claim, int]:
    """The claim that begins at `first`, and the number of its last line."""
    fields = []
    for offset, name in enumerate(("loop", "claim", "theorem")):
        line = lines[first + offset] if first + offset < len(lines) else ""
        if not line.startswith(f"{name}: "):
            raise CertificateError(f"line {first + offset + 1}: here stands `{name}: ...`")
        fields.append(line.removeprefix(f"{name}: "))
    given: list[str] = []
    reasons: list[Reason] = []
    for number in range(first + 3, len(lines)):
        line = lines[number]
        if line == "end":
            return Claim(fields[0], fields[1], fields[2], tuple(given), tuple(reasons)), number
        if line.startswith("given ") and not reasons:
            name, _, told = line.removeprefix("given ").partition(": ")
            if ASSUMPTIONS.get(name) != told:
                raise CertificateError(f"line {number + 1}: no assumption reads like this")
            given.append(name)
        elif " | " in line:
            topic, _, rest = line.partition(" | ")
            reasons.append(Reason(topic, rest))
        else:
            raise CertificateError(f"line {number + 1}: neither an assumption nor a reason")
    raise CertificateError(f"line {len(lines)}: a claim has no end")
