"""`loopwright verify`: whether a certificate holds."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from loopwright.cli.option import ProjectFile

EXAMPLES = (("loopwright verify proof.txt bakery.yaml", "works out every line of it again"),)


def run(
    certificate: Annotated[
        Path,
        typer.Argument(
            metavar="CERTIFICATE", help="What `prove --certificate` wrote.", show_default=False
        ),
    ],
    file: ProjectFile,
) -> int:
    """Check a certificate against the project it was made for.

    Only the checker runs: it reads the placed layout itself and shares nothing with what found the
    proof. Ends with 1 where a line does not hold.
    """
    from loopwright.cli.ending import BAD_INPUT
    from loopwright.cli.project import open_project
    from loopwright.cli.prove import with_gate
    from loopwright.cli.story import design_project
    from loopwright.layout import layout_document
    from loopwright.prove import check_certificate, read_certificate
    from loopwright.prove.certificate import CertificateError
    from loopwright.record import HeaderError

    try:
        proof = read_certificate(certificate.read_text(encoding="utf-8"))
    except (CertificateError, HeaderError, UnicodeDecodeError) as error:
        typer.echo(f"{certificate}: {error}", err=True)
        return BAD_INPUT
    project = with_gate(open_project(file), proof.parameters.get("gate"))
    faults = check_certificate(proof, layout_document(design_project(project).layout))
    for fault in faults:
        typer.echo(f"{certificate}: {fault}")
    if not faults:
        loops = len({claim.loop for claim in proof.claims})
        typer.echo(f"{certificate}: holds, {len(proof.claims)} claims about {loops} loops")
    return 1 if faults else 0
