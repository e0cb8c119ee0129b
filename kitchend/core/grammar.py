"""A small algebra of phrases: patterns such as "how long [is left] on [the] {name=on}" and what they derive.

One tree serves every use: `matches` reads tokens back into slot values, `likeliest` and `sampled` write
texts, and `jsgf` draws the same tree for a listener. Articles are for the ear only: reading ignores them on both sides.
Trees are never recursive, so every language here is finite and reading it is bounded by words times tree.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import islice, product
from typing import Any

ARTICLES = frozenset({"the", "a", "an"})

ARTICLE_IS_SAID, OPTION_IS_SAID = 0.8, 0.4
"""How often cooks say an optional article, and any other optional part; sets the order of candidates only."""


@dataclass(frozen=True, slots=True)
class Word:
    """One word, exactly as a listener writes it."""

    text: str


@dataclass(frozen=True, slots=True)
class Row:
    """Parts said one after the other."""

    parts: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Either:
    """Exactly one of several."""

    options: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Maybe:
    """A part that may be left out."""

    inner: Node


@dataclass(frozen=True, slots=True)
class Slot:
    """A place for one entry of a named lexicon; the entry's value is kept under `key`."""

    key: str
    lexicon: str


Node = Word | Row | Either | Maybe | Slot
Slots = Mapping[str, Any]
"""The values of a derivation's slots, by key."""

_TOKEN = re.compile(r"\s*(?:(\{\w+(?:=\w+)?\})|([a-z0-9']+)|([\[\]()|]))")


def pattern(text: str) -> Node:
    """The tree of a pattern: words, [optional], (this|that), {lexicon} or {key=lexicon}. ValueError if malformed."""
    tokens = _tokens(text)
    node, rest = _either(tokens)
    if rest:
        raise ValueError(f"pattern {text!r}: unexpected {rest[0]!r}")
    return node


def _tokens(text: str) -> list[str]:
    found, at = [], 0
    text = text.strip()
    while at < len(text):
        match = _TOKEN.match(text, at)
        if match is None:
            raise ValueError(f"pattern {text!r}: cannot read from {text[at:]!r}")
        found.append(match[0].strip())
        at = match.end()
    return found


def _either(tokens: list[str]) -> tuple[Node, list[str]]:
    first, rest = _row(tokens)
    options = [first]
    while rest and rest[0] == "|":
        option, rest = _row(rest[1:])
        options.append(option)
    return (options[0] if len(options) == 1 else Either(tuple(options))), rest


def _row(tokens: list[str]) -> tuple[Node, list[str]]:
    parts: list[Node] = []
    while tokens and tokens[0] not in ("|", ")", "]"):
        part, tokens = _part(tokens)
        parts.append(part)
    return (parts[0] if len(parts) == 1 else Row(tuple(parts))), tokens


def _part(tokens: list[str]) -> tuple[Node, list[str]]:
    token, rest = tokens[0], tokens[1:]
    if token in "([":
        inner, rest = _either(rest)
        closing = ")" if token == "(" else "]"
        if not rest or rest[0] != closing:
            raise ValueError(f"pattern: missing {closing!r}")
        return (inner if token == "(" else Maybe(inner)), rest[1:]
    if token.startswith("{"):
        key, _, lexicon = token[1:-1].partition("=")
        return Slot(key, lexicon or key), rest
    return Word(token), rest


@dataclass(frozen=True, slots=True)
class Entry:
    """One wording in a lexicon, what it means, and how likely it is beside the others."""

    text: str
    value: Hashable
    weight: float = 1.0


@dataclass
class Leaf:
    """A place in a lexicon's tree of words: the entries that end here and the words that lead on."""

    ends: list[Entry] = field(default_factory=list)
    leads: dict[str, Leaf] = field(default_factory=dict)

    @cached_property
    def weight(self) -> float:
        """The weight of everything from here on."""
        return sum(entry.weight for entry in self.ends) + sum(leaf.weight for leaf in self.leads.values())


