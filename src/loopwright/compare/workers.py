"""Cases shared out among processes; rows come back in the order of the cases."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from multiprocessing import get_context
from typing import TYPE_CHECKING

from loopwright.compare.battery import Battery
from loopwright.compare.case import Case
from loopwright.layout.layout import Layout

if TYPE_CHECKING:
    from loopwright.compare.measure import Row


def run_cases(
    layout: Layout,
    cases: Sequence[Case],
    *,
    jobs: int | None = None,
    progress: Callable[[float], None] | None = None,
    each: Callable[[Battery], None] | None = None,
) -> Battery:
    """A row for each of `cases`, in their order, by `jobs` processes (as many as there are
    processors, unless told; with 1 none is started).

    `progress` is called with the share that is done, `each` with the rows so far after each row. An
    interrupt from the keyboard ends it early; rows that are finished are kept.
    """
    count = min(jobs or os.cpu_count() or 1, len(cases))
    if count <= 1:
        return _alone(layout, cases, progress, each)
    rows: dict[int, Row] = {}
    pool = ProcessPoolExecutor(
        count, mp_context=get_context("spawn"), initializer=_begin, initargs=(layout,)
    )
    try:
        futures: dict[Future[Row], int] = {
            pool.submit(_one, case): number for number, case in enumerate(cases)
        }
        for future in as_completed(futures):
            rows[futures[future]] = future.result()
            if progress is not None:
                progress(len(rows) / len(cases))
            if each is not None:
                each(_so_far(cases, rows))
        pool.shutdown()
    except KeyboardInterrupt:
        pool.shutdown(wait=False, cancel_futures=True)
    return _so_far(cases, rows)


def _alone(
    layout: Layout,
    cases: Sequence[Case],
    progress: Callable[[float], None] | None,
    each: Callable[[Battery], None] | None,
) -> Battery:
    from loopwright.compare.measure import measure_case

    rows: dict[int, Row] = {}
    try:
        for number, case in enumerate(cases):
            rows[number] = measure_case(layout, case)
            if progress is not None:
                progress(len(rows) / len(cases))
            if each is not None:
                each(_so_far(cases, rows))
    except KeyboardInterrupt:
        pass
    return _so_far(cases, rows)


def _so_far(cases: Sequence[Case], rows: Mapping[int, Row]) -> Battery:
    return Battery(tuple(cases), tuple(rows[number] for number in sorted(rows)))


_LAYOUT: list[Layout] = []
"""The layout of a worker, sent once."""


def _begin(layout: Layout) -> None:
    """A worker starts; Ctrl-C at the terminal is for the process that shares out."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _LAYOUT[:] = [layout]


def _one(case: Case) -> Row:
    from loopwright.compare.measure import measure_case

    return measure_case(_LAYOUT[0], case)
