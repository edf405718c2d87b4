"""The example projects that come with the program."""

from __future__ import annotations

from pathlib import Path

EXAMPLES = ("filter-kits.yaml", "relief-plant.yaml", "check-block.yaml", "check-block-pass.yaml")
"""Their names, the demonstration first."""


def example_path(name: str) -> Path:
    """The example project `name`: inside an installed package, else in the checkout."""
    package = Path(__file__).parents[1]
    installed = package / "examples" / name
    return installed if installed.is_file() else package.parents[1] / "examples" / name
