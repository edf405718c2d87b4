"""Verdicts as documents for other programs."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from loopwright.prove.verdict import Verdict
from loopwright.simulate.reading.document import plain


def verdicts_document(verdicts: Iterable[Verdict]) -> dict[str, Any]:
    """All verdicts, each with its claim, its jam or its runs."""
    return {"verdicts": [verdict_document(verdict) for verdict in verdicts]}


def verdict_document(verdict: Verdict) -> dict[str, Any]:
    """One verdict for programs."""
    return {
        "loop": verdict.loop,
        "kind": verdict.ring.kind,
        "belts": list(verdict.ring.belts),
        "cells": verdict.ring.cells,
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
