"""Power nodes of a project, placed in its layout."""

from __future__ import annotations

from loopwright.layout.layout import Layout, PowerKind
from loopwright.layout.power.network import Network, power_network, with_network
from loopwright.model import Project


def power_kinds(project: Project) -> tuple[PowerKind, ...]:
    """The kinds of power nodes that `project` may use, as its choices say."""
    chosen = project.choices.power_node
    return tuple(
        PowerKind(name, kind.title or name, kind.shape, kind.cover, kind.span, kind.supply)
        for name, kind in project.equipment.power_nodes.items()
        if chosen in ("auto", name)
    )


def best_network(layout: Layout, project: Project) -> Network | None:
    """The network that leaves the fewest devices without power, and of those the one with the
    least effort; None where the project has no power nodes, or none are to be placed."""
    kinds = project.equipment.power_nodes

    def rank(network: Network) -> tuple[int, object, int]:
        effort = kinds[network.kind.name].effort * len(network.nodes)
        return len(network.unreached), effort, len(network.nodes)

    networks = [power_network(layout, kind, project.site.margin) for kind in power_kinds(project)]
    return min(networks, key=rank, default=None)


def with_power(layout: Layout, project: Project) -> Layout:
    """`layout` with the power nodes and links that `project` asks for."""
    network = best_network(layout, project)
    return layout if network is None else with_network(layout, network)
