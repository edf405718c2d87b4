"""The example projects that come with the program."""

from __future__ import annotations

from pathlib import Path

import loopwright


def example_path(name: str) -> Path:
    """The example project `name`: inside an installed package, else in the checkout."""
    package = Path(loopwright.__file__).parent
    installed = package / "examples" / name
    return installed if installed.is_file() else package.parents[1] / "examples" / name
