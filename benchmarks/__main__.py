"""Timed cases: `python -m benchmarks`, or with names of cases to run those only.

A case is a module of this folder with a function `run`, which yields lines to print, such as
"640 stations, one hour: 1.9 s".
"""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path


def main(wanted: list[str]) -> int:
    """Run the cases named in `wanted`, or all."""
    names = [path.stem for path in sorted(Path(__file__).parent.glob("[a-z]*.py"))]
    unknown = sorted(set(wanted) - set(names))
    if unknown:
        print(f"no such case: {', '.join(unknown)}; there are: {', '.join(names)}", file=sys.stderr)
        return 2
    for name in wanted or names:
        for line in import_module(f"benchmarks.{name}").run():
            print(f"{name}: {line}", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
