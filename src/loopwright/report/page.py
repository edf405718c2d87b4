"""The page around the parts: title block, list of parts, style and script, all in one file."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence
from functools import cache
from importlib.resources import files

from loopwright.drawing import page_css
from loopwright.report.html import Html, element, join
from loopwright.report.section import Section


@cache
def _text(name: str) -> str:
    return files("loopwright.report").joinpath(name).read_text(encoding="utf-8").strip()


def page(title: str, about: str, block: Sequence[tuple[str, str]], sections: Sequence[Section],
         meta: Html) -> str:  # fmt: skip
    """The whole page. `block` are the fields of the title block, `meta` the header of the file."""
    script = _text("page.js")
    body = join(
        element("a", "Skip to the report", href="#job", class_="skip"),
        _title_block(title, about, block),
        element("div", _contents(sections), element("main", _parts(sections)), class_="sheet"),
        element("script", Html(script)),
    )
    head = join(
        element("meta", charset="utf-8"),
        meta,
        element("meta", http_equiv="Content-Security-Policy", content=_policy(script)),
        element("meta", name="viewport", content="width=device-width, initial-scale=1"),
        element("meta", name="color-scheme", content="light dark"),
        element("title", f"{title}: build report"),
        element("style", Html(page_css() + _text("page.css"))),
    )
    whole = element("html", element("head", head), element("body", body), lang="en")
    return f"<!DOCTYPE html>\n{whole}\n"


def _policy(script: str) -> str:
    """Nothing is fetched, and no script runs but the page's own."""
    known = base64.b64encode(hashlib.sha256(script.encode("utf-8")).digest()).decode("ascii")
    return (
        "default-src 'none'; style-src 'unsafe-inline'; img-src data:; "
        f"script-src 'sha256-{known}'; base-uri 'none'; form-action 'none'"
    )


def _title_block(title: str, about: str, block: Sequence[tuple[str, str]]) -> Html:
    fields = [element("div", element("dt", name), element("dd", text)) for name, text in block]
    return element(
        "header",
        element(
            "div",
            element("p", "Build report", class_="kind"),
            element("h1", title),
            element("p", about) if about else None,
            class_="name",
        ),
        element("dl", fields),
        element("button", "Light or dark", type="button", id="theme", aria_pressed="false"),
        class_="title-block",
    )


def _contents(sections: Sequence[Section]) -> Html:
    items = [
        element("li", element("a", section.title, href=f"#{section.anchor}"))
        for section in sections
    ]
    return element("nav", element("ol", items), aria_label="Parts of this report")


def _parts(sections: Sequence[Section]) -> list[Html]:
    return [
        element(
            "section",
            element(
                "h2",
                element("span", str(number), class_="count"),
                " ",
                section.title,
                id=f"{section.anchor}-title",
            ),
            element("p", section.note, class_="note"),
            section.body,
            id=section.anchor,
            aria_labelledby=f"{section.anchor}-title",
        )
        for number, section in enumerate(sections, start=1)
    ]
