"""A recovery card in words: numbered steps, each with its numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from loopwright.prove.recover.card import BY_GATE, Card, Outcome, Purge
from loopwright.simulate.reading.text import figure, listed, percent


def card_title(card: Card) -> str:
    """What the card is for."""
    return f"{card.loop}: recovery {card.way}"


def card_steps(outcome: Outcome) -> tuple[str, ...]:
    """What to do, in order."""
    return tuple(_steps(outcome))


def card_result(outcome: Outcome) -> str:
    """What the law says of the time, and what the run of the card gave."""
    predicted = f"Predicted: full rate after about {figure(outcome.card.predicted)} s."
    share = f"{percent(outcome.share)} of full rate long after"
    standard = f"undisturbed the gate makes {percent(outcome.standard)}"
    if outcome.time is None:
        return f"{predicted} In the run full rate was not reached; {share}; {standard}."
    reached = f"In the run: full rate after {figure(outcome.time)} s"
    stays = share if outcome.works else f"but {share}"
    return f"{predicted} {reached}, {stays}; {standard}."


def outcomes_text(outcomes: Sequence[Outcome]) -> str:
    """The best card in full, the others in a line each."""
    first, *others = outcomes
    lines = [card_title(first.card)]
    lines += [f"  {number}. {step}" for number, step in enumerate(card_steps(first), start=1)]
    lines.append(f"  {card_result(first)}")
    lines += [f"  Else {other.card.way}: {card_result(other)}" for other in others]
    return "\n".join(lines)


def _steps(outcome: Outcome) -> Iterator[str]:
    card = outcome.card
    if card.missing:
        yield f"See that {listed(card.missing)} can be supplied again."
    if card.way == BY_GATE:
        quotas = ", ".join(f"{material} {count}" for material, count in card.quotas)
        yield (
            f"Make {card.gate} scarcest-first, for good, with the quotas {quotas}. It lets in "
            "what is scarcest, so no supply has to be held."
        )
    elif card.hold:
        waiting = _places(card.clear)
        taken = f" and take off what waits for the gate: {waiting}" if waiting else ""
        yield f"Hold {listed(card.hold)}: stop the docks{taken}."
    if card.hands:
        yield f"Empty the hands of {len(card.hands)} pickers: {_names(card.hands)}."
    if card.purge:
        yield f"Take {_carriers(len(card.purge))} off the loop: {_places(card.purge)}."
    for number, admission in enumerate(card.admissions):
        parts = listed([f"{count} of {material}" for material, count in admission.carriers])
        took = f" In the run: {figure(outcome.stages[number])} s." if _done(outcome, number) else ""
        yield f"Let in nothing but {parts} (carriers past {card.gate}).{took}"
    yield "Let everything in." if card.admissions else "Let it run."


def _done(outcome: Outcome, number: int) -> bool:
    return number < len(outcome.stages)


def _places(purge: Iterable[Purge]) -> str:
    """Cells counted from 1 at the start of the belt, in ranges; the largest is next to leave."""
    told = []
    by_belt: dict[tuple[str, str], list[int]] = {}
    for one in purge:
        by_belt.setdefault((one.belt, one.material), []).append(one.index + 1)
    for (belt, material), cells in by_belt.items():
        told.append(f"{len(cells)} of {material} on {belt}, {_ranges(sorted(cells))}")
    return "; ".join(told)


def _ranges(cells: Sequence[int]) -> str:
    runs = [
        [cell for _, cell in run]
        for _, run in groupby(enumerate(cells), key=lambda pair: pair[1] - pair[0])
    ]
    told = [f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs]
    return f"{'cells' if len(cells) > 1 else 'cell'} {', '.join(told)}"


def _carriers(count: int) -> str:
    return "1 carrier" if count == 1 else f"{count} carriers"


def _names(names: Sequence[str]) -> str:
    more = f" and {len(names) - 6} more" if len(names) > 6 else ""
    return ", ".join(names[:6]) + more
