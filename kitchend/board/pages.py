"""The pages as HTML: what stands still. What moves is put in by plain scripts, as words and never as markup.

Each page carries the table of words its script needs as data, so that no script holds a sentence.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Mapping

from kitchend.reports.markup import Markup, join, tag, text
from kitchend.reports.sheet import STYLE

Words = Mapping[str, str]

PLACES = (("/", "nav.now"), ("/plans", "nav.plans"), ("/after", "nav.after"))


def now_page(words: Words, language: str) -> str:
    """Now and next, the timeline, what was said, and what can be pressed."""
    return _page(words, language, "/", "board.js", _now_body(words))


def plans_page(words: Words, language: str) -> str:
    """Before the dinner."""
    return _page(words, language, "/plans", "plans.js", _plans_body(words))


def after_page(words: Words, language: str) -> str:
    """After the dinner."""
    body = join([tag("section", tag("h1", words["after"]), _div("after"), class_="sheet")])
    return _page(words, language, "/after", "after.js", body)


def door_page(words: Words, language: str, address: str) -> str:
    """The way in for a device of the house."""
    form = tag(
        "form",
        tag("label", words["door.label"], for_="words"),
        _input(
            id="words",
            name_="words",
            maxlength=80,
            autocomplete="off",
            autocapitalize="none",
            required="required",
        ),
        tag("label", words["door.name"], for_="name"),
        _input(id="name", name_="name", maxlength=40, autocomplete="off", required="required"),
        tag("button", words["door.send"], type="submit", class_="main"),
        _empty("p", id="came", role="status"),
        id="door",
    )
    how = tag("p", words["door.how"].format(address=address))
    body = join([tag("section", tag("h1", words["door"]), how, form, class_="sheet door")])
    return _page(words, language, "/door", "door.js", body, has_nav=False)


def sheet_policy() -> str:
    """The policy of a sheet to print: its own style and nothing else."""
    digest = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
    return f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; frame-ancestors 'none'"


def _now_body(words: Words) -> Markup:
    top = tag(
        "header",
        tag("div", tag("span", words["pass"], class_="small"), _empty("strong", id="pass-at")),
        _empty("p", id="pass-words"),
        _empty("p", id="pass-more", class_="small"),
        _div("pass-each"),
        tag("p", words["loading"], id="ears"),
        tag("div", tag("span", words["clock"], class_="small"), _empty("strong", id="clock")),
        class_="top",
        id="top",
    )
    old = _empty("p", id="old", role="status", hidden="hidden")
    asked = tag(
        "section",
        tag("h2", words["asked"]),
        _div("asked-text"),
        _div("asked-presses"),
        id="asked",
        hidden="hidden",
        aria_live="off",
    )
    careful = tag(
        "section", tag("h2", words["state.careful"]), _div("careful-text"), id="careful", hidden="hidden"
    )
    note = _empty("p", id="guidance", class_="small")
    going = tag(
        "section", tag("h2", words["going"]), _div("going"), note, class_="going", id="on", tabindex="-1"
    )
    coming = tag("section", tag("h2", words["next"]), _div("coming"), class_="coming")
    whole = _part("timeline", "whole", words["timeline"])
    read = _part("readings", "read", words["readings"])
    return join(
        [
            tag("h1", words["nav.now"], class_="heard-only"),
            top,
            old,
            asked,
            careful,
            tag("div", going, tag("div", coming, _talk(words), read, class_="side"), whole, class_="now"),
            _div("presses"),
            _empty("div", id="calls", class_="heard-only", aria_live="assertive", role="log"),
        ]
    )


def _part(name: str, place: str, head: str) -> Markup:
    """A part of the page that is hidden until there is something to show."""
    return tag("section", tag("h2", head), _div(name), class_=name, id=place, hidden="hidden")


def _talk(words: Words) -> Markup:
    line = tag(
        "form",
        tag("label", words["type"], for_="line", class_="small"),
        tag(
            "span",
            _input(id="line", maxlength=300, autocomplete="off", enterkeyhint="send"),
            tag("button", words["send"], type="submit", class_="main"),
            class_="line",
        ),
        _empty("p", id="came", role="status", class_="small"),
        id="typing",
    )
    return tag(
        "section",
        tag("h2", words["talk"]),
        _empty("ol", id="talk"),
        _empty("p", id="mouth", class_="small"),
        _empty("p", id="tone", class_="small"),
        line,
        class_="talk",
    )


def _plans_body(words: Words) -> Markup:
    pick = tag(
        "div",
        tag("h2", words["add"]),
        tag("p", words["add.how"]),
        # The browser's own words on it are in the browser's language; the label is what is seen and hit.
        _input(id="file", type="file", accept=".yaml,.yml", class_="unseen"),
        tag("label", words["add.pick"], for_="file", class_="button"),
        _empty("div", id="added", role="status"),
        id="drop",
    )
    left = tag("section", tag("h1", words["plans"]), _div("plans"), pick, class_="sheet")
    right = _empty("section", id="chosen", class_="sheet", hidden="hidden", aria_live="polite")
    return tag("div", left, right, class_="pair")


def _page(words: Words, language: str, here: str, script: str, body: Markup, *, has_nav: bool = True) -> str:
    scripts = ["common.js", script] if script != "door.js" else ["door.js"]
    head = tag(
        "head",
        _void("meta", charset="utf-8"),
        tag("title", f"{words['title']}: {words[dict(PLACES).get(here, 'door')]}"),
        _void("meta", name_="viewport", content="width=device-width, initial-scale=1"),
        _void("meta", name_="color-scheme", content="light dark"),
        _void("link", rel="stylesheet", href="/board.css"),
        _void("link", rel="icon", href="/icon.svg"),
        *(_script(name) for name in scripts),
    )
    links = [
        tag("a", words[key], href=path, aria_current="page" if path == here else None) for path, key in PLACES
    ]
    parts = [
        tag("a", words["skip"], href="#main", class_="skip"),
        tag("nav", *links, aria_label=words["nav"]) if has_nav else Markup(""),
        tag("noscript", tag("p", words["no script"])),
        tag("main", body, id="main"),
    ]
    whole = tag("body", join(parts), data_words=json.dumps(dict(words), ensure_ascii=False))
    return f"<!DOCTYPE html>\n{tag('html', head, whole, lang=language)}\n"


def _script(name: str) -> Markup:
    return Markup(f'<script src="/{text(name)}" defer></script>')


def _void(element: str, **attributes: object) -> Markup:
    """An element without an end, as HTML writes it."""
    return Markup(tag(element, **attributes).removesuffix("/>") + ">")


def _empty(element: str, **attributes: object) -> Markup:
    """An element for a script to fill."""
    return Markup(f"{_void(element, **attributes)}</{element}>")


def _input(**attributes: object) -> Markup:
    return _void("input", **attributes)


def _div(name: str) -> Markup:
    return _empty("div", id=name)
