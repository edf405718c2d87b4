"""One row: lanes, pickers, stations and the places where products leave."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from loopwright.layout.draft import Draft
from loopwright.layout.frame import Frame
from loopwright.layout.layout import Belt, Picker, Port, Station
from loopwright.layout.parts import Parts


@dataclass(frozen=True, slots=True)
class RowPlace:
    """Where a row lies: its frame, the `u` at which the first station begins, and its stations."""

    name: str
    frame: Frame
    first: int
    stations: int

    def station_start(self, index: int, parts: Parts) -> int:
        """The first `u` of the station with that index, counted from 0."""
        return self.first + row_length(index, parts) + (1 if parts.gap_before(index) else 0)

    def station_end(self, parts: Parts) -> int:
        """The last `u` that a station of the row covers."""
        return self.first + row_length(self.stations, parts) - 1


def row_length(stations: int, parts: Parts) -> int:
    """Cells along a row from its first station to its last, maintenance gaps included."""
    gaps = sum(parts.gap_before(index) for index in range(stations))
    return stations * parts.width + gaps


def lane_depth(parts: Parts, number: int = 1) -> int:
    """The `v` of the row's lane number `number`, counted from the stations outwards."""
    return parts.height + 2 + number


def draw_stations(draft: Draft, row: RowPlace, parts: Parts) -> None:
    """The stations of a row, between the picker strips."""
    for index in range(row.stations):
        draft.add(
            Station(
                f"{row.name} station {index + 1}",
                row.frame.box(row.station_start(index, parts), 2, parts.width, parts.height),
                parts.recipe.name,
                parts.caps,
                parts.outlet_cap,
                row.name,
                parts.station_power,
            )
        )


def draw_outlets(draft: Draft, row: RowPlace, parts: Parts, output: Belt) -> None:
    """A picker from each station to the output belt, at the middle of the station."""
    index_at = {cell: index for index, cell in enumerate(output.path)}
    arm = parts.outlet_arm
    for index in range(row.stations):
        u = row.station_start(index, parts) + parts.width // 2
        draft.add(
            Picker(
                f"{row.name} outlet {index + 1}",
                row.frame.cell(u, 1),
                Port(f"{row.name} station {index + 1}"),
                Port(output.name, index_at[row.frame.cell(u, 0)]),
                row.frame.away.reverse,
                arm.swing,
                arm.hand,
                arm.habit,
                arm.power,
                arm.takes,
            )
        )


def draw_inlets(draft: Draft, row: RowPlace, parts: Parts, lanes: Sequence[Belt]) -> None:
    """Pickers from the lanes to each station.

    One lane: at the middle of the station. Several: side by side, the nearest lane first, each
    with a longer reach than the one before.
    """
    start = parts.width // 2 if len(lanes) == 1 else 0
    for number, lane in enumerate(lanes, start=1):
        index_at = {cell: index for index, cell in enumerate(lane.path)}
        depth = lane_depth(parts, number)
        arm = parts.arm(number)
        suffix = f".{number}" if len(lanes) > 1 else ""
        for index in range(row.stations):
            u = row.station_start(index, parts) + start + number - 1
            draft.add(
                Picker(
                    f"{row.name} inlet {index + 1}{suffix}",
                    row.frame.cell(u, parts.height + 2),
                    Port(lane.name, index_at[row.frame.cell(u, depth)]),
                    Port(f"{row.name} station {index + 1}"),
                    row.frame.away.reverse,
                    arm.swing,
                    arm.hand,
                    arm.habit,
                    arm.power,
                    arm.takes,
                )
            )