class Lexicon:
    """Wordings with values: what may fill a slot. Later entries with a text already there are left out."""

    def __init__(self, entries: Iterable[Entry] = ()) -> None:
        seen: dict[tuple[str, Hashable], Entry] = {}
        for entry in entries:
            seen.setdefault((entry.text, entry.value), entry)
        self.entries: tuple[Entry, ...] = tuple(seen.values())

    def __bool__(self) -> bool:
        return bool(self.entries)

    @cached_property
    def spoken(self) -> Leaf:
        """The words as they are said."""
        return _tree(self.entries, lambda word: True)

    @cached_property
    def bare(self) -> Leaf:
        """The words without their articles."""
        return _tree(self.entries, lambda word: word not in ARTICLES)

    def reads(self, tokens: Sequence[str], start: int) -> Iterator[tuple[int, Hashable]]:
        """Each place where an entry that begins at `start` ends, with its value."""
        leaf: Leaf | None = self.bare
        at = start
        while leaf is not None:
            yield from ((at, entry.value) for entry in leaf.ends)
            if at == len(tokens):
                return
            leaf = leaf.leads.get(tokens[at])
            at += 1

    def best(self, limit: int) -> list[tuple[float, str]]:
        """The likeliest wordings with their probabilities."""
        total = sum(entry.weight for entry in self.entries)
        chosen = sorted(self.entries, key=lambda entry: -entry.weight)[:limit]
        return [(entry.weight / total, entry.text) for entry in chosen]

    def words(self) -> Iterator[str]:
        """Every word of every entry."""
        for entry in self.entries:
            yield from entry.text.split()


class AnyWords(Lexicon):
    """Up to `limit` words of any kind, their own value. For typed lines: no listener can be given it."""

    limit = 6

    def __init__(self) -> None:
        super().__init__([Entry("something", "something")])

    def reads(self, tokens: Sequence[str], start: int) -> Iterator[tuple[int, Hashable]]:
        for end in range(start + 1, min(len(tokens), start + self.limit) + 1):
            yield end, " ".join(tokens[start:end])


def _tree(entries: Iterable[Entry], keeps: Callable[[str], bool]) -> Leaf:
    root = Leaf()
    for entry in entries:
        leaf = root
        for word in filter(keeps, entry.text.split()):
            leaf = leaf.leads.setdefault(word, Leaf())
        leaf.ends.append(entry)
    return root


Lexicons = Mapping[str, Lexicon]
_Values = tuple[tuple[str, Hashable], ...]
_EMPTY = Row(())


def pruned(node: Node, lexicons: Lexicons) -> Node | None:
    """The tree without what needs an empty lexicon; None if nothing is left to say."""
    match node:
        case Word():
            return node
        case Slot():
            return node if lexicons.get(node.lexicon) else None
        case Maybe():
            inner = pruned(node.inner, lexicons)
            return _EMPTY if inner is None else Maybe(inner)
        case Either():
            kept = tuple(left for option in node.options if (left := pruned(option, lexicons)) is not None)
            return None if not kept else kept[0] if len(kept) == 1 else Either(kept)
        case Row():
            parts = tuple(pruned(part, lexicons) for part in node.parts)
            left = tuple(part for part in parts if part is not None)
            return Row(tuple(part for part in left if part != _EMPTY)) if len(left) == len(parts) else None


def matches(node: Node, lexicons: Lexicons, tokens: Sequence[str]) -> list[Slots]:
    """The slot values of every derivation of exactly these tokens (without articles)."""
    ends = _reach(node, lexicons, tokens, {(0, ()): None})
    return [dict(values) for at, values in ends if at == len(tokens)]


_Reached = dict[tuple[int, _Values], None]


