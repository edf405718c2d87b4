"""The most memory that a process needs which lays out a block and runs it.

python -m benchmarks.peak 640      prints it in MB
"""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction
from pathlib import Path


def peak(stations: int) -> float:
    """The peak of a process of its own [MB]; the compiled engine is on disk already."""
    command = [sys.executable, "-m", "benchmarks.peak", str(stations)]
    done = subprocess.run(
        command, capture_output=True, text=True, check=True, cwd=Path(__file__).parents[1]
    )
    return float(done.stdout)


def resident() -> float:
    """The peak of this process so far [MB]."""
    try:
        lines = Path("/proc/self/status").read_text("utf-8").splitlines()
        return int(next(line for line in lines if line.startswith("VmHWM")).split()[1]) / 1024
    except (OSError, StopIteration):
        import resource

        unit = 1024 if sys.platform == "darwin" else 1  # bytes there, kilobytes elsewhere
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / unit / 1024


def main(stations: int) -> None:
    """A minute of `bal` with `stations`."""
    from benchmarks.mixed_block import CASES, block
    from benchmarks.trial import Plant

    Plant(block(CASES["bal"], stations)).run(Fraction(60))
    print(f"{resident():.1f}")


if __name__ == "__main__":
    main(int(sys.argv[1]))
