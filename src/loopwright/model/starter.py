"""A small project to start from."""

from __future__ import annotations

from loopwright.model.field import shown

_TEXT = """\
# A packing plant for household water-filter kits; all figures are invented.
# Eight stations pack kits from candles, taps and seals that arrive at docks.
# Numbers are read exactly: 12, 0.25 and 16/3 are all fine. Units: s, min, h; /s, /min, /h;
# carriers/s for belts; W, kW, MW; mm, cm, m. What is left out has a default.

project:
  format: 1                      # version of this file format
  name: {name}
  about: Packs household water-filter kits for a relief store.

# What travels. A belt moves carriers; each holds up to `stack` units of one material.
materials:
  candle:
    title: Ceramic candle
    letter: C                    # mark on drawings, 1 or 2 characters
    stack: 4
  tap:
    title: Tap
    letter: T
    stack: 4
  seal:
    title: Silicone seal
    letter: S
    stack: 4
  kit:
    title: Water-filter kit
    letter: K

# What is done: inputs become outputs in one cycle on a station.
processes:
  pack:
    title: Pack a kit
    station: packer              # a station of the equipment below
    cycle: 8 s
    inputs: {{candle: 2, tap: 1, seal: 2}}
    outputs: {{kit: 1}}

# What can be bought. Several belts or pickers may stand here; `choices` picks among them.
equipment:
  stations:
    packer: {{title: Packing bench, width: 3, height: 3, power: 2 kW, effort: 10}}
  belts:
    belt: {{title: Carrier belt, speed: 3 carriers/s, power: 20 W}}
  pickers:
    arm: {{title: Picking arm, swing: 1/2 s, hand: 1, power: 0.4 kW}}
  power_nodes:
    pole: {{title: Power pole, cover: 7, span: 9}}

# Where it stands: cells of 1 m; a column at the west side is in the way.
site:
  width: 80
  height: 50
  cell: 1 m
  obstacles:
    - {{x: 4, y: 5, width: 2, height: 2}}
  docks:
    - {{material: candle, rate: 3/s}}
    - {{material: tap, rate: 90/min}}
    - {{material: seal, rate: 3/s}}

# What must come out: 8 stations of 1 kit in 8 s give 60 kits a minute.
demand:
  kit: 60/min

# What is settled. Everything on auto is worked out.
choices:
  architecture: auto             # plain, loop or pass
  row: auto                      # stations in a row
  gate: auto

# What is tried: a steady run, and one in which the seals stop for two minutes.
scenarios:
  steady:
    start: primed
    span: 10 min
    warm_up: 2 min
  no_seals:
    start: primed
    span: 20 min
    warm_up: 2 min
    outages:
      - {{material: seal, at: 5 min, span: 2 min}}
"""


def starter_text(name: str) -> str:
    """A commented project file called `name` [1 to 80 printing characters], without findings.

    Raises
    ------
    ValueError
        The name is empty, too long or has a control character.
    """
    if not 0 < len(name) <= 80 or not name.isprintable():
        raise ValueError(f"a project's name is 1 to 80 printing characters, not {shown(name)}")
    return _TEXT.format(name=_quoted(name))


def _quoted(name: str) -> str:
    """`name` as YAML: plain where nothing in it means something to YAML."""
    if all(character.isalnum() or character in " _-" for character in name):
        plain = name[0].isalpha() and name[-1] != " "
        if plain and name.lower() not in ("null", "true", "false", "yes", "no", "on", "off"):
            return name
    escaped = name.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
