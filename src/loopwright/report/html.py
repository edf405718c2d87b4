"""HTML that is safe by construction: text is escaped unless it is `Html` already."""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Sequence

_ODD = re.compile("[^\t\n\r\u0020-\u007e\u00a0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_VOID = frozenset({"br", "meta", "link", "hr", "wbr"})


class Html(str):
    """Text that is HTML. Joining it to plain text gives plain text, which is escaped when used."""

    __slots__ = ()


Content = str | Iterable[str] | None
"""What an element may hold: text, HTML, or several of them."""


def escape(text: str) -> Html:
    """`text` as content or attribute; control characters become U+FFFD."""
    if isinstance(text, Html):
        return text
    return Html(html.escape(_ODD.sub("\ufffd", text), quote=True))


def element(tag: str, *content: Content, **attributes: str | bool | None) -> Html:
    """One element. `class_` stands for class, `data_x` for data-x; True gives a bare attribute, and
    None or False leaves it out."""
    told = []
    for key, value in attributes.items():
        name = key.rstrip("_").replace("_", "-")
        if value is True:
            told.append(f" {name}")
        elif value is not None and value is not False:
            told.append(f' {name}="{escape(value)}"')
    head = f"<{tag}{''.join(told)}>"
    return Html(head if tag in _VOID else f"{head}{join(*content)}</{tag}>")


def join(*content: Content) -> Html:
    """All of `content` one after the other."""
    parts: list[str] = []
    for one in content:
        if isinstance(one, str):
            parts.append(escape(one))
        elif one is not None:
            parts.extend(escape(each) for each in one)
    return Html("".join(parts))


def paragraph(*content: Content, class_: str | None = None) -> Html:
    """A paragraph."""
    return element("p", *content, class_=class_)


def bullets(items: Iterable[str], class_: str | None = None) -> Html:
    """A list of points; nothing where there are none."""
    points = [element("li", item) for item in items]
    return element("ul", points, class_=class_) if points else Html("")


def table(
    caption: str,
    heads: Sequence[str],
    rows: Iterable[Sequence[str]],
    *,
    numbers: Iterable[int] = (),
    marked: Iterable[int] = (),
    foot: Sequence[str] = (),
) -> Html:
    """A table with its caption; the first cell of a row is its head.

    `numbers` are the columns that are set to the right, `marked` the rows that stand out, `foot`
    is a last row of totals. A table wider than the page scrolls by itself.
    """
    right, strong = frozenset(numbers), frozenset(marked)

    def cells(row: Sequence[str]) -> list[Html]:
        return [
            element(
                "th" if column == 0 else "td",
                cell,
                scope="row" if column == 0 else None,
                class_="number" if column in right else None,
            )
            for column, cell in enumerate(row)
        ]

    head = [
        element("th", text, scope="col", class_="number" if column in right else None)
        for column, text in enumerate(heads)
    ]
    body = [
        element("tr", cells(row), class_="chosen" if index in strong else None)
        for index, row in enumerate(rows)
    ]
    whole = element(
        "table",
        element("caption", caption),
        element("thead", element("tr", head)),
        element("tbody", body),
        element("tfoot", element("tr", cells(foot))) if foot else None,
    )
    return element("div", whole, class_="scroll", tabindex="0", role="region", aria_label=caption)


def folded(summary: str, *content: Content) -> Html:
    """Content that opens on demand."""
    return element("details", element("summary", summary), *content)
