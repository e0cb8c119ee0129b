"""A small algebra of phrases: patterns such as "how long [is left] on [the] {name=on}" and what they derive.

The trees, the lexicons that fill their slots, and how a pattern is read. One tree serves every use:
`derivations` reads words back into slot values and writes texts, `jsgf` draws it for a listener. Articles and
the plural of units are for the ear only, as each language says (`reading`): they are ignored on both sides.
Trees are never recursive, so every language here is finite.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Container, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, assert_never

from kitchend.core.reading import Reading, is_syllabic, reading


@dataclass(frozen=True, slots=True)
class Heard:
    """Words as they were said, and as reading compares them: without articles, Hangul by the syllable.

    `places` says of which word each bare unit is a part, `way` in which way they were read.
    """

    words: tuple[str, ...]
    bare: tuple[str, ...]
    places: tuple[int, ...]
    way: Reading

    @classmethod
    def of(cls, text: str, way: Reading | None = None) -> Heard:
        """The words of a text in lower case without signs, read `way`, else as the language spoken now."""
        words, way = tuple(text.split()), way or reading()
        kept = [(i, word) for i, word in enumerate(words) if word not in way.left_out]
        pairs = [(unit, i) for i, word in kept for unit in way.units(word)]
        return cls(words, tuple(unit for unit, _ in pairs), tuple(i for _, i in pairs), way)

    def after(self, count: int) -> Heard:
        """What follows the first `count` bare units."""
        return Heard.of(self.between(count, len(self.bare)) if count < len(self.bare) else "", self.way)

    def between(self, start: int, end: int) -> str:
        """The words as said from bare unit `start` up to bare unit `end`."""
        first, last = self.places[start], self.places[end - 1]
        words = list(self.words[first : last + 1])
        if is_syllabic(words[-1]):
            words[-1] = words[-1][: end - self.places.index(last)]
        if is_syllabic(words[0]):
            words[0] = words[0][start - self.places.index(first) :]
        return " ".join(words)


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
    """A part that may be left out; `share` is how often it is said, None: as usual for its kind."""

    inner: Node
    share: float | None = None


@dataclass(frozen=True, slots=True)
class Slot:
    """A place for one entry of a named lexicon; the entry's value is kept under `key`."""

    key: str
    lexicon: str


Node = Word | Row | Either | Maybe | Slot


def is_article(node: Node) -> bool:
    """Whether a tree is a lone article."""
    return isinstance(node, Word) and node.text in reading().left_out


Slots = Mapping[str, Any]
"""The values of a derivation's slots, by key."""

_TOKEN = re.compile(r"\s*(?:(\{\w+(?:=\w+)?\})|((?:[^\W_]|')+)|([\[\]()|]))")


def pattern(text: str) -> Node:
    """The tree of a pattern: words, [optional], (this|that), {lexicon} or {key=lexicon}.

    An empty choice comes last, (on|in|), and says that one of the others is usual but can be left out.
    ValueError says what is malformed.
    """
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
        self._bare: dict[Reading, Leaf] = {}

    def __bool__(self) -> bool:
        return bool(self.entries)

    @cached_property
    def spoken(self) -> Leaf:
        """The words as they are said."""
        return _tree((entry.text.split(), entry) for entry in self.entries)

    def bare(self, way: Reading) -> Leaf:
        """The words as this way of reading compares them; a lexicon may be shared by languages."""
        kept = self._bare.get(way)
        if kept is None:
            kept = _tree((Heard.of(entry.text, way).bare, entry) for entry in self.entries)
            self._bare[way] = kept
        return kept

    def reads(self, heard: Heard, start: int) -> Iterator[tuple[int, Hashable]]:
        """Each place where an entry that begins at `start` ends, with its value."""
        leaf: Leaf | None = self.bare(heard.way)
        at = start
        while leaf is not None:
            yield from ((at, entry.value) for entry in leaf.ends)
            if at == len(heard.bare):
                return
            leaf = leaf.leads.get(heard.bare[at])
            at += 1

    def begins_with(self, word: str, way: Reading) -> bool:
        """Whether an entry does, as this way of reading compares words."""
        return word in self.bare(way).leads

    @cached_property
    def usual(self) -> Lexicon:
        """The entries that are not seldom chosen; all, where every one is."""
        kept = tuple(entry for entry in self.entries if entry.weight > SELDOM)
        return Lexicon(kept) if kept and len(kept) < len(self.entries) else self

    def best(self, limit: int) -> list[tuple[float, str]]:
        """The likeliest wordings; how likely each is beside the likeliest."""
        chosen = sorted(self.entries, key=lambda entry: -entry.weight)[:limit]
        return [(entry.weight / chosen[0].weight, entry.text) for entry in chosen]

    def words(self) -> Iterator[str]:
        """Every word of every entry."""
        for entry in self.entries:
            yield from entry.text.split()


