"""What comes mixed by one supply belt: the tree of merges by turns behind it, and its lanes.

The rules are those of the lemmas on mixers in docs/theory/prove.md.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from math import lcm

from loopwright.layout.layout import Divert, Layout, Merge, Source
from loopwright.layout.order import natural_key
from loopwright.prove.feed import belts_above, belts_behind, feed_of, others_at
from loopwright.prove.ring import Feed, Mix
from loopwright.simulate.wiring import Wiring


class _NoMixError(Exception):
    """What comes by a belt is not mixed by turns, or not surely; the message says why."""


@dataclass(frozen=True, slots=True)
class _Turn:
    """A lane at the end of the tree and its share of what the root passes, fresh or fed `back`."""

    belt: str
    weight: Fraction
    back: bool


def supply_of(wiring: Wiring, belt: str, speed: Fraction | None) -> Feed:
    """The fresh inlet `belt` of a gate on a loop of `speed` [cells/s], which may bring a mix."""
    feed = feed_of(wiring, belt, speed)
    brings = sorted(_materials(wiring, belt), key=wiring.rank.__getitem__)
    if feed.material is not None or len(brings) < 2:
        return feed
    try:
        mix = _Tree(wiring, belt).mix(speed)
    except _NoMixError as error:
        return replace(feed, fault=str(error))
    told = f"brings {', '.join(brings)}: one that waits can hold up another"
    return replace(feed, fault=told, mix=mix)


def feeds_back(wiring: Wiring, belts: Iterable[str]) -> bool:
    """Whether `belts`, which lead round, are only the way on which a mixer feeds back."""
    ring = set(belts)
    ways = [divert for one in ring if isinstance(divert := wiring.head.get(one), Divert)]
    out = [divert for divert in ways if not set(divert.outlets) <= ring]
    if len(out) != 1:
        return False
    try:
        return _Tree(wiring, out[0].outlets[-1]).ring == ring
    except _NoMixError:
        return False


def primings(layout: Layout) -> tuple[tuple[str, int], ...]:
    """For each mixer that feeds back: the divert that parts its product, and the carriers that it
    fills what is fed back with before any leaves."""
    wiring = Wiring(layout)
    found = []
    for divert in layout.diverts:
        try:
            tree = _Tree(wiring, divert.outlets[-1])
        except _NoMixError:
            continue
        if divert.inlet in tree.ring:
            back = tree.ring.difference(tree.inner)
            found.append((divert.name, sum(len(wiring.belts[one].path) for one in back)))
    return tuple(found)


def _materials(wiring: Wiring, belt: str) -> set[str]:
    docks = (wiring.tail.get(one) for one in belts_above(wiring, belt))
    return {dock.material for dock in docks if isinstance(dock, Source)}


class _Tree:
    """The tree whose output leaves by the head of a belt."""

    def __init__(self, wiring: Wiring, belt: str) -> None:
        """Find the tree.

        Raises
        ------
        _NoMixError
            There is another joint than a merge by turns in it, or it feeds back in another way.
        """
        self.wiring, self.belt = wiring, belt
        above = belts_above(wiring, belt)
        for fault in others_at(wiring, above):
            raise _NoMixError(fault)
        self.ring = {
            one
            for one in above
            if any(one in belts_above(wiring, other) for other in belts_behind(wiring, one))
        }
        self.inner: list[str] = []
        self.merges: list[str] = []
        self.turns, self.round = self._walk(belt, Fraction(1))
        self._check_ring()

    def _walk(self, belt: str, weight: Fraction) -> tuple[list[_Turn], int]:
        """The lanes behind `belt` that has the share `weight`, and the round of its merges."""
        joint = self.wiring.tail.get(belt)
        if belt in self.ring and isinstance(joint, Divert):
            return [_Turn(belt, weight, True)], 1
        if belt not in self.ring and len(_materials(self.wiring, belt)) == 1:
            return [_Turn(belt, weight, False)], 1
        self.inner.append(belt)
        if any(side.main == belt for side in self.wiring.flanks.values()):
            raise _NoMixError(f"{belt} is joined from the side, not by turns")
        if isinstance(joint, Divert) and self.ring.issuperset((joint.inlet, *joint.outlets[:-1])):
            return self._walk(joint.inlet, weight)
        if not isinstance(joint, Merge) or (len(joint.inlets) > 1 and joint.rule != "alternate"):
            name = "nothing" if joint is None else joint.name
            raise _NoMixError(f"brings a mix, and {name} is no merge by turns")
        self.merges.append(joint.name)
        parts = [self._walk(one, weight / len(joint.inlets)) for one in joint.inlets]
        turns = [turn for own, _ in parts for turn in own]
        return turns, len(parts) * lcm(*(count for _, count in parts))

    def _check_ring(self) -> None:
        """All that is fed back comes to the root again, or leaves by the last way of one divert."""
        ways = 0
        for one in self.ring:
            head, tail = self.wiring.head.get(one), self.wiring.tail.get(one)
            if isinstance(head, Divert):
                away = [outlet for outlet in head.outlets if outlet not in self.ring]
                ways += len(away)
                wrong = away and (away != [head.outlets[-1]] or head.rule != "overflow")
                if wrong or head.rule == "material":
                    raise _NoMixError(f"{head.name} does not fill what is fed back first")
            elif not isinstance(head, Merge):
                raise _NoMixError(f"{one} leads away from what is fed back")
            if isinstance(tail, Merge) and tail.name not in self.merges:
                raise _NoMixError(f"{tail.name} lets more into what is fed back")
            if any(side.main == one for side in self.wiring.flanks.values()):
                raise _NoMixError(f"{one} is joined from the side, not by turns")
        if ways != bool(self.ring):
            raise _NoMixError("what is fed back has more than one way out")

    def mix(self, speed: Fraction | None) -> Mix:
        """Its materials, each with a lane that is sure.

        Raises
        ------
        _NoMixError
            A material need not come again and again.
        """
        fresh = [turn for turn in self.turns if not turn.back]
        back = sum((turn.weight for turn in self.turns if turn.back), Fraction(0))
        lanes: dict[str, list[_Turn]] = {}
        for turn in fresh:
            (material,) = _materials(self.wiring, turn.belt)
            lanes.setdefault(material, []).append(turn)
        order = sorted(lanes, key=self.wiring.rank.__getitem__)
        cells = [len(self.wiring.belts[one].path) for one in self.ring]
        return Mix(
            parts=tuple(self._sure(lanes[material], speed) for material in order),
            shares=tuple(
                (m, sum((turn.weight for turn in lanes[m]), Fraction(0)) / (1 - back))
                for m in order
            ),
            leaves=tuple((m, len(lanes[m])) for m in order),
            round=self.round,
            back=back,
            cells=sum(cells),
            slack=self._slack(back),
            prompt=self._stays_full(speed) and all(self._full(lanes[m], speed) for m in order),
        )

    def _sure(self, lanes: list[_Turn], speed: Fraction | None) -> Feed:
        """The first of the lanes of a material by which it is sure to come."""
        feeds = [feed_of(self.wiring, turn.belt, speed) for turn in lanes]
        feeds.sort(key=lambda feed: natural_key(feed.belt))
        sure = [feed for feed in feeds if feed.material is not None]
        if not sure:
            raise _NoMixError(f"is mixed, and {feeds[0].belt} {feeds[0].fault}")
        return sure[0]

    def _stays_full(self, speed: Fraction | None) -> bool:
        """Whether the belts of the tree step with the loop, and no lane that is fed back can be
        empty at its turn: it lacks at most `holes` carriers, fewer than its cells, and has as many
        steps from turn to turn."""
        belts = self.wiring.belts
        for turn in (turn for turn in self.turns if turn.back):
            holes = self._holes(turn)
            if holes >= len(belts[turn.belt].path) or holes * turn.weight > 1:
                return False
        return all(belts[one].speed == speed for one in (*self.inner, *self.ring))

    def _holes(self, turn: _Turn) -> int:
        """Carriers that a lane which is fed back may lack."""
        many = sum(other.back for other in self.turns)
        return int(turn.weight * (self._steps(turn.belt) + many)) + 1

    def _slack(self, share: Fraction) -> Fraction:
        """What may go back of any stretch of carriers beyond their `share`: what the lanes lack at
        its beginning, a turn each, and the turns of what stands before the divert."""
        back = [turn for turn in self.turns if turn.back]
        before = sum(len(self.wiring.belts[one].path) for one in self._outlet())
        return sum(map(self._holes, back)) + len(back) + share * before

    def _outlet(self) -> Iterator[str]:
        """Belts from the root's merge to the divert; none without feedback."""
        for one in self.inner:
            if one in self.ring:
                yield one
                joint = self.wiring.tail[one]
                if not isinstance(joint, Merge) or len(joint.inlets) > 1:
                    return

    def _steps(self, belt: str) -> int:
        """Belts from the root's outlet to `belt`, which is fed back: an empty cell goes up one in
        each step."""
        joint = self.wiring.tail[belt]
        if isinstance(joint, Merge):
            return 1 + self._steps(joint.inlets[0])
        assert isinstance(joint, Divert)
        first = self.ring.issuperset(joint.outlets)
        return 1 + (self._steps(joint.inlet) if first else 1)

    def _full(self, lanes: Iterable[_Turn], speed: Fraction | None) -> bool:
        """Whether one dock, as fast as the loop, fills all `lanes`, and nothing else."""
        above = {one for turn in lanes for one in belts_above(self.wiring, turn.belt)}
        return sum(self._docks(above)) == 1 and all(
            self.wiring.belts[one].speed == speed and self._onward(one, above) for one in above
        )

    def _docks(self, above: Iterable[str]) -> Iterator[int]:
        """1 for each dock that is as fast as its belt, 2 for others."""
        for one in above:
            dock = self.wiring.tail.get(one)
            if isinstance(dock, Source):
                yield 1 if dock.rate is None or dock.rate >= self.wiring.belts[one].speed else 2

    def _onward(self, belt: str, above: set[str]) -> bool:
        """Whether all that is on `belt` goes on within `above` or into the tree."""
        tail, head = self.wiring.tail.get(belt), self.wiring.head.get(belt)
        if isinstance(tail, Merge) and len(tail.inlets) > 1:
            return False
        if any(side.main == belt for side in self.wiring.flanks.values()):
            return False
        return not isinstance(head, Divert) or set(head.outlets) <= above
