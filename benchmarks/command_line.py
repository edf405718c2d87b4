"""How long the user waits for the command line itself."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

STARTER = Path(__file__).parents[1] / "examples" / "starter.yaml"


def _best(*words: str) -> float:
    command = [sys.executable, "-c", "from loopwright.cli.main import main; main()", *words]
    times = []
    for _ in range(5):
        start = time.perf_counter()
        subprocess.run(command, capture_output=True, check=True)
        times.append(time.perf_counter() - start)
    return min(times)


def run() -> Iterator[str]:
    """Best of five each."""
    yield f"--help {_best('--help'):.2f} s (promised: under 0.3 s)"
    for command in ("check", "plan", "block"):
        yield f"{command} of the starter project {_best(command, str(STARTER)):.2f} s"
