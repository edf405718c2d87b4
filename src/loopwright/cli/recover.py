"""`loopwright recover`: how to bring back a loop that stands."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from loopwright.cli.option import AsJson, ProjectFile
from loopwright.cli.prove import Rule, with_gate

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loopwright.layout import Design
    from loopwright.prove.recover import Outcome
    from loopwright.prove.ring import Ring
    from loopwright.simulate.state import State

EXAMPLES = (
    ("loopwright recover bakery.yaml", "jams each loop that can jam, and brings it back"),
    ("loopwright recover bakery.yaml --scenario outage", "runs that until it jams, and goes on"),
    ("loopwright recover bakery.yaml --gate open --purge 1", "the same with as little as possible"),
)


def run(
    file: ProjectFile,
    scenario: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="Run this scenario until a loop stands for good."),
    ] = None,
    gate: Annotated[
        Rule | None, typer.Option(help="Try this gate in place of the file's.", show_default=False)
    ] = None,
    purge: Annotated[
        int | None,
        typer.Option(metavar="CARRIERS", min=1, help="How many carriers to take off a loop."),
    ] = None,
    as_json: AsJson = False,
) -> int:
    """Bring back a loop that stands: what to take out, hold and let in.

    Each card is carried out in a run first. Without --scenario the jams that `prove` finds are
    used, one for each shape of loop. Ends with 1 where a loop stands and no card brings it back.
    """
    from loopwright.cli.output import write_document
    from loopwright.cli.project import open_project, project_digest
    from loopwright.cli.story import design_project, named_scenarios
    from loopwright.prove.recover import recover_loop
    from loopwright.prove.recover.document import recovery_document
    from loopwright.prove.recover.standing import jam_loops
    from loopwright.prove.recover.text import outcomes_text

    project = with_gate(open_project(file), gate.value if gate else None)
    if scenario is not None:
        named_scenarios(project, [scenario])
    design = design_project(project)
    standing = _by_scenario(design, scenario) if scenario is not None else jam_loops(design.layout)
    found: list[tuple[str, tuple[Outcome, ...]]] = [
        (ring.name, recover_loop(design.layout, ring, state, purge)) for ring, state in standing
    ]
    if as_json:
        parameters = {"scenario": scenario, "gate": gate and gate.value, "purge": purge}
        write_document("recovery", project_digest(project), parameters, recovery_document(found))
    else:
        texts = [
            outcomes_text(outcomes) if outcomes else f"{name}: no card can be made for such a loop"
            for name, outcomes in found
        ]
        typer.echo("\n\n".join(texts) or "No loop stands.")
    return 0 if all(outcomes and outcomes[0].works for _, outcomes in found) else 1


def _by_scenario(design: Design, name: str) -> Iterator[tuple[Ring, State]]:
    """The loops that stand for good when the scenario has come to its jam, or to its end."""
    from loopwright.cli.progress import progress
    from loopwright.prove.recover.standing import standing_loops
    from loopwright.simulate import simulate_layout
    from loopwright.simulate.scenario import project_scenario

    scenario = project_scenario(design.project, name, design.layout)
    with progress(f"simulating {name}") as show:
        end = simulate_layout(design.layout, scenario, progress=show, until="jam").end
    yield from standing_loops(design.layout, end)
