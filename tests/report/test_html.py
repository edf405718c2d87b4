"""HTML that cannot be broken by what is put in."""

from __future__ import annotations

from loopwright.report.html import Html, element, escape, join, table


def test_text_is_escaped_and_html_is_not() -> None:
    assert escape("<a & \"b\" 'c'>") == "&lt;a &amp; &quot;b&quot; &#x27;c&#x27;&gt;"
    assert escape(Html("<b>x</b>")) == "<b>x</b>"
    assert join("<", Html("<br>"), None, ["&", Html("&amp;")]) == "&lt;<br>&amp;&amp;"


def test_html_joined_to_text_is_text_again() -> None:
    joined = Html("<b>") + "<script>"
    assert not isinstance(joined, Html)
    assert escape(joined) == "&lt;b&gt;&lt;script&gt;"


def test_characters_that_show_nothing_become_a_sign() -> None:
    assert escape("a\x00b\x1b\x85") == "a\ufffdb\ufffd\ufffd"
    assert escape("a\nb") == "a\nb"


def test_attributes() -> None:
    made = element("a", "x", href='"><script>', class_="c", data_zoom="in", hidden=True, id=None)
    assert made == ('<a href="&quot;&gt;&lt;script&gt;" class="c" data-zoom="in" hidden>x</a>')
    assert element("br") == "<br>"


def test_a_table_has_heads_caption_and_totals() -> None:
    made = table("Cap", ("A", "B"), [("x", "1")], numbers=(1,), marked=(0,), foot=("all", "1"))
    assert "<caption>Cap</caption>" in made
    assert '<th scope="col">A</th><th scope="col" class="number">B</th>' in made
    assert '<tr class="chosen"><th scope="row">x</th><td class="number">1</td></tr>' in made
    assert '<tfoot><tr><th scope="row">all</th>' in made
