"""Power in placed layouts: everything reached and linked, and faults found."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.finding import Severity
from loopwright.grid import Box, Cell
from loopwright.layout import check_layout, layout_document, layout_from_document
from loopwright.layout.layout import Layout, PowerKind, PowerLink, PowerNode, Station
from loopwright.layout.power.free import free_cells
from loopwright.layout.power.network import power_network, with_network
from loopwright.layout.power.place import best_network
from loopwright.layout.power.powered import powered_devices
from loopwright.model.equipment import PowerNode as NodeKind
from tests.layout.design import example, placed

POLE = PowerKind("pole", "Pole", "square", 7, 9)


def codes(layout: Layout) -> set[str]:
    return {finding.code for finding in check_layout(layout)}


def bench(count: int, power: int = 0) -> Layout:
    """Stations of 3 x 3 cells, ten cells apart."""
    stations = tuple(
        Station(f"bench {n + 1}", Box(10 * n + 2, 4, 3, 3), "pack", (), 1, power=Fraction(power))
        for n in range(count)
    )
    return Layout("t", 10 * count, 12, Fraction(1), (), (), stations=stations)


@pytest.mark.parametrize("name", ["check-block.yaml", "filter-kits.yaml", "starter.yaml"])
def test_the_examples_have_power_everywhere(name):
    project = example(name)
    layout = placed(project)
    assert layout.power_nodes
    assert check_layout(layout) == ()
    assert len(layout.power_links) == len(layout.power_nodes) - 1
    network = best_network(layout, project)
    assert network.cover == network.bound
    assert network.nodes == layout.power_nodes


def test_nodes_keep_off_docks_and_the_edge():
    project = example("starter.yaml")
    layout = placed(project)
    free = free_cells(layout, project.site.margin)
    source = layout.sources[0]
    assert source.at.step(layout_way(layout, source.belt).reverse) not in free
    assert all(2 <= cell.x < layout.width - 2 for cell in free)


def layout_way(layout, name):
    from loopwright.grid.path import heading_between

    path = next(belt.path for belt in layout.belts if belt.name == name)
    return heading_between(path[0], path[1])


def test_the_kind_with_least_effort_is_taken_and_none_is_kept_out():
    project = example("starter.yaml")
    mast = NodeKind.model_validate({"cover": 31, "span": 40, "effort": "1/2"})
    kinds = project.equipment.power_nodes | {"mast": mast}
    equipment = project.equipment.model_copy(update={"power_nodes": kinds})
    both = project.model_copy(update={"equipment": equipment})
    assert {node.kind for node in placed(both).power_nodes} == {"mast"}
    pole = both.choices.model_copy(update={"power_node": "pole"})
    chosen = placed(both.model_copy(update={"choices": pole}))
    assert {node.kind for node in chosen.power_nodes} == {"pole"}
    none = both.choices.model_copy(update={"power_node": "none"})
    bare = placed(both.model_copy(update={"choices": none}))
    assert not bare.power_nodes
    assert check_layout(bare) == ()


def test_devices_out_of_reach_are_told_with_a_cover_that_would_do():
    choices = {"architecture": "plain", "row": 8, "power_node": "pole"}
    layout = placed(example("check-block.yaml", rate=Fraction(15), **choices))
    found = check_layout(layout)
    assert {finding.code for finding in found} == {"LW415"}
    assert all(finding.severity is Severity.WARNING for finding in found)
    assert "cover: 8" in (found[0].remedy or "")
    wide = PowerKind("mast", "Mast", "square", 9, 12)
    assert codes(with_network(layout, power_network(layout, wide))) == set()


def test_a_wider_aisle_moves_the_rows_apart():
    def top(aisle: int) -> int:
        project = example("check-block.yaml", rate=Fraction(15), row=8, aisle=aisle)
        return max(station.box.y for station in placed(project).stations)

    assert top(4) > top(1)


def test_all_devices_want_power_where_no_figures_are_given():
    assert len(powered_devices(bench(3))) == 3
    mixed = replace(
        bench(3),
        stations=(replace(bench(1).stations[0], power=Fraction(2)), *bench(3).stations[1:]),
    )
    assert [device.name for device in powered_devices(mixed)] == ["bench 1"]


def test_nodes_with_a_limit_share_what_is_drawn():
    weak = replace(POLE, cover=19, span=30, supply=Fraction(5))
    layout = bench(4, power=2)
    network = power_network(layout, weak)
    assert network.extra + network.cover >= 2
    assert codes(with_network(layout, network)) == set()
    hungry = bench(1, power=9)
    assert codes(with_network(hungry, power_network(hungry, weak))) == {"LW418"}


def test_relays_carry_the_link_over_a_wide_gap():
    far = replace(bench(8), stations=(bench(8).stations[0], bench(8).stations[7]))
    network = power_network(far, POLE)
    assert network.cover == 2
    assert network.relays >= 6
    assert codes(with_network(far, network)) == set()


def test_faults_of_power_are_found():
    layout = with_network(bench(2), power_network(bench(2), replace(POLE, cover=3)))
    one, other = layout.power_nodes[0], layout.power_nodes[-1]
    cases = {
        "LW405": replace(
            layout, power_nodes=(replace(one, at=Cell(3, 5)), *layout.power_nodes[1:])
        ),
        "LW404": replace(
            layout, power_nodes=(replace(one, at=Cell(-1, 5)), *layout.power_nodes[1:])
        ),
        "LW403": replace(
            layout, power_nodes=(replace(one, name="bench 1"), *layout.power_nodes[1:])
        ),
        "LW415": replace(layout, power_nodes=layout.power_nodes[1:], power_links=()),
        "LW416": replace(layout, power_links=(PowerLink(one.name, other.name),)),
        "LW417": replace(layout, power_links=()),
        "LW419": replace(layout, power_links=(PowerLink(one.name, "nothing"),)),
    }
    spread = replace(layout, power_nodes=(one, replace(other, at=Cell(19, 11))))
    cases["LW416"] = replace(spread, power_links=(PowerLink(one.name, other.name),))
    for code, broken in cases.items():
        assert code in codes(broken), code
    stranger = PowerNode("odd", Cell(0, 0), "mast")
    assert "LW419" in codes(replace(layout, power_nodes=(*layout.power_nodes, stranger)))


def test_power_survives_the_document_and_old_documents_are_read():
    layout = placed(example("starter.yaml"))
    document = layout_document(layout)
    assert layout_from_document(document) == layout
    for key in ("power_kinds", "power_nodes", "power_links"):
        del document[key]
    for kind in ("stations", "pickers", "gates"):
        for device in document[kind]:
            del device["power"]
    assert layout_from_document(document).power_nodes == ()
