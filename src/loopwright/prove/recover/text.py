"""Recovery cards in words: numbered steps, each with its numbers, for whoever leads the shift."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from loopwright.prove.recover.card import BY_GATE, Card, Outcome, Purge, Recovered
from loopwright.simulate.reading.text import figure, listed, percent

_ROW = re.compile(r"(.*?)(\d+) lane")


def recovered_text(found: Sequence[Recovered]) -> str:
    """All cards: which loops stand, then a card for each group of loops that are brought back
    alike, the best way in full and others in a line."""
    if not found:
        return "No loop stands."
    names = [name for group in found for name in group.loops]
    cards = ["\n".join(_card(group)) for group in found]
    if len(names) > 1:
        told = f"{len(names)} loops stand: {loops_title(names)}. All are brought back at once."
        cards.insert(0, told)
    return "\n\n".join(cards)


def _card(group: Recovered) -> Iterator[str]:
    if not group.ways:
        yield f"{loops_title(group.loops)}: no card can be made for such a loop"
        return
    first, *others = group.ways
    yield card_title(group.loops, first.card)
    yield from (f"  {n}. {step}" for n, step in enumerate(card_steps(first, group.loops), start=1))
    yield f"  {card_result(first, group.loops)}"
    yield from (f"  Else {o.card.way}: {card_result(o, group.loops)}" for o in others)


def card_title(loops: Sequence[str], card: Card) -> str:
    """What the card is for."""
    return f"{loops_title(loops)}: recovery {card.way}"


def card_steps(outcome: Outcome, loops: Sequence[str]) -> tuple[str, ...]:
    """What to do at each of `loops`, in order."""
    return tuple(_steps(outcome, loops))


def card_result(outcome: Outcome, loops: Sequence[str]) -> str:
    """What the law says of the time, and what the run of the card gave."""
    card = outcome.card
    predicted = f"Predicted: full rate after about {figure(card.predicted)} s"
    if len(card.purge) > 1:
        predicted += f" (with 1 carrier taken off, which is enough, {figure(card.slowest)} s)"
    where = f"In the run of all {len(loops)} loops" if len(loops) > 1 else "In the run"
    share = f"{percent(outcome.share)} of full rate long after"
    standard = f"undisturbed the gate makes {percent(outcome.standard)}"
    if outcome.time is None:
        return f"{predicted}. {where} full rate was not reached; {share}; {standard}."
    stays = share if outcome.works else f"but {share}"
    return f"{predicted}. {where}: full rate after {figure(outcome.time)} s, {stays}; {standard}."


def loops_title(names: Sequence[str]) -> str:
    """Loops by their rows, such as "rows 1 to 6"; else by their names."""
    found = [_ROW.fullmatch(name) for name in names]
    prefixes = {match[1] for match in found if match is not None}
    if len(names) < 2 or None in found or len(prefixes) > 1:
        return listed(names)
    numbers = sorted(int(match[2]) for match in found if match is not None)
    told = [
        word
        for run in _runs(numbers)
        for word in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run))
    ]
    return f"{prefixes.pop().rstrip()}s {listed(told)}"


def _steps(outcome: Outcome, loops: Sequence[str]) -> Iterator[str]:
    card, many = outcome.card, len(loops)
    gate = "each gate" if many > 1 else card.gate
    if card.missing:
        yield f"See that {listed(card.missing)} can be supplied again."
    if card.way == BY_GATE:
        quotas = ", ".join(f"{material} {count}" for material, count in card.quotas)
        yield (
            f"Make {gate} scarcest-first, for good, with the quotas {quotas}. It lets in "
            "what is scarcest, so no supply has to be held."
        )
    elif card.hold:
        waits = f" and take off what waits for the gate: {_counts(card.clear)}"
        taken = waits if card.clear else ""
        yield f"Hold {listed(card.hold)}: stop the docks{taken}."
    if card.hands:
        yield f"Empty the hands of {_each(len(card.hands), many, 'picker')}: {_names(card.hands)}."
    if card.purge:
        loop = "each loop" if many > 1 else "the loop"
        yield f"Take {_each(len(card.purge), many, 'carrier')} off {loop}: {_places(card)}."
    for number, admission in enumerate(card.admissions):
        parts = listed([f"{count} of {material}" for material, count in admission.carriers])
        took = f" In the run: {figure(outcome.stages[number])} s." if _done(outcome, number) else ""
        yield f"Let nothing but {parts} past {gate}, counted in carriers.{took}"
    yield "Let everything in." if card.admissions else "Let it run."


def _done(outcome: Outcome, number: int) -> bool:
    return number < len(outcome.stages)


def _each(count: int, loops: int, noun: str) -> str:
    told = f"{count} {noun}" if count == 1 else f"{count} {noun}s"
    return f"{told} ({count * loops} in all)" if loops > 1 else told


def _places(card: Card) -> str:
    """Cells counted from 1 at the start of each belt, in ranges; the largest is next to leave."""
    belts: dict[str, list[Purge]] = {}
    for one in card.purge:
        belts.setdefault(one.belt, []).append(one)
    return "; ".join(
        f"{_counts(found)} on the {_short(card.loop, belt)}, {_cells(found)}"
        for belt, found in belts.items()
    )


def _counts(purge: Iterable[Purge]) -> str:
    counts = Counter(one.material for one in purge)
    return listed([f"{count} of {material}" for material, count in counts.items()])


def _cells(purge: Sequence[Purge]) -> str:
    word = "cells" if len(purge) > 1 else "cell"
    runs = _runs(sorted(one.index + 1 for one in purge))
    told = [f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs]
    return f"{word} {listed(told)}"


def _short(loop: str, belt: str) -> str:
    """The belt's name without what it has in common with that of the loop: its row."""
    words, other = belt.split(), loop.split()
    while len(words) > 1 and other and words[0] == other[0]:
        words, other = words[1:], other[1:]
    return " ".join(words)


def _runs(numbers: Sequence[int]) -> list[list[int]]:
    """Numbers in rising order, cut wherever one is left out."""
    return [
        [number for _, number in run]
        for _, run in groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0])
    ]


def _names(names: Sequence[str]) -> str:
    more = f" and {len(names) - 6} more" if len(names) > 6 else ""
    return ", ".join(names[:6]) + more
