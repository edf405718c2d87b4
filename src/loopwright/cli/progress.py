"""Progress of long work, on stderr and only where a person looks on."""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

BUILDING = "building the engine, once for this version of the program"


@contextmanager
def progress(title: str) -> Iterator[Callable[[float], None]]:
    """A bar; the function given out is called with the share that is done, in [0, 1]."""
    with _bar(title) as (show, _):
        yield show


@contextmanager
def run_progress(title: str) -> Iterator[Callable[[float], None]]:
    """As `progress`, of runs: it also tells when the engine must be built first."""
    from loopwright.simulate.kernel.engine import on_build

    with _bar(title) as (show, entitle):

        def tell(building: bool) -> None:
            entitle(BUILDING if building else title)

        on_build.append(tell)
        try:
            yield show
        finally:
            on_build.remove(tell)


@contextmanager
def _bar(title: str) -> Iterator[tuple[Callable[[float], None], Callable[[str], None]]]:
    """A bar: how to show a share, and how to give it another title."""
    gc.enable()  # `main` switched it off; long work may leave garbage
    if not sys.stderr.isatty():
        yield lambda share: None, lambda title: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(title, total=1.0)
        yield (
            lambda share: bar.update(task, completed=share),
            lambda title: bar.update(task, description=title),
        )
