"""Builds elements of HTML, SVG and MathML with every text and attribute escaped."""

from __future__ import annotations

from html import escape
from typing import Any

from linerdesign.documents.numbers import clean

_VOID = frozenset({"meta", "link", "input", "br", "hr", "img", "path", "rect", "line", "circle"})


class Markup(str):
    """Text that is markup already, to be put in as it is."""

    __slots__ = ()

    def __html__(self) -> str:
        """Itself, for templates that escape all other text."""
        return self


def text(value: object) -> Markup:
    """A text as markup that shows exactly it."""
    return value if isinstance(value, Markup) else Markup(escape(clean(str(value))))


def join(*parts: object, between: str = "") -> Markup:
    """Parts in a row; those that are not markup are escaped."""
    return Markup(between.join(text(part) for part in parts))


def _value(value: object) -> Markup:
    value = round(value, 2) if isinstance(value, float) else value
    return text("" if value is True else value)


def element(tag: str, *children: object, **attributes: Any) -> Markup:
    """One element. `class_` stands for `class`, `data_name` for `data-name`.

    An attribute that is None or False is left out, and True stands for one without a value. A
    length has two decimals at most.

    >>> element("a", "1 < 2", href="#x", data_n=3, hidden=False, width=2 / 3)
    '<a href="#x" data-n="3" width="0.67">1 &lt; 2</a>'
    """
    start = "".join(
        f' {name.rstrip("_").replace("_", "-")}="{_value(value)}"'
        for name, value in attributes.items()
        if value is not None and value is not False
    )
    if tag in _VOID:
        return Markup(f"<{tag}{start}/>")
    return Markup(f"<{tag}{start}>{join(*children)}</{tag}>")
