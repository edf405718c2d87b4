"""Work shared out among processes; results come back in the order of what was given out."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from functools import partial
from multiprocessing import get_context
from typing import TYPE_CHECKING, Any, TypeVar

from loopwright.compare.comparison import Comparison
from loopwright.compare.stress.battery import Battery
from loopwright.compare.stress.case import Case
from loopwright.compare.study import Study
from loopwright.layout.layout import Layout

if TYPE_CHECKING:
    from loopwright.compare.design import Outcome
    from loopwright.compare.stress.measure import Row
    from loopwright.compare.study import Variant

Thing = TypeVar("Thing")
Result = TypeVar("Result")


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

    def so_far(rows: Sequence[Row]) -> Battery:
        return Battery(tuple(cases), tuple(rows))

    def told(rows: Sequence[Row]) -> None:
        if progress is not None:
            progress(len(rows) / len(cases))
        if each is not None:
            each(so_far(rows))

    return so_far(_share_out(partial(_case, layout), cases, jobs, told))


def compare_designs(
    study: Study,
    *,
    jobs: int | None = None,
    progress: Callable[[float], None] | None = None,
    each: Callable[[Comparison], None] | None = None,
) -> Comparison:
    """What came of each design of `study`; all else is as in `run_cases`."""

    def so_far(outcomes: Sequence[Outcome]) -> Comparison:
        return Comparison(study, tuple(outcomes))

    def told(outcomes: Sequence[Outcome]) -> None:
        if progress is not None:
            progress(len(outcomes) / len(study.variants))
        if each is not None:
            each(so_far(outcomes))

    return so_far(_share_out(_variant, study.variants, jobs, told))


def _case(layout: Layout, case: Case) -> Row:
    from loopwright.compare.stress.measure import measure_case

    return measure_case(layout, case)


def _variant(variant: Variant) -> Outcome:
    from loopwright.compare.design import measure_design

    return measure_design(variant)


def _share_out(
    work: Callable[[Thing], Result],
    things: Sequence[Thing],
    jobs: int | None,
    told: Callable[[Sequence[Result]], None],
) -> list[Result]:
    """What `work` makes of each of `things`; `told` gets what there is after each."""
    results: dict[int, Result] = {}
    count = min(jobs or os.cpu_count() or 1, len(things))
    if count <= 1:
        try:
            for number, thing in enumerate(things):
                results[number] = work(thing)
                told(_in_order(results))
        except KeyboardInterrupt:
            pass
        return _in_order(results)
    pool = ProcessPoolExecutor(
        count, mp_context=get_context("spawn"), initializer=_begin, initargs=(work,)
    )
    try:
        futures: dict[Future[Result], int] = {
            pool.submit(_one, thing): number for number, thing in enumerate(things)
        }
        for future in as_completed(futures):
            results[futures[future]] = future.result()
            told(_in_order(results))
        pool.shutdown()
    except KeyboardInterrupt:
        pool.shutdown(wait=False, cancel_futures=True)
    return _in_order(results)


def _in_order(results: Mapping[int, Result]) -> list[Result]:
    return [results[number] for number in sorted(results)]


_WORK: list[Callable[[Any], Any]] = []
"""What a worker does, sent once with all that it needs for it."""


def _begin(work: Callable[[Any], Any]) -> None:
    """A worker starts; Ctrl-C at the terminal is for the process that shares out."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _WORK[:] = [work]


def _one(thing: Any) -> Any:
    return _WORK[0](thing)
