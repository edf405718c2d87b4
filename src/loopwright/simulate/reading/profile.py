"""What is on each cell of a belt, in the mean of the samples and at the end."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from loopwright.simulate.reading.count import warm_samples
from loopwright.simulate.run import Run
from loopwright.simulate.state import Carrier


@dataclass(frozen=True, slots=True)
class BeltProfile:
    """Cells from tail to head: `seen` are the samples after the warm-up in which each cell held a
    carrier of each material, of `samples` in all; `end` is what is on the cells at the end."""

    belt: str
    samples: int
    seen: Mapping[str, tuple[int, ...]]
    end: tuple[Carrier | None, ...]

    def share(self, material: str, cell: int) -> Fraction:
        """Share of the samples in which `cell` held `material`."""
        return Fraction(self.seen[material][cell], self.samples) if self.samples else Fraction(0)

    @property
    def fill(self) -> Fraction:
        """Share of cells and samples with any carrier."""
        places = self.samples * len(self.end)
        return Fraction(sum(map(sum, self.seen.values())), places) if places else Fraction(0)

    @property
    def mix(self) -> Mapping[str, Fraction]:
        """Share of each material among the carriers seen."""
        whole = sum(map(sum, self.seen.values()))
        return {name: Fraction(sum(seen), whole) for name, seen in self.seen.items() if whole}


def belt_profile(run: Run, belt: str) -> BeltProfile:
    """The profile of one belt; materials never seen on it are left out.

    Raises
    ------
    ValueError
        There is no such belt, or the run has no samples.
    """
    samples = run.samples
    if samples is None:
        raise ValueError("the run has no samples")
    cells = samples.cells_of(belt)
    counts = samples.occupied[cells] - samples.occupied_warm[cells]
    count = len(samples) - warm_samples(run)
    seen = {
        name: tuple(counts[:, index].tolist())
        for index, name in enumerate(samples.materials)
        if counts[:, index].any()
    }
    return BeltProfile(belt, max(count, 0), seen, run.end.belts[belt])
