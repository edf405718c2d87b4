"""Drawings and charts in the page."""

from __future__ import annotations

from loopwright.report.html import Html, element


def chart(svg: str, caption: str, class_: str = "chart") -> Html:
    """A chart with its caption. `svg` is a finished drawing of this program."""
    return element("figure", Html(svg), element("figcaption", caption), class_=class_)
