"""The build package of a design as one page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from loopwright.block import Block
from loopwright.finding import Finding
from loopwright.layout.layout import Layout
from loopwright.model import Project
from loopwright.plan import Plan
from loopwright.prove import Verdict
from loopwright.prove.recover import Recovered
from loopwright.record import write_text
from loopwright.report.block import block_section
from loopwright.report.caution import caution_section
from loopwright.report.drawing import drawing_section
from loopwright.report.findings import findings_section
from loopwright.report.job import job_section
from loopwright.report.loops import loops_section
from loopwright.report.number import amount, several
from loopwright.report.page import page
from loopwright.report.parts import parts_section
from loopwright.report.plan import plan_section
from loopwright.report.provenance import header_meta, provenance_section, report_header
from loopwright.report.run import run_section
from loopwright.report.verdict import judge, target_of
from loopwright.simulate.run import Run


def write_report(
    path: Path | str,
    project: Project,
    plan: Plan,
    block: Block,
    layout: Layout,
    runs: Sequence[Run],
    findings: Sequence[Finding] = (),
    verdicts: Sequence[Verdict] = (),
    cards: Sequence[Recovered] = (),
) -> Path:
    """Write the report of a design and its runs to `path`: one HTML file that needs no other.

    `verdicts` are those of the loops, `cards` how to bring back loops that can come to stand.
    Equal inputs give equal bytes. Returns the path.

    Raises
    ------
    OSError
        The folder is missing or cannot be written; an old file stays as it was.
    """
    target = Path(path)
    write_text(target, report_text(project, plan, block, layout, runs, findings, verdicts, cards))
    return target


def report_text(
    project: Project,
    plan: Plan,
    block: Block,
    layout: Layout,
    runs: Sequence[Run],
    findings: Sequence[Finding] = (),
    verdicts: Sequence[Verdict] = (),
    cards: Sequence[Recovered] = (),
) -> str:
    """The page that `write_report` writes."""
    head = report_header(project, layout, runs)
    outcomes = [judge(run, plan, block) for run in runs]
    titles = material_titles(project, layout)
    sections = [
        job_section(project, plan, block, layout, outcomes),
        plan_section(project, plan, layout),
        block_section(project, plan, block),
        drawing_section(project, block, layout),
        *(run_section(one, number, titles) for number, one in enumerate(outcomes, start=1)),
        *((loops_section(layout, verdicts, cards),) if verdicts else ()),
        parts_section(project, block, layout),
        findings_section(findings),
        caution_section(),
        provenance_section(head),
    ]
    fields = [
        ("Product", project.materials[block.product].title),
        ("Rate", f"{amount(target_of(plan, block))} units/s"),
        ("Architecture", f"{block.architecture}, {block.sides}"),
        ("Stations", f"{block.counts.stations} in {several(block.design.rows, 'row')}"),
        ("Made with", f"{head['origin']['software']} {head['origin']['version']}"),
        ("Project", head["origin"]["input"].removeprefix("sha256:")[:12]),
    ]
    return page(project.project.name, project.project.about, fields, sections, header_meta(head))


def material_titles(project: Project, layout: Layout) -> Mapping[str, str]:
    """Names for people: those of the project, else those of the layout; all different."""
    titles = {
        entry.name: project.materials[entry.name].title
        if entry.name in project.materials
        else entry.title
        for entry in layout.materials
    }
    double = len(set(titles.values())) < len(titles)
    return {name: name for name in titles} if double else titles
