"""`loopwright plan`: how much of everything."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from loopwright.cli.option import AsJson, ProjectFile

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loopwright.model import Project
    from loopwright.plan import Plan, Proof

EXAMPLES = (
    ("loopwright plan bakery.yaml", "tables of processes, materials, limits and belts"),
    ("loopwright plan bakery.yaml --trace bread", "the chain behind one figure"),
    ("loopwright plan bakery.yaml --certificate proof.txt", "writes the proof that it is the best"),
    ("loopwright plan bakery.yaml --svg flow.svg", "draws the flow of materials"),
    ("loopwright plan bakery.yaml --json > plan.json", "the same, exact, for programs"),
)

LONGEST = 16
"""Fractions with more characters are shown as decimals."""


def run(
    file: ProjectFile,
    trace: Annotated[
        str | None,
        typer.Option(metavar="MATERIAL", help="Show the chain behind a material only."),
    ] = None,
    certificate: Annotated[
        Path | None,
        typer.Option(metavar="PATH", help="Write the proof: of the optimum, or of the conflict."),
    ] = None,
    svg: Annotated[
        Path | None, typer.Option(metavar="PATH", help="Draw the flow of materials as SVG.")
    ] = None,
    as_json: AsJson = False,
) -> int:
    """Say how much of everything the demand takes, and what limits it.

    Stations, materials, belts and power follow exactly, in fractions.
    """
    from loopwright.cli.output import write_document
    from loopwright.cli.project import open_project, project_digest
    from loopwright.finding import DesignError
    from loopwright.model import locate_findings
    from loopwright.plan import RefusedError, explain_plan, plan_of, settle

    project = open_project(file)
    try:
        settled = settle(project)
    except RefusedError as error:
        if certificate is not None:
            _write_certificate(certificate, project, (error.proof,))
        raise DesignError(locate_findings(error.findings, file)) from None
    except DesignError as error:
        raise DesignError(locate_findings(error.findings, file)) from None
    plan = plan_of(project, settled)
    if trace is not None:
        _require(plan, trace)
    if certificate is not None:
        _write_certificate(certificate, project, settled.proofs)
    if svg is not None:
        _draw(svg, project, plan)
    if as_json:
        source = project_digest(project)
        if trace is None:
            write_document("plan", source, {}, plan)
        else:
            lines = _trace(project, plan, trace).split("\n")
            write_document("plan-trace", source, {"material": trace}, {"trace": lines})
        return 0
    if trace is not None:
        typer.echo(_trace(project, plan, trace))
    else:
        typer.echo("\n\n".join([plan_text(plan), "\n".join(explain_plan(plan))]).rstrip())
    if certificate is not None:
        typer.echo(f"\nProof written to {certificate}")
    if svg is not None:
        typer.echo(f"\nDiagram written to {svg}")
    return 0


def plan_text(plan: Plan) -> str:
    """The tables of `plan` for people."""
    from loopwright.exact import format_fraction

    tables = [_processes(plan), _materials(plan), _limits(plan), _belts(plan)]
    total = (
        f"power {format_fraction(plan.power)} kW, effort {format_fraction(plan.effort)}, "
        f"cost {_number(plan.cost)}"
    )
    return "\n\n".join([*filter(None, tables), total])


def _processes(plan: Plan) -> str:
    treated = any(entry.treatment for entry in plan.processes)
    heads = ("process", "station", "cycles", "stations", "whole", "spare", "power [kW]", "effort")
    rows = [
        (
            entry.process,
            entry.station,
            _rate(entry.cycles),
            _number(entry.stations),
            str(entry.whole),
            _rate(entry.spare),
            _number(entry.power),
            _number(entry.effort),
            *([entry.treatment or "-", _number(entry.applicators)] if treated else []),
        )
        for entry in plan.processes
    ]
    return _table((*heads, *(("treatment", "applicators") if treated else ())), rows)


def _materials(plan: Plan) -> str:
    drawn = any(entry.drawn for entry in plan.materials)
    rows = [
        (
            entry.material,
            _rate(entry.made),
            _rate(entry.imported),
            *([_rate(entry.drawn)] if drawn else []),
            _rate(entry.used),
            _rate(entry.demanded),
            _rate(entry.surplus),
            _number(entry.value),
        )
        for entry in plan.materials
    ]
    sources = ("made", "imported", "drawn") if drawn else ("made", "imported")
    return _table(("material", *sources, "used", "demanded", "surplus", "value"), rows)


def _limits(plan: Plan) -> str:
    rows = [
        (
            entry.path,
            _number(entry.used),
            _number(entry.limit),
            f"{float(entry.used / entry.limit):.1%}" if entry.limit else "-",
            _number(entry.price),
        )
        for entry in plan.limits
        if entry.kind != "demand"
    ]
    return _table(("limit", "used", "of", "use", "one more costs"), rows) if rows else ""


def _belts(plan: Plan) -> str:
    rows = [(need.material, need.belt, str(need.stack), _number(need.belts)) for need in plan.belts]
    return _table(("material", "belt", "stack", "belts"), rows)


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    from loopwright.cli.output import table_text

    return table_text(heads, rows)


def _number(value: Fraction) -> str:
    """Exact where that is short, else a decimal."""
    from loopwright.exact import format_fraction

    text = format_fraction(value)
    return text if len(text) <= LONGEST else f"{float(value):.6g}"


def _rate(value: Fraction) -> str:
    from loopwright.exact import format_rate

    text = format_rate(value)
    return text if len(text) <= LONGEST else f"{float(value):.6g}/s"


def _require(plan: Plan, material: str) -> None:
    """Refuse a material that the plan does not have."""
    from loopwright.model.near import listed, nearest

    names = [entry.material for entry in plan.materials]
    if material not in names:
        near = nearest(material, names)
        hint = f"did you mean {near!r}?" if near else f"it has {listed(names)}"
        raise typer.BadParameter(f"the plan has no material {material!r}; {hint}")


def _trace(project: Project, plan: Plan, material: str) -> str:
    from loopwright.plan.trace import trace_text

    return trace_text(project, plan, material)


def _draw(path: Path, project: Project, plan: Plan) -> None:
    from loopwright.drawing import plan_chart, plan_materials
    from loopwright.record import write_text

    titles = {name: process.title for name, process in project.processes.items()}
    write_text(path, plan_chart(plan, materials=plan_materials(project, plan), titles=titles))


def _write_certificate(path: Path, project: Project, proofs: Sequence[Proof]) -> None:
    from loopwright.cli.project import project_digest
    from loopwright.plan.certificate import certificate_text
    from loopwright.record import Origin, write_text

    write_text(path, certificate_text(proofs, Origin(project_digest(project))))
