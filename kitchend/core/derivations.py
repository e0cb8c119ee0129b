"""What a tree derives: words read back into slot values, and texts written from it.

Reading keeps every place it can stand at once, so it is bounded by words times tree however many options a
pattern has. Writing is for candidates (likeliest first), for rehearsal and for tests.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence
from itertools import product
from typing import assert_never

from kitchend.core.grammar import (
    Either,
    Heard,
    Lexicons,
    Maybe,
    Node,
    Row,
    Slot,
    Slots,
    Word,
    is_article,
)

ARTICLE_LEFT_OUT, OPTION_SAID, OTHER_OPTION = 0.25, 0.5, 0.6
"""How often cooks leave out an optional article, say another optional part, say not the first choice."""

_Values = tuple[tuple[str, Hashable], ...]
_Reached = dict[tuple[int, _Values], None]


def matches(node: Node, lexicons: Lexicons, heard: Heard) -> list[Slots]:
    """The slot values of every derivation of exactly these words."""
    ends = _reach(node, lexicons, heard, {(0, ()): None})
    return [dict(values) for at, values in ends if at == len(heard.bare)]


def _reach(node: Node, lexicons: Lexicons, heard: Heard, starts: _Reached) -> _Reached:
    """Where reading `node` from each of `starts` can end. Equal places are one, so nothing is read twice."""
    match node:
        case Word(text):
            way = heard.way
            return starts if text in way.left_out else _past_word(way.units(text), heard, starts)
        case Row(parts):
            for part in parts:
                if not starts:
                    break
                starts = _reach(part, lexicons, heard, starts)
            return starts
        case Either(options):
            return {end: None for option in options for end in _reach(option, lexicons, heard, starts)}
        case Maybe():
            return starts | _reach(node.inner, lexicons, heard, starts)
        case Slot(key, name):
            return {
                (end, (*values, (key, value))): None
                for at, values in starts
                for end, value in lexicons[name].reads(heard, at)
            }
        case _:
            assert_never(node)


def _past_word(parts: tuple[str, ...], heard: Heard, starts: _Reached) -> _Reached:
    bare, size = heard.bare, len(parts)
    return {(at + size, values): None for at, values in starts if bare[at : at + size] == parts}


def likeliest(node: Node, lexicons: Lexicons, limit: int) -> list[tuple[float, str]]:
    """The likeliest texts of a tree, likeliest first, about `limit` of them; the first has likelihood 1."""
    match node:
        case Word(text):
            return [(1.0, text)]
        case Slot(_, name):
            return lexicons[name].best(limit)
        case Maybe(inner, share):
            said, left_out = (1.0, ARTICLE_LEFT_OUT) if is_article(inner) else (share or OPTION_SAID, 1.0)
            texts = [(said * p, text) for p, text in likeliest(inner, lexicons, limit)]
            return _top([*texts, (left_out, "")], limit)
        case Either(options):
            found = [
                (p * (OTHER_OPTION if i else 1.0), text)
                for i, option in enumerate(options)
                for p, text in likeliest(option, lexicons, limit)
            ]
            return _top(found, limit)
        case Row(parts):
            row = [(1.0, "")]
            for part in parts:
                nexts = likeliest(part, lexicons, limit)
                joined = [(p * q, f"{text} {more}".strip()) for (p, text), (q, more) in product(row, nexts)]
                row = _top(joined, limit)
            return row
        case _:
            assert_never(node)


def _top(texts: list[tuple[float, str]], limit: int) -> list[tuple[float, str]]:
    return texts if len(texts) == 1 else sorted(texts, key=lambda pair: -pair[0])[:limit]


def sampled(node: Node, lexicons: Lexicons, choose: Callable[[int], int]) -> str:
    """One text of a tree; `choose(n)` picks each turning, from 0 to n - 1."""
    match node:
        case Word(text):
            return text
        case Slot(_, name):
            entries = lexicons[name].entries
            return entries[choose(len(entries))].text
        case Maybe():
            return sampled(node.inner, lexicons, choose) if choose(2) else ""
        case Either(options):
            return sampled(options[choose(len(options))], lexicons, choose)
        case Row(parts):
            return " ".join(filter(None, (sampled(part, lexicons, choose) for part in parts)))
        case _:
            assert_never(node)


def texts(node: Node, lexicons: Lexicons, limit: int) -> list[str]:
    """The first `limit` texts of a tree, in a fixed order."""
    found: dict[str, None] = {}
    for text in _texts(node, lexicons):
        found[text] = None
        if len(found) == limit:
            break
    return list(found)


def _texts(node: Node, lexicons: Lexicons) -> Iterator[str]:
    match node:
        case Word(text):
            yield text
        case Slot(_, name):
            yield from (entry.text for entry in lexicons[name].entries)
        case Maybe(inner, None):
            yield from _texts(inner, lexicons)
            yield ""
        case Maybe():
            yield ""
            yield from _texts(node.inner, lexicons)
        case Either(options):
            for option in options:
                yield from _texts(option, lexicons)
        case Row(parts):
            yield from _row_texts(parts, lexicons)
        case _:
            assert_never(node)


def _row_texts(parts: Sequence[Node], lexicons: Lexicons) -> Iterator[str]:
    if not parts:
        yield ""
        return
    for first in _texts(parts[0], lexicons):
        for rest in _row_texts(parts[1:], lexicons):
            yield f"{first} {rest}".strip()
