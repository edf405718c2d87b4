"""A measured number, how it is printed, and the history of those that were kept.

    python -m benchmarks --record

appends every figure of a run to `history.csv`. Numbers of different machines, and of the same
machine under different load, say little about each other; that is why both stand beside them.
"""

from __future__ import annotations

import csv
import os
import platform
import subprocess
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

HISTORY = Path(__file__).with_name("history.csv")
COLUMNS = ("date", "commit", "machine", "load", "case", "figure", "value", "unit")


@dataclass(frozen=True)
class Figure:
    """`value` in `unit` of `name`, in `case`; the goal is to be at least that, or at most."""

    case: str
    name: str
    value: float
    unit: str
    at_least: float | None = None
    at_most: float | None = None

    @property
    def missed(self) -> bool:
        """Whether there is a goal and the value does not reach it."""
        low = self.at_least is not None and self.value < self.at_least
        return low or (self.at_most is not None and self.value > self.at_most)

    def __str__(self) -> str:
        text = f"{self.case:22} {self.name:31} {_number(self.value):>7} {self.unit:20}"
        if self.at_least is not None:
            text += f" goal at least {_number(self.at_least)}"
        if self.at_most is not None:
            text += f" goal at most {_number(self.at_most)}"
        return f"{text}{', MISSED' if self.missed else ''}".rstrip()


def _number(value: float) -> str:
    """Three digits or more."""
    return f"{value:,.0f}" if abs(value) >= 100 else f"{value:.3g}"


def load_average() -> float:
    """Processes that want to run, over the last minute; NaN where the system does not say."""
    return os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")


def machine() -> str:
    """Processor and its cores."""
    name = platform.processor() or platform.machine()
    try:
        lines = Path("/proc/cpuinfo").read_text("utf-8").splitlines()
        name = next(line.split(": ", 1)[1] for line in lines if line.startswith("model name"))
    except (OSError, StopIteration):
        pass
    return f"{name}, {os.cpu_count()} cores"


def record(figures: Iterable[Figure], load: float) -> None:
    """Append `figures` to the history; `load` is that before they were taken."""
    described = subprocess.run(
        ["git", "describe", "--always", "--dirty"],
        cwd=HISTORY.parent,
        capture_output=True,
        text=True,
        check=False,
    )
    head = (
        datetime.now(UTC).strftime("%Y-%m-%d %H:%M"),
        described.stdout.strip() or "unknown",
        machine(),
        f"{load:.1f}",
    )
    fresh = not HISTORY.exists()
    with HISTORY.open("a", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        if fresh:
            rows.writerow(COLUMNS)
        for figure in figures:
            rows.writerow((*head, figure.case, figure.name, f"{figure.value:.4g}", figure.unit))
