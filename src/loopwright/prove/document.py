"""Verdicts as documents for other programs."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from loopwright.prove.claim import ASSUMPTIONS
from loopwright.prove.verdict import Verdict
from loopwright.simulate.reading.document import plain


def verdicts_document(verdicts: Iterable[Verdict]) -> dict[str, Any]:
    """All verdicts, each with its claim, its jam or its runs; and the assumptions of the claims,
    by their names."""
    told = tuple(verdicts)
    given = {name for one in told if one.claim is not None for name in one.claim.given}
    return {
        "verdicts": [verdict_document(verdict) for verdict in told],
        "assumptions": {name: ASSUMPTIONS[name] for name in sorted(given)},
    }


def verdict_document(verdict: Verdict) -> dict[str, Any]:
    """One verdict for programs."""
    return {
        "loop": verdict.loop,
        "kind": verdict.ring.kind,
        "belts": list(verdict.ring.belts),
        "cells": verdict.ring.cells,
        "stations": len(verdict.ring.drawers),
        "materials": list(verdict.ring.materials),
        "gate": verdict.ring.gate,
        "rule": verdict.ring.rule,
        "question": verdict.question,
        "outcome": verdict.outcome,
        "because": list(verdict.because),
        "remedies": list(verdict.remedies),
        "claim": plain(verdict.claim) if verdict.claim else None,
        "jam": plain(verdict.jam) if verdict.jam else None,
        "shortfall": plain(verdict.shortfall) if verdict.shortfall else None,
        "runs": [plain(run) for run in verdict.runs],
    }
