"""The plan as a graph: materials and processes as nodes, flows as links."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from loopwright.plan.plan import Flow, Plan, ProcessPlan


@dataclass(frozen=True, slots=True, eq=False)
class Node:
    """A process or a material; `kind` is process or material, `index` its place in the plan."""

    kind: str
    index: int
    name: str


@dataclass(frozen=True, slots=True, eq=False)
class Link:
    """A flow of one material between two nodes [units/s]; `back` where it returns upstream."""

    source: Node
    target: Node
    material: str
    rate: float
    back: bool = False


@dataclass(frozen=True, slots=True)
class Graph:
    """Nodes in the order of the plan, processes first, and the links between them."""

    nodes: tuple[Node, ...]
    links: tuple[Link, ...]
    products: frozenset[str]

    def forward(self) -> list[Link]:
        """Links that do not return."""
        return [link for link in self.links if not link.back]


def flow_graph(plan: Plan) -> Graph:
    """The graph of `plan`; links that would close a ring of flows are marked as returning."""
    materials = {
        entry.material: Node("material", index, entry.material)
        for index, entry in enumerate(plan.materials)
    }
    nodes: list[Node] = []
    links: list[Link] = []
    for index, entry in enumerate(plan.processes):
        if not entry.cycles:
            continue
        process = Node("process", index, entry.process)
        nodes.append(process)
        for takes, flow in _flows(entry):
            node = materials[flow.material]
            ends = (node, process) if takes else (process, node)
            links.append(Link(*ends, flow.material, float(flow.rate)))
    met = {node for link in links for node in (link.source, link.target)}
    nodes += [
        node
        for node, entry in zip(materials.values(), plan.materials, strict=True)
        if node in met or entry.flow
    ]
    products = frozenset(entry.material for entry in plan.materials if entry.demanded)
    outside = {
        materials[entry.material]: float(entry.flow - entry.made) for entry in plan.materials
    }
    return Graph(tuple(nodes), mark_returns(nodes, links, outside), products)


def _flows(entry: ProcessPlan) -> Iterator[tuple[bool, Flow]]:
    """What a process takes (True) and gives (False)."""
    yield from ((True, flow) for flow in entry.uses if flow.rate)
    yield from ((False, flow) for flow in entry.makes if flow.rate)


def mark_returns(
    nodes: Sequence[Node], links: Iterable[Link], outside: Mapping[Node, float]
) -> tuple[Link, ...]:
    """The links, with those marked as `back` that have to be to leave no ring.

    A ring is cut where the smallest share of what a node gets comes from it; `outside` is what
    materials get from elsewhere [units/s].
    """
    given = list(links)
    rank = {node: place for place, node in enumerate(_peeled(nodes, given, outside))}
    back = [link for link in given if rank[link.source] > rank[link.target]]
    kept = [link for link in given if rank[link.source] < rank[link.target]]
    for link in sorted(back, key=lambda link: -link.rate):
        if not _leads(link.target, link.source, kept):
            kept.append(link)
            back.remove(link)
    turned = set(back)
    return tuple(
        Link(link.source, link.target, link.material, link.rate, back=link in turned)
        for link in given
    )


def _peeled(
    nodes: Sequence[Node], links: Sequence[Link], outside: Mapping[Node, float]
) -> list[Node]:
    """All nodes in an order of flow: sources are taken off first, sinks last."""
    after: dict[Node, list[Link]] = defaultdict(list)
    before: dict[Node, list[Link]] = defaultdict(list)
    for link in links:
        after[link.source].append(link)
        before[link.target].append(link)
    left = dict.fromkeys(nodes)
    degree = {node: len(before[node]) for node in nodes}
    intake = {
        node: sum(link.rate for link in before[node]) + outside.get(node, 0.0) for node in nodes
    }
    order: list[Node] = []

    def waiting(node: Node) -> tuple[float, int]:
        missing = sum(link.rate for link in before[node] if link.source in left)
        return missing / intake[node] if intake[node] else 0.0, -node.index

    ready = [node for node in nodes if not degree[node]]
    while left:
        node = ready.pop(0) if ready else min(left, key=waiting)
        if node not in left:
            continue
        del left[node]
        order.append(node)
        for link in after[node]:
            degree[link.target] -= 1
            if not degree[link.target] and link.target in left:
                ready.append(link.target)
    return order


def _leads(start: Node, goal: Node, links: Iterable[Link]) -> bool:
    """Whether the links lead from `start` to `goal`."""
    after: dict[Node, list[Node]] = defaultdict(list)
    for link in links:
        after[link.source].append(link.target)
    seen, stack = {start}, [start]
    while stack:
        node = stack.pop()
        if node == goal:
            return True
        fresh = [other for other in after[node] if other not in seen]
        seen.update(fresh)
        stack += fresh
    return False
