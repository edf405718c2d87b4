"""Ways to bring loops back, as a document for other programs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from loopwright.prove.recover.card import Outcome, Recovered
from loopwright.prove.recover.text import card_steps, loops_title
from loopwright.simulate.reading.document import plain


def recovery_document(found: Iterable[Recovered]) -> dict[str, Any]:
    """For each group of loops that are brought back alike: their names and its cards, with the
    steps in words and how the run of each went."""
    return {
        "groups": [
            {
                "loops": list(group.loops),
                "title": loops_title(group.loops),
                "ways": [_way(one, group.loops) for one in group.ways],
            }
            for group in found
        ]
    }


def _way(one: Outcome, loops: Sequence[str]) -> dict[str, Any]:
    return {
        "card": plain(one.card),
        "steps": list(card_steps(one, loops)),
        "stages": [str(span) for span in one.stages],
        "time": None if one.time is None else str(one.time),
        "share": str(one.share),
        "standard": str(one.standard),
        "works": one.works,
    }
