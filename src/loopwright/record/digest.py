"""Canonical digests: equal documents have equal digests on every machine."""

from __future__ import annotations

import hashlib
import json


def canonical_json(document: object) -> str:
    """JSON with sorted keys and no spaces.

    Raises
    ------
    TypeError
        Something in `document` has no form in JSON.
    ValueError
        A number is infinite or not a number.
    """
    return json.dumps(
        document, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )


def digest(document: object) -> str:
    """Return "sha256:" and the hash of the canonical JSON; errors as `canonical_json`."""
    return bytes_digest(canonical_json(document).encode("utf-8"))


def bytes_digest(data: bytes) -> str:
    """Return "sha256:" and the hash of `data`."""
    return "sha256:" + hashlib.sha256(data).hexdigest()
