"""Another rule at a merge, divert or gate."""

from __future__ import annotations

from dataclasses import replace

from loopwright.block.sequence import level_sequence
from loopwright.layout.carried import carried_materials
from loopwright.layout.layout import Divert, Gate, Layout, Merge
from loopwright.layout.quota import shared_quotas

MERGE_RULES = ("alternate", "priority")
DIVERT_RULES = ("alternate", "overflow")
GATE_RULES = ("open", "ratio-locked", "counted", "windowed", "scarcest-first")


def rules_of(layout: Layout, name: str) -> tuple[str, ...]:
    """The rules that the device `name` can follow where it stands; none for other devices."""
    device = _joint(layout, name)
    if isinstance(device, Merge):
        return MERGE_RULES if len(device.inlets) > 1 else ()
    if isinstance(device, Divert):
        return (*DIVERT_RULES, "material") if device.filters else DIVERT_RULES
    if isinstance(device, Gate):
        shares = device.shares
        return tuple(
            rule
            for rule in GATE_RULES
            if rule in ("open", device.rule)
            or (rule == "ratio-locked" and (device.pattern or shares))
            or (rule in ("counted", "windowed") and (device.quotas or (shares and device.loop)))
            or (rule == "scarcest-first" and shares)
        )
    return ()


def ruled_layout(layout: Layout, name: str, rule: str) -> Layout:
    """`layout` in which the device `name` follows `rule`; what a gate needs for it and lacks is
    worked out from the recipe and the length of its loop.

    Raises
    ------
    ValueError
        The device cannot follow that rule, or there is none of that name.
    """
    allowed = rules_of(layout, name)
    if rule not in allowed:
        fitting = f"it can be {', '.join(allowed)}" if allowed else "it follows no rule"
        raise ValueError(f"{name} cannot be {rule}: {fitting}")

    return replace(
        layout,
        merges=tuple(replace(m, rule=rule) if m.name == name else m for m in layout.merges),
        diverts=tuple(replace(d, rule=rule) if d.name == name else d for d in layout.diverts),
        gates=tuple(_gate(layout, g, rule) if g.name == name else g for g in layout.gates),
    )


def _joint(layout: Layout, name: str) -> Merge | Divert | Gate | None:
    kinds: tuple[Merge | Divert | Gate, ...] = (*layout.merges, *layout.diverts, *layout.gates)
    return next((device for device in kinds if device.name == name), None)


def _gate(layout: Layout, gate: Gate, rule: str) -> Gate:
    lengths = {belt.name: len(belt.path) for belt in layout.belts}
    cells = sum(lengths[name] for name in gate.loop)
    if rule == "ratio-locked" and not gate.pattern:
        carried = carried_materials(layout)
        shares = dict(gate.shares)
        inlets = [name for name in gate.inlets if shares.get(carried[name][0], 0)]
        pattern = level_sequence([shares[carried[name][0]] for name in inlets])
        gate = replace(gate, pattern=tuple(inlets[index] for index in pattern))
    if rule in ("counted", "windowed") and not gate.quotas:
        gate = replace(gate, quotas=tuple(shared_quotas(dict(gate.shares), cells).items()))
    if rule == "windowed" and not gate.window:
        gate = replace(gate, window=cells)
    return replace(gate, rule=rule)
