"""Elements of XML and HTML as text. Whatever a plan holds stays text: nothing of it is ever read as markup.

Only what this file writes becomes a tag. Letters that no XML document may hold are left out.
"""

from __future__ import annotations

import re
from html import escape

_NO_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0, section 2.2, does not allow: control letters, halves of pairs."""


class Markup(str):
    """Text that is markup already; made here only."""

    __slots__ = ()


def text(words: object) -> Markup:
    """Words as they are, for the inside of an element or an attribute."""
    return Markup(escape(_NO_XML.sub("", str(words)), quote=True))


def tag(name: str, *inside: str | Markup, **attributes: object) -> Markup:
    """An element. Plain strings inside are words; attributes that are None are left out, `_` becomes `-`."""
    given = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{text(_plain(value))}"'
        for key, value in attributes.items()
        if value is not None
    )
    body = "".join(part if isinstance(part, Markup) else text(part) for part in inside)
    return Markup(f"<{name}{given}>{body}</{name}>" if body else f"<{name}{given}/>")


def join(parts: list[Markup], between: str = "\n") -> Markup:
    """Elements one after the other."""
    return Markup(between.join(parts))


def _plain(value: object) -> object:
    """Numbers to a tenth, as drawings need them."""
    return f"{value:.1f}".removesuffix(".0") if isinstance(value, float) else value
