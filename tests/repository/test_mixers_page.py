"""The table of mixers in the docs is that of the search."""

from __future__ import annotations

from tests.repository.mixers_page import PAGE, page_text


def test_the_table_of_mixers_is_fresh() -> None:
    page = PAGE.read_text("utf-8")
    assert page == page_text(page), "run: make pages"
