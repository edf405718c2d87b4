"""Timed cases: `python -m benchmarks`, or with names of cases to run those only.

A case is a module of this folder with a function `run`, which yields lines to print, such as
"check of the starter project 1.05 s", and figures. With `--record` the figures go to the history.
"""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path

from benchmarks.figure import Figure, load_average, machine, record

FOLDER = Path(__file__).parent


def cases() -> list[str]:
    """The names of all cases."""
    files = sorted(FOLDER.glob("[a-z]*.py"))
    return [file.stem for file in files if "\ndef run(" in file.read_text("utf-8")]


def main(wanted: list[str]) -> int:
    """Run the cases named in `wanted`, or all."""
    keep = "--record" in wanted
    wanted = [name for name in wanted if name != "--record"]
    names = cases()
    unknown = sorted(set(wanted) - set(names))
    if unknown:
        print(f"no such case: {', '.join(unknown)}; there are: {', '.join(names)}", file=sys.stderr)
        return 2
    load = load_average()
    print(f"{machine()}, load average {load:.1f}", flush=True)
    figures = []
    for name in wanted or names:
        for line in import_module(f"benchmarks.{name}").run():
            print(f"{name}: {line}", flush=True)
            if isinstance(line, Figure):
                figures.append(line)
    print(f"load average {load_average():.1f}")
    if keep:
        record(figures, load)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
