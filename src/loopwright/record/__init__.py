"""What every written file begins with, its digest, and safe writing."""

from loopwright.record.digest import bytes_digest, canonical_json, digest
from loopwright.record.header import HeaderError, Origin, check_header, header
from loopwright.record.write import write_bytes, write_text

__all__ = [
    "HeaderError",
    "Origin",
    "bytes_digest",
    "canonical_json",
    "check_header",
    "digest",
    "header",
    "write_bytes",
    "write_text",
]
