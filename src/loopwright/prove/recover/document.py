"""Ways to bring loops back, as a document for other programs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from loopwright.prove.recover.card import Outcome
from loopwright.prove.recover.text import card_steps
from loopwright.simulate.reading.document import plain


def recovery_document(found: Iterable[tuple[str, Sequence[Outcome]]]) -> dict[str, Any]:
    """For each loop by name: its cards, with the steps in words and how the run of each went."""
    return {"loops": [{"loop": name, "ways": [_way(one) for one in ways]} for name, ways in found]}


def _way(one: Outcome) -> dict[str, Any]:
    return {
        "card": plain(one.card),
        "steps": list(card_steps(one)),
        "stages": [str(span) for span in one.stages],
        "time": None if one.time is None else str(one.time),
        "share": str(one.share),
        "standard": str(one.standard),
        "works": one.works,
    }
