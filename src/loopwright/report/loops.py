"""The part about loops: two verdicts each, what the laws say, and the card where one can stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from loopwright.layout.layout import Layout
from loopwright.prove import Verdict
from loopwright.prove.claim import ASSUMPTIONS
from loopwright.prove.law import laws_of
from loopwright.prove.law.text import HEADS, law_rows
from loopwright.prove.recover import Recovered
from loopwright.prove.recover.text import card_result, card_steps, card_title
from loopwright.prove.text import runs_text
from loopwright.report.html import Html, bullets, element, folded, join, paragraph, table
from loopwright.report.section import Section
from loopwright.simulate.reading.text import listed

STATES = {"proved": "met", "undecided": "near", "refuted": "missed"}
SIGNS = {"proved": "\u2713", "undecided": "?", "refuted": "\u2717"}


def loops_section(
    layout: Layout, verdicts: Sequence[Verdict], cards: Sequence[Recovered] = ()
) -> Section:
    """One entry for each shape of loop; `cards` are those of loops that can come to stand."""
    shapes: dict[tuple[object, ...], list[Verdict]] = {}
    for verdict in verdicts:
        shapes.setdefault(verdict.ring.shape(), []).append(verdict)
    entries = [join(*_entry(layout, alike, verdicts, cards)) for alike in shapes.values()]
    note = "Whether each loop can jam, whether it comes back by itself, and how that is known."
    return Section("loops", "Loops", note, join(*entries))


def card_fragment(group: Recovered) -> Html:
    """The best recovery card of a group of loops: numbered steps, and what the run of it gave."""
    outcome = group.ways[0]
    return element(
        "div",
        element("h4", card_title(group.loops, outcome.card)),
        element("ol", (element("li", step) for step in card_steps(outcome, group.loops))),
        paragraph(card_result(outcome, group.loops)),
        class_=f"verdict card {'met' if outcome.works else 'missed'}",
    )


def _entry(
    layout: Layout,
    alike: Sequence[Verdict],
    verdicts: Sequence[Verdict],
    cards: Sequence[Recovered],
) -> Iterator[Html]:
    names = list(dict.fromkeys(verdict.loop for verdict in alike))
    ring = alike[0].ring
    yield element("h3", ring.name)
    gate = f"{ring.gate} is {ring.rule}" if ring.gate else "no gate"
    more = f" Alike: {listed(names[1:])}." if names[1:] else ""
    yield paragraph(
        f"A {ring.kind} of {ring.cells} cells and {len(ring.drawers)} stations; {gate}; "
        f"{listed(ring.materials)} come by it.{more}"
    )
    for verdict in alike:
        if verdict.loop == ring.name:
            yield from _verdict(verdict)
    laws = laws_of(layout, ring, verdicts)
    if laws:
        heads = [head.capitalize() for head in HEADS]
        yield table("What the laws say", heads, law_rows(laws))
    yield from (card_fragment(one) for one in cards if one.ways and set(one.loops) & set(names))


def _verdict(verdict: Verdict) -> Iterator[Html]:
    state = STATES[verdict.outcome]
    sign = element("span", SIGNS[verdict.outcome], aria_hidden="true")
    question = verdict.question[:1].upper() + verdict.question[1:]
    yield element(
        "div",
        element("strong", sign, " ", verdict.outcome.capitalize(), class_=f"badge {state}"),
        paragraph(f"{question}."),
        class_=f"verdict {state}",
    )
    told = [*verdict.because]
    if verdict.jam is not None:
        told.append(verdict.jam.sentence)
    told += runs_text(verdict.runs)
    yield bullets(told)
    if verdict.claim is not None:
        given = [f"{name}: {ASSUMPTIONS[name]}" for name in verdict.claim.given]
        yield folded(f"Theorem {verdict.claim.theorem}, given that", bullets(given))
    elif verdict.remedies:
        yield paragraph(f"What to change: {'; or '.join(verdict.remedies)}.")
