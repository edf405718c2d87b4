"""The runs that one command makes, one after the other, and the folder in which they are kept."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import typer

if TYPE_CHECKING:
    from loopwright.layout import Design
    from loopwright.record import Origin
    from loopwright.simulate.run import Run
    from loopwright.simulate.scenario import Scenario

KIND, INDEX = "runs", "index.json"


@dataclass(frozen=True, slots=True)
class Orders:
    """What is to be run: scenarios, replications of each, first seed, span [s] and trace.

    `seed` and `span` are None where each scenario has its own.
    """

    scenarios: tuple[str, ...]
    replications: int = 1
    seed: int | None = None
    span: Fraction | None = None
    trace: bool = False

    def document(self) -> dict[str, Any]:
        """JSON-ready form: the parameters of the runs."""
        return {
            "scenarios": list(self.scenarios),
            "replications": self.replications,
            "seed": self.seed,
            "span": None if self.span is None else str(self.span),
            "trace": self.trace,
        }


@dataclass(frozen=True, slots=True)
class Task:
    """One run: its scenario, and the name of its folder."""

    scenario: Scenario
    folder: str


def tasks_of(design: Design, orders: Orders) -> Iterator[Task]:
    """All runs that `orders` ask for.

    Raises
    ------
    typer.BadParameter
        A span leaves nothing after the warm-up.
    """
    from dataclasses import replace

    from loopwright.simulate.scenario import laid_scenario

    for name in orders.scenarios:
        entry = design.project.scenarios[name]
        if orders.span is not None:
            entry = entry.of_span(orders.span)
            if not isinstance(entry.warm_up, str) and entry.warm_up >= orders.span:
                raise typer.BadParameter(
                    f"{name}: nothing is left after the warm-up of {entry.warm_up} s; "
                    f"lengthen --hours."
                )
        scenario = laid_scenario(entry, name, design.layout)
        first = scenario.seed if orders.seed is None else orders.seed
        for number in range(orders.replications):
            folder = name if orders.replications == 1 else f"{name}-{number + 1}"
            yield Task(replace(scenario, seed=first + number), folder)


def resumed(folder: Path, source: str, span: Fraction | None) -> Orders:
    """The orders of the runs in `folder`, with another `span` [s] where one is given.

    Raises
    ------
    OSError
        There are no runs in it.
    typer.BadParameter
        They are of another project than the one with the digest `source`.
    """
    index = read_index(folder)
    if index["origin"]["input"] != source:
        raise typer.BadParameter(
            f"the project was changed since the runs in {folder} were made; run it anew with --out."
        )
    given = index["origin"]["parameters"]
    kept = None if given["span"] is None else Fraction(given["span"])
    return Orders(
        tuple(given["scenarios"]),
        given["replications"],
        given["seed"],
        kept if span is None else span,
        given["trace"],
    )


def read_index(folder: Path) -> dict[str, Any]:
    """What the index of the runs in `folder` says.

    Raises
    ------
    OSError
        There is none.
    typer.BadParameter
        It is not of the kind and version that is written here.
    """
    import json

    from loopwright.record import HeaderError, check_header

    try:
        document = json.loads((folder / INDEX).read_text("utf-8"))
        check_header(document, KIND)
    except (UnicodeDecodeError, json.JSONDecodeError, HeaderError) as error:
        raise typer.BadParameter(f"{folder / INDEX}: {error}") from error
    assert isinstance(document, dict)
    return document


def carry_out(
    design: Design,
    orders: Orders,
    until: Literal["full-rate", "jam"] | None,
    folder: Path | None,
    source: str,
    *,
    go_on: bool = False,
) -> list[Run]:
    """Run all that `orders` ask for, and keep it in `folder` if one is given.

    With `go_on` runs that are in the folder are taken up where they ended. After an interrupt the
    rest is left out; `source` is the digest of the project.
    """
    from loopwright.record import Origin

    origin = Origin(source, orders.document())
    tasks = list(tasks_of(design, orders))
    if folder is not None and not go_on:
        _clear(folder, tasks)
    runs: list[Run] = []
    for task in tasks:
        runs.append(_carry_out(design, task, orders, until, folder, origin, go_on))
        if folder is not None:
            _write_index(folder, design, orders, origin)
        if runs[-1].ended == "interrupted":
            break
    return runs


def _carry_out(
    design: Design,
    task: Task,
    orders: Orders,
    until: Literal["full-rate", "jam"] | None,
    folder: Path | None,
    origin: Origin,
    go_on: bool,
) -> Run:
    from dataclasses import replace

    from loopwright.cli.progress import run_progress
    from loopwright.simulate import simulate_layout
    from loopwright.simulate.clock import whole_ticks
    from loopwright.simulate.folder import load_run, save_run
    from loopwright.simulate.folder.folder import RUN, TRACE
    from loopwright.simulate.trace import TraceWriter

    own = None if folder is None else folder / task.folder
    past, scenario = None, task.scenario
    if own is not None and go_on and (own / RUN).exists():
        past = load_run(own, design.layout)
        if past.ticks >= whole_ticks(scenario.span, past.tick):
            return past
        scenario = replace(scenario, bin=past.scenario.bin)
    trace = None
    if own is not None and orders.trace:
        own.mkdir(parents=True, exist_ok=True)
        trace = TraceWriter(own / TRACE, origin, go_on=past is not None)
    with run_progress(f"simulating {task.folder}") as show:
        run = simulate_layout(
            design.layout,
            scenario,
            progress=show,
            past=past,
            until=until,
            target=design.target,
            trace=trace,
        )
    if own is not None:
        save_run(own, run, design.target, origin)
    return run


def _clear(folder: Path, tasks: Iterable[Task]) -> None:
    """Take away what says that earlier runs are in the folders to be written."""
    from loopwright.simulate.folder.folder import RUN, TRACE

    folder.mkdir(parents=True, exist_ok=True)
    (folder / INDEX).unlink(missing_ok=True)
    for task in tasks:
        for name in (RUN, TRACE):
            (folder / task.folder / name).unlink(missing_ok=True)


def _write_index(folder: Path, design: Design, orders: Orders, origin: Origin) -> None:
    """Write which runs are in `folder`, and how they ended."""
    import json

    from loopwright.record import header, write_text
    from loopwright.simulate.folder import read_saved
    from loopwright.simulate.folder.folder import RUN

    entries = []
    for task in tasks_of(design, orders):
        if not (folder / task.folder / RUN).exists():
            continue
        told = read_saved(folder / task.folder)["run"]
        entries.append(
            {
                "folder": task.folder,
                "scenario": task.scenario.name,
                "seed": told["scenario"]["seed"],
                "ended": told["ended"],
                "rate": told.get("rate"),
            }
        )
    text = json.dumps(header(KIND, origin) | {"runs": entries}, indent=2, ensure_ascii=False)
    write_text(folder / INDEX, text + "\n")
