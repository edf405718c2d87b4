"""Tree or gate? Both ways to mix a ratio, and which of them we would build."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from loopwright.block.mixer.design import design_mixer
from loopwright.block.mixer.gate import PatternGate, design_gate
from loopwright.block.mixer.mixer import Mixer


@dataclass(frozen=True, slots=True)
class Mix:
    """Both ways to mix a ratio; `choice` is mixer or gate, for the `reason` given."""

    mixer: Mixer
    gate: PatternGate
    choice: str
    reason: str


def choose_mix(ratio: Mapping[str, int | Fraction], least_rate: Fraction = Fraction(0)) -> Mix:
    """The mixer and the pattern gate of `ratio`, and which we would build.

    Raises
    ------
    RatioError
        As `design_mixer`.
    """
    mixer, gate = design_mixer(ratio, least_rate), design_gate(ratio)
    if mixer.feedback:
        choice = "gate"
        reason = (
            f"the mixer passes only {mixer.net_rate} of a belt and needs {mixer.devices} devices; "
            f"the gate passes a full belt with {gate.devices} stops"
        )
    elif mixer.devices > gate.devices:
        choice = "gate"
        reason = f"the mixer needs {mixer.devices} devices, the gate {gate.devices} stops"
    else:
        choice = "mixer"
        reason = (
            f"{mixer.devices} plain devices pass a full belt and nothing has to count; "
            f"the gate needs {gate.devices} stops and a counter"
        )
    if choice == "mixer":
        reason += ". If a lane may run short, take the gate: it waits, and keeps the ratio"
    return Mix(mixer, gate, choice, reason)
