"""What happens in a tick, in plain words: the slow twin of the compiled engine.

It reads a layout document and state documents, imports nothing but the standard library, and
follows docs/theory/simulate.md step by step; numbers in docstrings are those of the page.

    python -m reference.simulate layout.json --ticks 1000 [--state state.json]
                                             [--outage SOURCE:START:SPAN]
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterable, Sequence
from fractions import Fraction
from pathlib import Path

from reference.audit import audit
from reference.belts import step
from reference.hands import account, deliver, drop, end_cycles, end_swings, pick, start_cycles
from reference.site import Document, Site
from reference.start import read_state, write_state
from reference.trouble import Trouble, act_by_hand, fail_and_repair


class Plant:
    """A layout at work."""

    def __init__(
        self,
        layout_document: Document,
        outages: Iterable[Document] = (),
        state: Document | None = None,
        troubles: Document | None = None,
    ) -> None:
        """Start empty, or from the document `state`.

        An outage holds a `source`, its `start` [s] from tick 0 on and its `span` [s]. `troubles`
        holds the `seed` and lists of disturbances.
        """
        self._site = Site(layout_document, outages, state)
        self._site.trouble = Trouble(self._site, troubles or {})
        self._start = read_state(self.state())

    @property
    def tick(self) -> Fraction:
        """Length of a tick [s]."""
        return self._site.tick

    @property
    def breaks(self) -> list[str]:
        """The belts at which rings are broken."""
        return self._site.breaks

    def run(self, ticks: int) -> None:
        """Carry out `ticks` ticks."""
        site = self._site
        for _ in range(ticks):
            site.now["tick"] += 1

            act_by_hand(site)
            fail_and_repair(site)

            end_cycles(site)
            end_swings(site)
            deliver(site)
            start_cycles(site)
            deliver(site)

            for belt in site.order:
                if site.now["tick"] % site.step[belt] == 0:
                    step(site, belt)

            drop(site)
            for picker in site.pick_order:
                pick(site, picker)
            start_cycles(site)
            deliver(site)

            account(site)

    def state(self) -> Document:
        """The state document of this moment."""
        return write_state(self._site.now)

    def audit(self) -> None:
        """Raise AssertionError if some material does not balance since the start state."""
        audit(self._site.layout, self._start, self._site.now)


def outage_from(text: str) -> Document:
    """The outage written as SOURCE:START:SPAN; the name of the source may hold colons."""
    source, start, span = text.rsplit(":", 2)
    return {"source": source, "start": start, "span": span}


def main(arguments: Sequence[str] | None = None) -> None:
    """Run a layout file and print the end state."""
    parser = argparse.ArgumentParser(prog="python -m reference.simulate")
    parser.add_argument("layout", type=Path, help="layout document, or a file that holds one")
    parser.add_argument("--ticks", type=int, required=True)
    parser.add_argument("--state", type=Path, help="state document to go on from")
    parser.add_argument("--outage", type=outage_from, action="append", default=[])
    options = parser.parse_args(arguments)

    document = json.loads(options.layout.read_text(encoding="utf-8"))
    state = json.loads(options.state.read_text(encoding="utf-8")) if options.state else None
    plant = Plant(document.get("layout", document), options.outage, state)
    plant.run(options.ticks)
    plant.audit()
    json.dump(plant.state(), sys.stdout, indent=1)
    print()


if __name__ == "__main__":
    main()
