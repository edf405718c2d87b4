"""Certificates in which one number is another."""

from __future__ import annotations

import re

from loopwright.layout.document import layout_document
from loopwright.layout.layout import Layout
from loopwright.prove.certificate import (
    Certificate,
    CertificateError,
    certificate_text,
    read_certificate,
)
from loopwright.prove.checker import check_certificate
from loopwright.record import HeaderError


def refused_when_altered(layout: Layout, certificate: Certificate, by: int) -> int:
    """Change each number below the head by `by`, one at a time; each has to be refused. How many
    there are."""
    document, text = layout_document(layout), certificate_text(certificate)
    body = text.index("\nloop: ")
    places = list(re.finditer(r"\d+", text[body:]))
    for place in places:
        start, stop = body + place.start(), body + place.end()
        altered = text[:start] + str(int(place.group()) + by) + text[stop:]
        try:
            assert check_certificate(read_certificate(altered), document) != (), altered
        except (CertificateError, HeaderError):
            continue
    return len(places)
