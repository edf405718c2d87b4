"""The answers about a loop, and the runs that go with them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from loopwright.prove.claim import Claim
from loopwright.prove.ring import Ring
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.state import State

PROVED, REFUTED, UNDECIDED = "proved", "refuted", "undecided"


@dataclass(frozen=True, slots=True)
class Jam:
    """A run into a jam: `simulate_layout(layout, scenario, start=start)` ends in a state in which
    no station of the loop can ever start again, though all docks supply.

    `start` is None where the scenario's own start will do; `missing` is what was stopped for
    `span` [s], None if nothing was; `sentence` says how the loop stands in the end.
    """

    loop: str
    scenario: Scenario
    start: State | None
    missing: str | None
    span: Fraction
    sentence: str


@dataclass(frozen=True, slots=True)
class Recovery:
    """A measured run: `share` of full rate in its last part, long after `missing` had been stopped
    for `span` [s]; nothing was stopped where `missing` is None. `lasting` says that the share no
    longer rises; `returned` is what carriers on the last belt of the loop hold in the end, of full
    ones, None where none come back."""

    loop: str
    scenario: Scenario
    missing: str | None
    span: Fraction
    share: Fraction
    lasting: bool = True
    returned: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Verdict:
    """One answer about one loop.

    `outcome` is proved, refuted or undecided. `claim` holds the proof, `jam` or `shortfall` the
    run that refutes it, `runs` what was measured where nothing is proved; `because` says why in
    sentences with numbers, `remedies` what to change, the best first.
    """

    ring: Ring
    question: str
    outcome: str
    because: tuple[str, ...]
    claim: Claim | None = None
    jam: Jam | None = None
    shortfall: Recovery | None = None
    runs: tuple[Recovery, ...] = ()
    remedies: tuple[str, ...] = ()

    @property
    def loop(self) -> str:
        """Name of the loop."""
        return self.ring.name
