"""`loopwright recover`: how to bring back a loop that stands."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from loopwright.cli.option import AsJson, ProjectFile
from loopwright.cli.prove import Rule, with_gate

if TYPE_CHECKING:
    from loopwright.layout import Design
    from loopwright.prove.ring import Ring
    from loopwright.simulate.state import State

EXAMPLES = (
    ("loopwright recover bakery.yaml", "jams all loops that can jam, and brings them back"),
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
    """Bring back loops that stand: what to take out, hold and let in.

    Each card is carried out in a run first, all loops at once. Without --scenario all loops stand
    that `prove` can bring to a jam. Ends with 1 where a loop stands and no card brings it back.
    """
    from loopwright.cli.output import write_document
    from loopwright.cli.project import open_project, project_digest
    from loopwright.cli.story import design_project, named_scenarios
    from loopwright.prove.prove import prove_loops
    from loopwright.prove.recover import recover_loops
    from loopwright.prove.recover.document import recovery_document
    from loopwright.prove.recover.standing import jam_together
    from loopwright.prove.recover.text import recovered_text

    project = with_gate(open_project(file), gate.value if gate else None)
    if scenario is not None:
        named_scenarios(project, [scenario])
    design = design_project(project)
    rings, state = (
        jam_together(design.layout, prove_loops(design.layout))
        if scenario is None
        else _by_scenario(design, scenario)
    )
    found = () if state is None else recover_loops(design.layout, rings, state, purge)
    if as_json:
        parameters = {"scenario": scenario, "gate": gate and gate.value, "purge": purge}
        write_document("recovery", project_digest(project), parameters, recovery_document(found))
    else:
        typer.echo(recovered_text(found))
    return 0 if all(group.works for group in found) else 1


def _by_scenario(design: Design, name: str) -> tuple[tuple[Ring, ...], State]:
    """The loops that stand for good when the scenario has come to its jam, or to its end."""
    from loopwright.cli.progress import run_progress
    from loopwright.prove.recover.standing import standing_loops
    from loopwright.simulate import simulate_layout
    from loopwright.simulate.scenario import project_scenario

    scenario = project_scenario(design.project, name, design.layout)
    with run_progress(f"simulating {name}") as show:
        end = simulate_layout(design.layout, scenario, progress=show, until="jam").end
    return standing_loops(design.layout, end), end