ANY = "any"
"""The name of the lexicon that holds words of any kind."""


class AnyWords(Lexicon):
    """Up to `limit` words of any kind, their own value. No listener can be given it as a grammar."""

    limit = 6

    def __init__(self) -> None:
        super().__init__([Entry("something", "something")])

    def begins_with(self, word: str, way: Reading) -> bool:
        """Any word will do."""
        return True

    def reads(self, heard: Heard, start: int) -> Iterator[tuple[int, Hashable]]:
        """Each stretch of words from `start`, as it was said."""
        for end in range(start + 1, len(heard.bare) + 1):
            if heard.places[end - 1] - heard.places[start] >= self.limit:
                return
            yield end, heard.between(start, end)


def _tree(worded: Iterable[tuple[Sequence[str], Entry]]) -> Leaf:
    root = Leaf()
    for words, entry in worded:
        leaf = root
        for word in words:
            leaf = leaf.leads.setdefault(word, Leaf())
        leaf.ends.append(entry)
    return root


Lexicons = Mapping[str, Lexicon]
_EMPTY = Row(())

SELDOM = 0.1
"""Optional parts said this often or less, and entries of this weight or less, are not usual."""


def usual(node: Node) -> Node:
    """The tree without optional parts that are seldom said."""
    match node:
        case Maybe(_, share) if share is not None and share <= SELDOM:
            return _EMPTY
        case Maybe(inner, share):
            return Maybe(usual(inner), share)
        case Either(options):
            return Either(tuple(map(usual, options)))
        case Row(parts):
            return Row(tuple(left for part in parts if (left := usual(part)) != _EMPTY))
        case Word() | Slot():
            return node
        case _:
            assert_never(node)


def pruned(node: Node, empty: Container[str]) -> Node | None:
    """The tree without what needs an empty lexicon; None if nothing is left to say."""
    match node:
        case Word():
            return node
        case Slot():
            return None if node.lexicon in empty else node
        case Maybe():
            inner = pruned(node.inner, empty)
            return _EMPTY if inner is None else Maybe(inner, node.share)
        case Either():
            kept = tuple(left for option in node.options if (left := pruned(option, empty)) is not None)
            return None if not kept else kept[0] if len(kept) == 1 else Either(kept)
        case Row():
            cut = tuple(pruned(part, empty) for part in node.parts)
            said = tuple(part for part in cut if part is not None)
            return Row(tuple(part for part in said if part != _EMPTY)) if len(said) == len(cut) else None
        case _:
            assert_never(node)


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
        case _:
            assert_never(node)


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
        case _:
            assert_never(node)


@dataclass(frozen=True, slots=True)
class Opening:
    """How a tree's texts can begin, as reading compares words: words of its own, and lexicons."""

    words: frozenset[str]
    lexicons: frozenset[str]
    may_be_empty: bool = False

    def takes(self, word: str, begins: Callable[[str], bool]) -> bool:
        """Whether a text can begin with this word; `begins` says whether an entry of a lexicon does."""
        return word in self.words or any(map(begins, self.lexicons))


_NO_WORD = Opening(frozenset(), frozenset(), may_be_empty=True)


def opening_of(node: Node, way: Reading) -> Opening:
    """How the texts of a tree can begin, so read. Lexicons have no empty entries."""
    match node:
        case Word(text):
            return _NO_WORD if text in way.left_out else Opening(frozenset({way.units(text)[0]}), frozenset())
        case Slot(_, name):
            return Opening(frozenset(), frozenset({name}))
        case Maybe():
            return _any_of([opening_of(node.inner, way), _NO_WORD])
        case Either(options):
            return _any_of(opening_of(option, way) for option in options)
        case Row(parts):
            found = [_NO_WORD]
            for part in parts:
                if not found[-1].may_be_empty:
                    break
                found.append(opening_of(part, way))
            return replace(_any_of(found), may_be_empty=found[-1].may_be_empty)
        case _:
            assert_never(node)


def _any_of(openings: Iterable[Opening]) -> Opening:
    listed = tuple(openings)
    return Opening(
        frozenset().union(*(one.words for one in listed)),
        frozenset().union(*(one.lexicons for one in listed)),
        any(one.may_be_empty for one in listed),
    )
