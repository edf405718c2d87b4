"""The block: rows, lanes and loops of one process, as quantities (places come later)."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class RowDesign:
    """How the stations split into rows.

    `lanes` rows of `row` stations are each fed by one lane; `make_up` further rows of
    `make_up_row` stations live on what they leave over. `fill` is the share of a lane that its
    row uses, row / c. `closed` says that nothing is left over.
    """

    lanes: int
    row: int
    make_up: int
    make_up_row: int
    fill: Fraction
    closed: bool

    @property
    def stations(self) -> int:
        """Stations in all."""
        return self.lanes * self.row + self.make_up * self.make_up_row

    @property
    def rows(self) -> int:
        """Rows in all."""
        return self.lanes + self.make_up


@dataclass(frozen=True, slots=True)
class Lane:
    """What one lane carries: carriers of each material per cycle of a station, and the stations
    that a full lane serves (`capacity`, c)."""

    materials: tuple[str, ...]
    carriers: tuple[Fraction, ...]
    capacity: Fraction


@dataclass(frozen=True, slots=True)
class Row:
    """One row: `role` is main or make-up; `lanes` run past it (one, or one a material)."""

    name: str
    role: str
    stations: int
    lanes: tuple[Lane, ...]


@dataclass(frozen=True, slots=True)
class Counts:
    """What the block takes, counted before anything is placed.

    `lanes` feed belts past rows; `supplies` belts' worth of each material from the docks, exact;
    `outputs` output belts; `pickers` inlet and outlet pickers; `effort` of stations and pickers.
    """

    stations: int
    lanes: int
    supplies: tuple[tuple[str, Fraction], ...]
    outputs: int
    pickers: int
    effort: Fraction
    power: Fraction


@dataclass(frozen=True, slots=True)
class Block:
    """All rows that make one product, in one architecture (plain, loop or pass).

    `sides` is double (two rows back to back round one output belt) or single. Keys `belt`,
    `output_belt`, `picker`, `output_picker` name equipment; `gate` is the gate rule of loops.
    `mix` says what mixes fresh material before lanes, gate or mixer, and `net_rate` how much of a
    full belt comes out of it. `stations` is what the plan asks, exact; `output_capacity` the
    stations that one output belt serves.
    `reason` says in a sentence why this design and no other. `treatment` marks all that the rows
    take; "" where none does.
    """

    process: str
    product: str
    architecture: str
    sides: str
    stations: Fraction
    capacity: Fraction
    output_capacity: Fraction
    design: RowDesign
    designs: tuple[RowDesign, ...]
    rows: tuple[Row, ...]
    belt: str
    output_belt: str
    picker: str
    output_picker: str
    gate: str
    counts: Counts
    reason: str
    mix: str = "gate"
    net_rate: Fraction = Fraction(1)
    treatment: str = ""
