"""Several belts over one ground: laid one by one, taken up again where they stand in the way."""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.grid import Cell
from loopwright.layout.route.ground import Ground
from loopwright.layout.route.search import STEP, Net, find_path, path_cost

ROUNDS = 12
"""How often one belt may be laid before it is given up."""


@dataclass(frozen=True, slots=True)
class Ways:
    """The path of each net; `cost` is the objective (cells, bridges and crossings), `bound` what
    it would be if each belt lay there alone, which is a lower bound."""

    paths: Mapping[str, tuple[Cell, ...]]
    cost: int
    bound: int

    @property
    def excess(self) -> int:
        """The objective beyond its lower bound."""
        return self.cost - self.bound

    def text(self) -> str:
        """The objective beside its bound, in one line."""
        return f"{len(self.paths)} belts, objective {self.cost}, at least {self.bound}"


def route_nets(ground: Ground, nets: Sequence[Net]) -> Ways:
    """Ways for all `nets` over `ground`, none on another's cells; `ground` is left as it was.

    The shortest nets go first. A net that finds no way is laid across what is in its way, which is
    taken up and laid anew; each time a cell is fought for it becomes dearer. In the end each is
    laid anew once more, if that makes it shorter.

    Raises
    ------
    DesignError
        LW422: a belt has no way, even alone, or none was found beside the others.
    """
    alone = {net.name: find_path(ground, net) for net in nets}
    lost = [_no_way(net) for net in nets if alone[net.name] is None]
    if lost:
        raise DesignError(tuple(lost))
    bound = sum(path_cost(path, ground) for path in alone.values() if path)
    laid: dict[str, tuple[Cell, ...]] = {}
    dear: Counter[Cell] = Counter()
    tries: dict[str, int] = defaultdict(int)
    order = sorted(nets, key=lambda net: (len(alone[net.name] or ()), net.name))
    ends = {net.name: {net.start, net.goal} for net in nets}
    waiting = deque(order)
    while waiting:
        net = waiting.popleft()
        tries[net.name] += 1
        if tries[net.name] > ROUNDS:
            raise DesignError((_no_way(net),))
        kept = [cells for name, cells in ends.items() if name != net.name and name not in laid]
        around = _with_belts(ground, [*laid.values(), *kept])
        path = find_path(around, net, dear.__getitem__ if dear else None)
        if path is None:
            path = _push(ground, net, laid, kept, dear)
            if path is None:
                raise DesignError((_no_way(net),))
            for name in [name for name, other in laid.items() if set(path) & set(other)]:
                for cell in set(path) & set(laid.pop(name)):
                    dear[cell] += STEP
                waiting.append(next(other for other in nets if other.name == name))
        laid[net.name] = path
    for net in order:
        _shorten(ground, net, laid)
    paths = {net.name: laid[net.name] for net in nets}
    return Ways(paths, _cost(ground, paths), bound)


def _with_belts(ground: Ground, paths: Iterable[Iterable[Cell]]) -> Ground:
    return replace(ground, belts=ground.belts.union(*paths))


def _shorten(ground: Ground, net: Net, laid: dict[str, tuple[Cell, ...]]) -> None:
    """Lay `net` anew where the others leave it a better way now than when it was laid."""
    around = _with_belts(ground, [path for name, path in laid.items() if name != net.name])
    path = find_path(around, net)
    if path is not None and path_cost(path, around) < path_cost(laid[net.name], around):
        laid[net.name] = path


def _push(
    ground: Ground,
    net: Net,
    laid: Mapping[str, tuple[Cell, ...]],
    kept: Iterable[Iterable[Cell]],
    dear: Mapping[Cell, int],
) -> tuple[Cell, ...] | None:
    """The way of `net` that takes up least of what is laid."""
    taken = {cell for path in laid.values() for cell in path}

    def extra(cell: Cell) -> int:
        return dear[cell] + (4 * STEP + dear[cell] if cell in taken else 0)

    return find_path(_with_belts(ground, kept), net, extra)


def _cost(ground: Ground, paths: Mapping[str, tuple[Cell, ...]]) -> int:
    """The objective of all ways; each crossing is counted once, with the belt that goes over."""
    everything = _with_belts(ground, paths.values())
    return sum(path_cost(path, everything) for path in paths.values())


def _no_way(net: Net) -> Finding:
    return new_finding(
        "LW422",
        f"no way for {net.name} from {net.start.x},{net.start.y} to {net.goal.x},{net.goal.y}",
        Place(device=net.name),
    )
