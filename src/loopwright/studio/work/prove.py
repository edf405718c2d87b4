"""Verdicts on all loops, with their certificate and what the laws say."""

from __future__ import annotations

from loopwright.layout import layout_document
from loopwright.prove.certificate import Certificate, certificate_text
from loopwright.prove.document import verdicts_document
from loopwright.prove.law.document import laws_document
from loopwright.prove.prove import prove_loops
from loopwright.record import digest, write_text
from loopwright.studio.options import ProveOptions
from loopwright.studio.work.task import Task


def run(task: Task) -> None:
    """Prove every loop; write the certificate of what is proved."""
    laid = task.lay(task.read_options(ProveOptions).gate)
    verdicts = prove_loops(laid.layout, progress=task.part("proving loops", 0.05, 0.95))
    body = verdicts_document(verdicts)
    task.result("verdicts", laid, body)
    parameters = {name: one for name, one in task.options.items() if one is not None}
    claims = tuple(verdict.claim for verdict in verdicts if verdict.claim is not None)
    if claims:
        noun = Certificate(digest(layout_document(laid.layout)), parameters, claims)
        write_text(task.path(f"{task.stem}-certificate.txt"), certificate_text(noun))
    task.step(0.95, "reading off the laws")
    task.result("verdicts", laid, body | {"laws": laws_document(laid.layout, verdicts)})
