"""A short film of a run, drawn from its trace over the layout."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from PIL import Image

from loopwright.drawing.film import MOST_FRAMES, RATE, Film, Shot, film_formats, write_film
from loopwright.record import Origin, digest
from loopwright.simulate import simulate_layout
from loopwright.simulate.trace import Trace, TraceWriter
from loopwright.studio.options import FilmOptions
from loopwright.studio.work.task import Task, TaskError, scenario_of

TRACE = "film.trace"

MOST_BEFORE = 60_000
"""Frames of the run up to the end of the film; those before its start are not drawn."""


def run(task: Task) -> None:
    """Run the scenario up to the end of the film, and draw the frames from its start on."""
    laid, options = task.lay(), task.read_options(FilmOptions)
    if options.format not in film_formats():
        raise TaskError(
            "Films are written as MP4 only with the package imageio-ffmpeg: install it, or take "
            "WebP, GIF or APNG."
        )
    start, span = options.start, options.span
    every = Fraction(options.speed).limit_denominator(100) / RATE
    count = int(span / every)
    if not 1 <= count <= MOST_FRAMES:
        raise TaskError(
            f"That is a film of {count} frames; 1 to {MOST_FRAMES} fit: change its span or speed."
        )
    if (start + span) / every > MOST_BEFORE:
        raise TaskError(f"The film begins too late: at most {int(MOST_BEFORE * every)} s on.")
    scenario = replace(scenario_of(laid, options.scenario), span=start + span, warm_up=Fraction(0))
    path = task.home / TRACE
    writer = TraceWriter(path, Origin(digest(laid.project.document())), every)
    show = task.part(f"simulating {scenario.name}", 0.0, 0.3)
    made = simulate_layout(laid.layout, scenario, progress=show, trace=writer)
    try:
        if made.ended == "interrupted":
            raise KeyboardInterrupt
        name = f"{task.stem}-{scenario.name}.{options.format}"
        film = Film(
            laid.layout, width=options.width, theme=options.theme,
            caption=options.caption or f"{laid.layout.title}, {scenario.name}",
        )  # fmt: skip
        with Trace.open(path) as trace:
            first = -(-start // every)
            last = min(len(trace), first + count)
            frames = last - first

            def draw(share: float) -> None:
                task.step(0.3 + 0.7 * share, f"frame {round(share * frames)} of {frames}")

            def pictures() -> Iterator[Image.Image]:
                return map(film.picture, _shots(trace, first, last))

            write_film(task.path(name), pictures, options.format, frames, draw)
    finally:
        path.unlink(missing_ok=True)
    task.result("film", laid, {"file": name, "frames": frames, "rate": RATE,
                               "size": [film.width, film.height]})  # fmt: skip


def _shots(trace: Trace, first: int, last: int) -> Iterator[Shot]:
    for number in range(first, last):
        frame = trace.number(number)
        yield Shot(frame.time, frame.belts)
