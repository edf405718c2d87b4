"""What docks have to bring for a loop to come back to full rate."""

from __future__ import annotations

from collections.abc import Iterator

from loopwright.prove.mix_reason import mix_obstacles
from loopwright.prove.obstacle import Obstacle
from loopwright.prove.ring import Ring


def dock_obstacles(ring: Ring) -> Iterator[Obstacle]:
    """A carrier has to wait at every inlet in every step."""
    for feed in ring.feeds:
        if feed.mix is not None:
            yield from mix_obstacles(ring, feed.belt, feed.mix)
        elif not feed.prompt and feed.shared:
            yield Obstacle(
                f"{feed.belt} shares its docks: after an outage it may have to wait until others "
                "have enough",
                "supply each loop from docks of its own (supply: docks)",
            )
        elif not feed.prompt:
            yield Obstacle(
                f"{feed.belt} does not bring a carrier in every step",
                "supply by belts and docks as fast as the loop",
            )
