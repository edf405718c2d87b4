"""Whatever is proved of a loop small enough to be searched whole, the search confirms."""

from __future__ import annotations

import random
from dataclasses import dataclass

import pytest

from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_safety
from loopwright.prove.miniature import Miniature, search_miniature
from loopwright.prove.rings import find_rings
from tests.prove.loops import small_loop

RULES = {"open": "open", "quota": "counted", "windowed": "windowed", "ratio-locked": "ratio-locked"}


@dataclass(frozen=True)
class Case:
    """A loop of one station as a layout and as a miniature."""

    lane: int
    back: int
    needs: tuple[int, int]
    caps: tuple[int, int]
    load: int
    rule: str
    quotas: tuple[int, int]
    picks: str
    pattern: tuple[int, ...]

    def proved(self) -> bool:
        counted = self.rule in ("quota", "windowed")
        layout = small_loop(
            RULES[self.rule],
            lane=self.lane,
            back=self.back,
            needs=dict(zip("AB", self.needs, strict=True)),
            caps=dict(zip("AB", self.caps, strict=True)),
            quotas=dict(zip("AB", self.quotas, strict=True)) if counted else None,
            pattern="".join("AB"[m] for m in self.pattern) if self.rule == "ratio-locked" else "",
            load=self.load,
            at=(0,),
            habit="grab" if self.picks == "grab" else "commit",
            takes="carriers" if self.picks == "whole" else "units",
            hand=self.load if self.picks == "whole" else 1,
        )
        return isinstance(find_safety(find_rings(layout)[0]), Claim)

    def jams(self, *, late: bool) -> bool:
        small = Miniature(
            self.lane + self.back,
            (0,),
            self.needs,
            self.caps,
            self.rule,
            self.quotas,
            self.pattern if self.rule == "ratio-locked" else (),
            seam=self.lane,
            load=self.load,
            picks=self.picks,
            late=late,
        )
        return bool(search_miniature(small).jams)


def any_case(chance: random.Random) -> Case:
    needs = (chance.randint(1, 2), chance.randint(1, 2))
    load = chance.randint(1, 3)
    rule = chance.choice(("open", "quota", "quota", "windowed", "ratio-locked"))
    lane, back = 2, chance.randint(1, 2)
    return Case(
        lane,
        back,
        needs,
        (needs[0] + chance.randint(0, 2), needs[1] + chance.randint(0, 2)),
        load,
        rule,
        (chance.randint(1, 3), chance.randint(1, 3)),
        chance.choice(("unit", "unit", "whole", "grab")),
        (0,) * needs[0] + (1,) * needs[1],
    )


def _confirmed(seed: int) -> tuple[bool, bool]:
    case = any_case(random.Random(seed))
    proved, jams = case.proved(), case.jams(late=True)
    assert not (proved and jams), f"seed {seed}: {case} is proved and jams"
    if case.rule != "ratio-locked":
        assert proved != jams, f"seed {seed}: {case} is neither proved nor jams"
    return proved, jams


@pytest.mark.parametrize("part", range(6))
def test_what_is_proved_does_not_jam_and_what_is_not_does(part: int) -> None:
    """Both directions, but for the ratio theorem, which is sufficient only."""
    found = [_confirmed(seed) for seed in range(20 * part, 20 * part + 20)]
    assert {True, False} <= {proved for proved, _ in found}
