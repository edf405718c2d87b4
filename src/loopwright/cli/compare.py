"""`loopwright compare`: designs side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import StrEnum
from math import prod
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from loopwright.cli.option import AsJson

if TYPE_CHECKING:
    from loopwright.compare import Comparison, Variant
    from loopwright.compare.study import Axis

EXAMPLES = (
    ("loopwright compare bakery.yaml", "every architecture, single and double, beside what it is"),
    ("loopwright compare bakery.yaml --vary row=24,30,36", "rows of three lengths"),
    (
        "loopwright compare bakery.yaml --vary gate=windowed,open --vary belt=line-5,line-10",
        "all four pairs",
    ),
    ("loopwright compare old.yaml new.yaml --svg designs.svg", "two projects, and a picture"),
)


class Measure(StrEnum):
    """What may be had for less."""

    EFFORT = "effort"
    FLOOR = "floor"
    POWER = "power"
    PICKERS = "pickers"
    CELLS = "cells"
    STATIONS = "stations"


def run(
    files: Annotated[
        list[Path],
        typer.Argument(metavar="FILE...", help="Project files (YAML).", show_default=False),
    ],
    vary: Annotated[
        list[str] | None,
        typer.Option(
            metavar="KEY=A,B",
            help="Try these values of a key, such as row=24,36 or equipment.stations.oven.batches"
            "=2,4; a bare key is one of `choices`. May be given again: all combinations.",
        ),
    ] = None,
    svg: Annotated[
        Path | None, typer.Option(metavar="PATH", help="Also draw the designs as points.")
    ] = None,
    across: Annotated[
        Measure, typer.Option("--x", help="What the picture shows from left to right.")
    ] = Measure.EFFORT,
    up: Annotated[
        Measure, typer.Option("--y", help="What the picture shows from below upwards.")
    ] = Measure.FLOOR,
    csv: Annotated[
        Path | None, typer.Option(metavar="PATH", help="Also write the rows as a table.")
    ] = None,
    jobs: Annotated[
        int | None,
        typer.Option(min=1, max=256, help="Processes; as many as processors.", show_default=False),
    ] = None,
    as_json: AsJson = False,
) -> int:
    """Put designs side by side: what each takes, makes and stands.

    Each is designed, placed, counted and proved, and run: undisturbed, with a tenth of all picks
    missed, and with each supply away for two minutes. Without --vary a single FILE is held against
    its other architectures. Ends with 1 where no design makes the rate and comes back from outages.
    Ctrl-C shows the designs that are finished.
    """
    from loopwright.cli.output import table_text, write_document
    from loopwright.cli.progress import progress
    from loopwright.cli.project import project_digest
    from loopwright.compare import compare_designs, study_of
    from loopwright.compare.comparison import HEADS
    from loopwright.compare.study import MOST
    from loopwright.record import digest, write_text

    if across is up:
        raise typer.BadParameter("--x and --y have to show two measures.")
    axes = [_axis(text) for text in vary or ()]
    count = len(files) * prod(len(axis.values) for axis in axes)
    if count > MOST:
        raise typer.BadParameter(f"{count} designs are too many; at most {MOST}.")
    study = study_of(_variants(files, axes))
    with progress("comparing") as show:
        found = compare_designs(study, jobs=jobs, progress=show)
    if svg is not None:
        write_text(svg, _drawn(found, across.value, up.value))
    if csv is not None:
        write_text(csv, found.csv())
    if as_json:
        parameters = {"files": [path.name for path in files], "vary": list(vary or ())}
        source = digest([project_digest(one.project) for one in study.variants])
        write_document("comparison", source, parameters, found.document())
    else:
        typer.echo(table_text(HEADS, found.table()))
        typer.echo("\n" + "\n".join(found.sentences()))
    if not found.whole:
        raise typer.Exit(130)
    return 0 if found.sound else 1


def _axis(text: str) -> Axis:
    from loopwright.compare import read_axis

    try:
        return read_axis(text)
    except ValueError as error:
        raise typer.BadParameter(f"--vary {error}.") from None


def _variants(files: Sequence[Path], axes: Sequence[Axis]) -> Iterator[Variant]:
    """All designs; several files are told apart by their names."""
    from dataclasses import replace

    from loopwright.cli.ending import BadInputError
    from loopwright.cli.project import file_digest, open_project
    from loopwright.compare import usual_variants, varied
    from loopwright.finding import DesignError
    from loopwright.model.edit import EditError

    for path in files:
        project = open_project(path)
        if len(files) == 1 and not axes:
            yield from usual_variants(project)
            return
        try:
            text = path.read_bytes().decode("utf-8")
            for one in varied(text, axes, str(path), path.parent):
                told = f"{path.name}: {one.told}" if axes else path.name
                yield one if len(files) == 1 else replace(one, told=told)
        except EditError as error:
            raise typer.BadParameter(f"{path}: {error}") from None
        except DesignError as error:
            raise BadInputError(error.findings, file_digest(path)) from None


def _drawn(found: Comparison, across: str, up: str) -> str:
    """The designs as points."""
    from loopwright.compare.comparison import MEASURES, UNITS
    from loopwright.drawing.design_chart import DesignPoint, design_chart

    def words(name: str) -> str:
        unit = UNITS.get(name)
        return f"{name} [{unit}]" if unit else name

    front = found.front(across, up)
    points = [
        DesignPoint(
            one.variant.letter,
            one.variant.told,
            float(MEASURES[across](one.figures)),
            float(MEASURES[up](one.figures)),
            one in found.sound,
            one in front,
        )
        for one in found.outcomes
        if one.figures
    ]
    title = "Designs: filled points make the rate and come back from outages"
    return design_chart(points, words(across), words(up), title=title)
