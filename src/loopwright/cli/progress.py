"""Progress of long work, on stderr and only where a person looks on."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def progress(title: str, total: int) -> Iterator[Callable[[int], None]]:
    """A bar for work of `total` steps; the function given out is called with the steps done."""
    if not sys.stderr.isatty():
        yield lambda done: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(title, total=total)
        yield lambda done: bar.update(task, completed=done)
