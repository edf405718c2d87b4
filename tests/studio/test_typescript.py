"""The types of the pages are those of the server."""

from __future__ import annotations

from loopwright.studio.typescript import TARGET, messages_ts


def test_the_types_of_the_pages_are_up_to_date() -> None:
    """Renew them by `python -m loopwright.studio.typescript`."""
    assert TARGET.read_text("utf-8") == messages_ts()


def test_answers_hold_every_entry_and_questions_only_what_they_must() -> None:
    text = messages_ts()
    assert '  type: "opened";' in text
    assert "  source?: string;" in text
    assert 'state: "waiting" | "running" | "done"' in text
    assert "unknown[]" not in text