def _reach(node: Node, lexicons: Lexicons, tokens: Sequence[str], starts: _Reached) -> _Reached:
    """Where reading `node` from each of `starts` can end. Equal places are one, so nothing is read twice."""
    match node:
        case Word(text):
            if text in ARTICLES:
                return starts
            return {(at + 1, values): None for at, values in starts if at < len(tokens) and tokens[at] == text}
        case Row(parts):
            for part in parts:
                if not starts:
                    break
                starts = _reach(part, lexicons, tokens, starts)
            return starts
        case Either(options):
            return {end: None for option in options for end in _reach(option, lexicons, tokens, starts)}
        case Maybe(inner):
            return starts | _reach(inner, lexicons, tokens, starts)
        case Slot(key, name):
            return {
                (end, (*values, (key, value))): None
                for at, values in starts
                for end, value in lexicons[name].reads(tokens, at)
            }


def likeliest(node: Node, lexicons: Lexicons, limit: int) -> list[tuple[float, str]]:
    """The likeliest texts of a tree with their probabilities, likeliest first; about `limit` of them."""
    match node:
        case Word(text):
            return [(1.0, text)]
        case Slot(_, name):
            return lexicons[name].best(limit)
        case Maybe(inner):
            is_article = isinstance(inner, Word) and inner.text in ARTICLES
            said = ARTICLE_IS_SAID if is_article else OPTION_IS_SAID
            texts = [(said * p, text) for p, text in likeliest(inner, lexicons, limit)]
            return _top([*texts, (1.0 - said, "")], limit)
        case Either(options):
            texts = [pair for option in options for pair in likeliest(option, lexicons, limit)]
            return _top([(p / len(options), text) for p, text in texts], limit)
        case Row(parts):
            row = [(1.0, "")]
            for part in parts:
                nexts = likeliest(part, lexicons, limit)
                joined = [(p * q, f"{text} {more}".strip()) for (p, text), (q, more) in product(row, nexts)]
                row = _top(joined, limit)
            return row


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
        case Maybe(inner):
            return sampled(inner, lexicons, choose) if choose(2) else ""
        case Either(options):
            return sampled(options[choose(len(options))], lexicons, choose)
        case Row(parts):
            return " ".join(filter(None, (sampled(part, lexicons, choose) for part in parts)))


def texts(node: Node, lexicons: Lexicons, limit: int) -> list[str]:
    """The first `limit` texts of a tree, in a fixed order."""
    return list(islice(dict.fromkeys(_texts(node, lexicons)), limit))


def _texts(node: Node, lexicons: Lexicons) -> Iterator[str]:
    match node:
        case Word(text):
            yield text
        case Slot(_, name):
            yield from (entry.text for entry in lexicons[name].entries)
        case Maybe(inner):
            yield from _texts(inner, lexicons)
            yield ""
        case Either(options):
            for option in options:
                yield from _texts(option, lexicons)
        case Row(parts):
            yield from _row_texts(parts, lexicons)


def _row_texts(parts: Sequence[Node], lexicons: Lexicons) -> Iterator[str]:
    if not parts:
        yield ""
        return
    for first in _texts(parts[0], lexicons):
        for rest in _row_texts(parts[1:], lexicons):
            yield f"{first} {rest}".strip()


def lexicons_in(node: Node) -> Iterator[str]:
    """The names of the lexicons a tree refers to."""
    match node:
        case Slot():
            yield node.lexicon
        case Maybe():
            yield from lexicons_in(node.inner)
        case Either() | Row():
            for child in node.options if isinstance(node, Either) else node.parts:
                yield from lexicons_in(child)
        case Word():
            return


def words_in(node: Node) -> Iterator[str]:
    """The words a tree spells out itself, without those of its lexicons."""
    match node:
        case Word():
            yield node.text
        case Maybe():
            yield from words_in(node.inner)
        case Either() | Row():
            for child in node.options if isinstance(node, Either) else node.parts:
                yield from words_in(child)
        case Slot():
            return
