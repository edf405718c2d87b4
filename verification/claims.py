"""Claims of the finder, pressed: small loops searched whole, larger ones run through outages.

Run as `python -m verification.claims > verification/claims.txt`. Takes about three minutes.
"""

from __future__ import annotations

import random
from collections import Counter

from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_safety
from loopwright.prove.rings import find_rings
from tests.prove import test_stress, test_whole_carriers
from tests.prove.test_claims_searched import any_case
from tests.prove.test_feeds import press_trunks

SEARCHED = 1500
RUNS = 2000


def main() -> None:
    """Both tables."""
    print(f"{SEARCHED} loops of one station, searched whole: what the finder says, what is true")
    _print(
        ("gate", "picks", "proved, no jam", "proved, jams", "not, no jam", "not, jams"), _small()
    )
    print(
        "\nLarger loops under outages at random: runs of proved loops, and how many of them stood"
    )
    _print(("loops", "seeds", "runs of proved", "stood"), _large())


def _print(heads: tuple[str, ...], rows: list[tuple[str, ...]]) -> None:
    widths = [max(len(line[column]) for line in (heads, *rows)) for column in range(len(heads))]
    for line in (heads, *rows):
        print("  ".join(cell.ljust(w) for cell, w in zip(line, widths, strict=True)).rstrip())


def _small() -> list[tuple[str, ...]]:
    found: Counter[tuple[str, str, bool, bool]] = Counter()
    for seed in range(SEARCHED):
        case = any_case(random.Random(seed))
        found[case.rule, case.picks, case.proved(), case.jams(late=True)] += 1
    kinds = sorted({kind[:2] for kind in found})
    answers = ((True, False), (True, True), (False, False), (False, True))
    return [(*kind, *(str(found[(*kind, *answer)]) for answer in answers)) for kind in kinds]


def _large() -> list[tuple[str, ...]]:
    return [_rows(), _whole(), _trunks()]


def _rows() -> tuple[str, ...]:
    """Placed rows of 2 to 5 stations, three inputs; three runs of each."""
    runs = stood = 0
    seed = 10_000
    while runs < RUNS // 2:
        chance = random.Random(seed)
        layout = test_stress.any_layout(chance)
        ring = find_rings(layout)[0]
        if isinstance(find_safety(ring), Claim):
            for _ in range(3):
                runs += 1
                stood += not test_stress.goes_on(chance, layout, ring)
        seed += 1
    return "rows, by units", str(seed - 10_000), str(runs), str(stood)


def _whole() -> tuple[str, ...]:
    """Two stations, two inputs, carriers taken whole."""
    runs = stood = 0
    seed = 10_000
    while runs < RUNS // 4:
        works = test_whole_carriers.goes_on(seed)
        runs += works is not None
        stood += works is False
        seed += 1
    return "small, whole carriers", str(seed - 10_000), str(runs), str(stood)


def _trunks() -> tuple[str, ...]:
    """Two or three loops on trunks of chance."""
    runs = stood = 0
    seed = 10_000
    while runs < RUNS // 4:
        for works in press_trunks(seed).values():
            runs += 1
            stood += not works
        seed += 1
    return "on trunks of chance", str(seed - 10_000), str(runs), str(stood)


if __name__ == "__main__":
    main()
