"""The whole design as one page."""

from __future__ import annotations

from loopwright.finding import in_order
from loopwright.layout import design_findings
from loopwright.model.read import check_text
from loopwright.prove.prove import prove_loops
from loopwright.prove.recover import best_cards
from loopwright.report import write_report
from loopwright.simulate import simulate_layout
from loopwright.simulate.reading.target import target_met
from loopwright.studio.options import ReportOptions
from loopwright.studio.work.task import Task, scenarios_of


def run(task: Task) -> None:
    """Run the scenarios, prove the loops, write the page."""
    laid, options = task.lay(), task.read_options(ReportOptions)
    scenarios = scenarios_of(laid, options.scenarios, None)
    runs = []
    for number, scenario in enumerate(scenarios):
        first, last = (0.7 * place / len(scenarios) for place in (number, number + 1))
        show = task.part(f"simulating {scenario.name}", first, last)
        made = simulate_layout(laid.layout, scenario, progress=show)
        if made.ended == "interrupted":
            raise KeyboardInterrupt
        runs.append(made)
    verdicts = prove_loops(laid.layout, progress=task.part("proving loops", 0.7, 0.95))
    cards = best_cards(laid.layout, verdicts)
    task.step(0.95, "writing the report")
    findings = in_order(
        (
            *check_text(task.text, task.file, task.folder.root)[1],
            *design_findings(laid),
        )
    )
    name = f"{task.stem}.html"
    design = (laid.project, laid.plan, laid.block, laid.layout)
    write_report(task.path(name), *design, runs, findings, verdicts, cards)
    target = laid.target
    met = all(target_met(one, target) for one in runs)
    body = {"file": name, "scenarios": [one.scenario.name for one in runs], "target_met": met}
    task.result("report", laid, body)
