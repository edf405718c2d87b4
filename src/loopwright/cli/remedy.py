"""Remedies for loops: shown as a table, and the first that helps written into the file."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from loopwright.compare.change import Change
    from loopwright.compare.price import Price
    from loopwright.compare.remedies.remedy import Remedy

HEADS = (
    "", "what to change", "cannot jam", "returns", "rate", "from empty", "late picks", "drained",
    "rows", "pickers", "gates", "belt cells", "floor cells", "effort", "kW",
)  # fmt: skip


def remedies_text(remedies: Sequence[Remedy], advice: Sequence[str]) -> str:
    """All that was tried and why, then what the first that helps changes, and what else would."""
    from loopwright.cli.output import table_text

    rows = [(str(number), *_row(one)) for number, one in enumerate(remedies)]
    lines = [table_text(HEADS, rows), ""]
    lines += [f"{n}. {one.why}." for n, one in enumerate(remedies) if one.why]
    lines += [
        f"{n} cannot be built: {one.refusal}." for n, one in enumerate(remedies) if not one.price
    ]
    before, best = remedies[0], first_green(remedies)
    if before.green:
        lines.append("Both is proved of every loop as it is; nothing has to be changed.")
    elif best is None:
        lines.append("None of these makes every loop safe.")
    else:
        lines += [f"The first that helps: {best.change}", *_difference(before, best)]
    return "\n".join([*lines, *(f"Not to be said in the file: {one}." for one in advice)])


def first_green(remedies: Sequence[Remedy]) -> Remedy | None:
    """The first that proves both of every loop."""
    return next((remedy for remedy in remedies if remedy.green), None)


def write_changed(source: Path, target: Path, change: Change) -> None:
    """The project file `source` with the edits of `change`, written to `target`; comments stay.

    Raises
    ------
    typer.BadParameter
        An edit is of something that stands in another file, or the text no longer reads.
    """
    from loopwright.compare.change import changed_text
    from loopwright.model import check_project
    from loopwright.model.edit import EditError
    from loopwright.record import write_text

    try:
        text = changed_text(source.read_bytes().decode("utf-8"), change)
    except EditError as error:
        raise typer.BadParameter(f"{source}: {error}") from None
    write_text(target, text)
    project, _ = check_project(target)
    if project is None:
        raise typer.BadParameter(f"{target} does not read as a project; see `loopwright check`.")


def _row(remedy: Remedy) -> tuple[str, ...]:
    from loopwright.simulate.reading.text import figure, percent

    price = remedy.price
    if price is None:
        return (str(remedy.change), *("not built",) * 2, *("-",) * 11)
    return (
        str(remedy.change),
        _answer([safe for safe, _ in remedy.outcomes]),
        _answer([back for _, back in remedy.outcomes]),
        percent(price.rate),
        percent(remedy.started),
        percent(remedy.late),
        percent(price.waste),
        str(price.rows),
        str(price.pickers),
        str(price.gates),
        str(price.cells),
        str(price.floor),
        figure(price.effort),
        figure(price.power),
    )


def _answer(outcomes: Sequence[str]) -> str:
    """The worst answer: refuted, undecided, proved; no loops, no answer."""
    for worst in ("refuted", "undecided", "proved"):
        if worst in outcomes:
            return worst
    return "no loops"


def _difference(before: Remedy, after: Remedy) -> list[str]:
    if before.price is None or after.price is None:
        return []
    from loopwright.simulate.reading.text import figure, percent

    old, new = before.price, after.price
    told = [
        f"rate {percent(old.rate)} -> {percent(new.rate)}",
        f"from an empty start {percent(before.started)} -> {percent(after.started)}",
        f"with late picks {percent(before.late)} -> {percent(after.late)}",
    ]
    if new.waste:
        told.append(f"{percent(new.waste)} of what comes in is drained")
    told += [
        f"{name} {figure(one)} -> {figure(other)}" if one != other else f"{name} as before"
        for name, one, other in _pairs(old, new)
    ]
    return [f"  before and after: {', '.join(told)}"]


def _pairs(old: Price, new: Price) -> list[tuple[str, Fraction | int, Fraction | int]]:
    return [
        ("pickers", old.pickers, new.pickers),
        ("gates", old.gates, new.gates),
        ("belt cells", old.cells, new.cells),
        ("floor cells", old.floor, new.floor),
        ("effort", old.effort, new.effort),
        ("power", old.power, new.power),
    ]
