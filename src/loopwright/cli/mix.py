"""`loopwright mix`: materials on one belt in an exact ratio."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from loopwright.cli.option import AsJson

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from loopwright.block.mixer import Leaf, Mix, Mixer, Node, PatternGate
    from loopwright.compare.remedies.mixer import MixerRun

EXAMPLES = (
    ("loopwright mix 2:1:3", "the mixer with the fewest devices, and the gate beside it"),
    ("loopwright mix candle=2 tap=1 seal=3", "the same with names"),
    ("loopwright mix 3:2:2 --rate 4/5", "at least 4/5 of a belt must come out"),
    ("loopwright mix 5:2 --proof --svg mixer.svg", "why it is exact, and a drawing"),
    ("loopwright mix 5:2 --measure --floor floor.svg", "placed: runs beside the law, a drawing"),
)

SHORT = Fraction(9, 10)
"""What is left of a lane in the table of shortages."""


def run(
    ratio: Annotated[
        list[str],
        typer.Argument(metavar="RATIO", help="2:1:3, or name=share for each.", show_default=False),
    ],
    rate: Annotated[
        str, typer.Option(metavar="SHARE", help="Least part of a belt that must come out.")
    ] = "0",
    proof: Annotated[bool, typer.Option("--proof", help="Say why the ratio is exact.")] = False,
    svg: Annotated[
        Path | None, typer.Option(metavar="PATH", help="Write a drawing of the mixer as SVG.")
    ] = None,
    floor: Annotated[
        Path | None, typer.Option(metavar="PATH", help="Write it as it is placed, as SVG.")
    ] = None,
    measure: Annotated[
        bool, typer.Option("--measure", help="Run it as it is placed: measured beside the law.")
    ] = False,
    as_json: AsJson = False,
) -> int:
    """Mix materials on one belt in an exact ratio.

    Shares are carriers, whole or fractions; 2 to 6 materials.
    """
    from loopwright.block.mixer import RatioError, choose_mix, prove_mixer
    from loopwright.cli.output import plain_document, write_document

    shares = read_ratio(ratio)
    least = _number(rate, "--rate")
    if not 0 <= least <= 1:
        raise typer.BadParameter(
            f"a part of a belt is from 0 to 1, not {rate}", param_hint="--rate"
        )
    try:
        mix = choose_mix(shares, least)
    except RatioError as error:
        raise typer.BadParameter(str(error), param_hint="RATIO") from None
    if svg is not None:
        from loopwright.drawing.mixer_chart import mixer_chart
        from loopwright.record import write_text

        write_text(svg, mixer_chart(mix.mixer))
    if floor is not None:
        _write_floor(floor, mix.mixer)
    run = _measured(mix.mixer) if measure else None
    if as_json:
        body = plain_document(mix) | {"numbers": mixer_numbers(mix.mixer)}
        body["proof"] = plain_document(prove_mixer(mix.mixer))
        if run is not None:
            body["measured"] = plain_document(run)
        asked = {"ratio": {name: str(share) for name, share in shares.items()}, "rate": str(least)}
        write_document("mix", "", asked, body)
        return 0
    typer.echo(mix_text(mix))
    if proof:
        typer.echo("\n" + proof_text(mix.mixer))
    if run is not None:
        typer.echo("\n" + run_text(mix.mixer, run))
    for path, what in ((svg, "Drawing"), (floor, "Drawing of the floor")):
        if path is not None:
            typer.echo(f"\n{what} written to {path}")
    return 0


def _write_floor(path: Path, mixer: Mixer) -> None:
    """The mixer by itself, as it is placed, as SVG."""
    from loopwright.drawing import draw_layout, sheet_svg
    from loopwright.layout.mixing.bench import mixer_layout
    from loopwright.record import write_text

    write_text(path, sheet_svg(draw_layout(mixer_layout(mixer))))


def _measured(mixer: Mixer) -> MixerRun:
    from loopwright.compare.remedies.mixer import measure_mixer

    return measure_mixer(mixer, SHORT)


def read_ratio(words: Sequence[str]) -> dict[str, Fraction]:
    """The shares that `words` name: 2:1:3, or name=share each.

    Raises
    ------
    typer.BadParameter
        The words are neither, or a name comes twice.
    """
    hint = "RATIO"
    if len(words) == 1 and "=" not in words[0]:
        parts = words[0].split(":")
        if len(parts) > 26:
            raise typer.BadParameter(f"{len(parts)} materials are too many", param_hint=hint)
        return {chr(ord("A") + i): _number(part, hint) for i, part in enumerate(parts)}
    shares: dict[str, Fraction] = {}
    for word in words:
        name, sign, share = word.partition("=")
        if not name or not sign:
            raise typer.BadParameter(
                f"{word!r} is not name=share; write 2:1:3, or candle=2 tap=1 seal=3",
                param_hint=hint,
            )
        if name in shares:
            raise typer.BadParameter(f"{name} is named twice", param_hint=hint)
        shares[name] = _number(share, hint)
    return shares


def _number(text: str, hint: str) -> Fraction:
    from loopwright.exact import QuantityError, parse_quantity

    try:
        return parse_quantity(text, "")
    except QuantityError as error:
        raise typer.BadParameter(str(error), param_hint=hint) from None


def mixer_numbers(mixer: Mixer) -> dict[str, object]:
    """What follows from a mixer, for programs."""
    return {
        "devices": mixer.devices,
        "merges": mixer.merges,
        "supply_splits": mixer.supply_splits,
        "feedback_splits": mixer.feedback_splits,
        "round": mixer.round,
        "net_rate": str(mixer.net_rate),
        "sequence": list(mixer.sequence),
        "turns": list(mixer.turns),
        "leaves": [[material, str(weight)] for material, weight in mixer.leaves],
    }


def mix_text(mix: Mix) -> str:
    """Both ways to mix, for people."""
    from loopwright.block.mixer import prove_mixer

    mixer = mix.mixer
    counted = (
        (mixer.merges, "merge", "merges"),
        (mixer.supply_splits, "divert of a lane", "diverts of lanes"),
        (mixer.feedback_splits, "divert of the output", "diverts of the output"),
    )
    devices = " + ".join(f"{n} {one if n == 1 else more}" for n, one, more in counted if n)
    title = ", ".join(f"{name} {share}" for name, share in mixer.shares)
    stray = prove_mixer(mixer).stray
    sequence = f"sequence  {' '.join(mixer.sequence)}, at most {stray} from the exact shares"
    if mixer.feedback:
        sequence += "\n          (carriers that are fed back change places in it)"
    return "\n\n".join(
        [
            f"Mix {title}: of {mixer.total} carriers\nTake the {mix.choice}: {mix.reason}.",
            "Mixer, weights as shares of what the root passes\n"
            + "\n".join(tree_lines(mixer.root)),
            f"devices   {mixer.devices}: {devices}\n"
            f"net rate  {mixer.net_rate} of a belt\n{sequence}",
            "What breaks the ratio: a lane that brings less than it must. Its missed turns go\n"
            "to the inlets beside it, for good; at a lower rate it must bring less.\n\n"
            + needs_text(mixer),
            gate_text(mix.gate, dict(mixer.shares)),
        ]
    )


def tree_lines(
    tree: Node | Leaf, weight: Fraction = Fraction(1), first: str = "", then: str = ""
) -> Iterator[str]:
    """The tree drawn in text, the root first."""
    from loopwright.block.mixer import Leaf

    if isinstance(tree, Leaf):
        yield f"{first}{tree.material or '(feedback)'}  {weight}"
        return
    ways = len(tree.inlets)
    yield f"{first}merge of {ways}" + (f"  {weight}" if first else "  -> output")
    for number, inlet in enumerate(tree.inlets, 1):
        last = number == ways
        corner, bar = ("`- ", "   ") if last else ("|- ", "|  ")
        yield from tree_lines(inlet, weight / ways, then + corner, then + bar)


def needs_text(mixer: Mixer) -> str:
    """What each lane must bring, and the product if it is a tenth short."""
    from loopwright.block.mixer import need_of, short_product
    from loopwright.cli.output import table_text

    names = [name for name, _ in mixer.shares]
    rows = []
    for name in names:
        need = need_of(mixer, name)
        product = short_product(mixer, name, need * SHORT)
        rows.append((name, str(need), *(str(flow) for _, flow in product)))
    heads = ("lane", "must bring [belt]", *(f"a tenth short: {name}" for name in names[:1]))
    return table_text((*heads, *names[1:]), rows)


def gate_text(gate: PatternGate, shares: Mapping[str, int]) -> str:
    """The pattern gate, for people."""
    places = len(gate.pattern)
    spacing = "no pattern of this ratio has the same counts, up to 1, in all equal stretches"
    if gate.balanced:
        spacing = "the same counts, up to 1, in all equal stretches: " + " ".join(gate.balanced)
    return (
        f"Pattern gate, ratio-locked: {gate.devices} stops and a counter of {places}\n"
        f"pattern   {' '.join(gate.pattern)}, at most {gate.stray} from the exact shares; "
        f"none strays less\nspacing   {spacing}\nrate      a full belt; if a lane is empty the "
        "gate waits, and the ratio stays"
    )


def run_text(mixer: Mixer, run: MixerRun) -> str:
    """What runs of the placed mixer show, beside what the law says."""
    from loopwright.cli.output import table_text

    counts = ", ".join(f"{name} {count}" for name, count in run.counts)
    total = sum(count for _, count in run.counts)
    lines = [
        f"Measured, placed on {run.cells} cells of belt, from empty, once all lanes are full",
        f"full lanes  {total} carriers: {counts}; at most {float(run.stray):.3g} from the exact "
        f"shares, {float(run.bound):.3g} proved",
        f"rate        {float(run.rate):.4f} of a belt, {float(mixer.net_rate):.4f} by the law",
    ]
    if run.priming:
        lines.append(f"priming     {run.priming} carriers fill what is fed back, before any leaves")
    heads = ["lane", "brings [belt]"]
    heads += [f"{name} {how}" for name, _ in mixer.shares for how in ("law", "run")]
    rows = [
        (
            one.material,
            f"{float(one.supply):.4f}",
            *(
                f"{float(flow):.4f}"
                for (_, law), (_, seen) in zip(one.law, one.measured, strict=True)
                for flow in (law, seen)
            ),
        )
        for one in run.short
    ]
    short = "A lane a tenth short: product of each [belt] by the law, and in a run"
    return "\n".join(lines) + f"\n\n{short}\n\n" + table_text(tuple(heads), rows)


def proof_text(mixer: Mixer) -> str:
    """The proof, a line and its reason each."""
    from loopwright.block.mixer import prove_mixer

    proof = prove_mixer(mixer)
    lines = ["Claim: " + proof.claim, *(f"Given: {entry}." for entry in proof.assumptions)]
    for number, line in enumerate(proof.lines, 1):
        lines += [f"{number}. {line.holds}:", f"   {line.reason}."]
    return "\n".join(lines)
