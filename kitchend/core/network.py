"""A grammar as a network of words: the smallest one that says the same texts, with how likely each turn is.

JSGF engines copy a rule wherever it is named, which costs them memory and time many times over; a network is
what they make of it in the end, without the copies. Trees are finite, so networks have no loops. States are
numbers from 0, the start, to `final`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import assert_never

from kitchend.core.grammar import Either, Leaf, Lexicons, Maybe, Node, Row, Slot, Word, is_article

ARTICLE_SHARE, OPTION_SHARE = 0.75, 0.5
"""How often an optional article is said, and any other optional part."""

SMALLEST_SHARE = 1e-6


@dataclass(frozen=True, slots=True)
class Arc:
    """One way on from a state. `word` is None where a text may end; `share` is how likely it is taken."""

    source: int
    target: int
    share: float
    word: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """All arcs between states 0 (the start) and `final`, the number of states less one."""

    final: int
    arcs: tuple[Arc, ...]


def share_of(node: Maybe) -> float:
    """How often an optional part is said."""
    if node.share is not None:
        return node.share
    return ARTICLE_SHARE if is_article(node.inner) else OPTION_SHARE


class _Sketch:
    """A network while it is drawn: with empty arcs, and several arcs of one word from one state."""

    def __init__(self, lexicons: Lexicons) -> None:
        self.lexicons = lexicons
        self.words: list[list[tuple[str, int, float]]] = []
        self.empty: list[list[tuple[int, float]]] = []

    def state(self) -> int:
        self.words.append([])
        self.empty.append([])
        return len(self.words) - 1

    def skip(self, source: int, target: int, share: float) -> None:
        if share > 0:
            self.empty[source].append((target, share))

    def draw(self, node: Node, source: int, target: int) -> None:
        """Draw a tree from one state to another."""
        match node:
            case Word(text):
                self.words[source].append((text, target, 1.0))
            case Slot(_, name):
                self._draw_leaf(self.lexicons[name].spoken, source, target)
            case Maybe(inner):
                share = share_of(node)
                self.skip(source, target, 1.0 - share)
                self.draw(inner, self._after(source, share), target)
            case Either(options):
                for option in options:
                    self.draw(option, self._after(source, 1.0 / len(options)), target)
            case Row(parts):
                for part in parts[:-1]:
                    between = self.state()
                    self.draw(part, source, between)
                    source = between
                if parts:
                    self.draw(parts[-1], source, target)
                else:
                    self.skip(source, target, 1.0)
            case _:
                assert_never(node)

    def _after(self, source: int, share: float) -> int:
        new = self.state()
        self.skip(source, new, share)
        return new

    def _draw_leaf(self, leaf: Leaf, source: int, target: int) -> None:
        ending = sum(entry.weight for entry in leaf.ends)
        self.skip(source, target, ending / leaf.weight)
        for word, lead in leaf.leads.items():
            after = self.state() if lead.leads else target
            self.words[source].append((word, after, lead.weight / leaf.weight))
            if lead.leads:
                self._draw_leaf(lead, after, target)


def network_of(
    address: str, is_needed: bool, forms: Iterable[tuple[float, Node]], lexicons: Lexicons
) -> Network:
    """The network of weighted trees after an address phrase, which may be left out unless it `is_needed`."""
    sketch = _Sketch(lexicons)
    start, said, final = sketch.state(), sketch.state(), sketch.state()
    words = tuple(Word(word) for word in address.split())
    sketch.draw(Row(words) if is_needed else Maybe(Row(words)), start, said)
    listed = list(forms)
    total = sum(weight for weight, _ in listed)
    for weight, node in listed:
        entry = sketch.state()
        sketch.skip(said, entry, weight / total)
        sketch.draw(node, entry, final)
    return _Smallest(sketch, start, final).network()


_Set = frozenset[int]


class _Smallest:
    """Makes a sketch's network: one arc a word from each state, and one state for all that go on alike."""

    def __init__(self, sketch: _Sketch, start: int, final: int) -> None:
        self.sketch = sketch
        self.final = final
        self.reach: dict[int, dict[int, float]] = {}
        self.begin = self._reached(start)
        self.start: _Set = frozenset(self.begin)
        self.steps: dict[_Set, dict[str, _Set]] = {}
        self.order: list[_Set] = []
        self.alike: dict[tuple[bool, tuple[tuple[str, int], ...]], int] = {}
        self.number: dict[_Set, int] = {}

    def _reached(self, state: int) -> dict[int, float]:
        """Where empty arcs lead to that has a word next, or the end; with what share."""
        if state not in self.reach:
            found: dict[int, float] = defaultdict(float)
            if self.sketch.words[state] or state == self.final:
                found[state] = 1.0
            for target, share in self.sketch.empty[state]:
                for end, more in self._reached(target).items():
                    found[end] += share * more
            self.reach[state] = found
        return self.reach[state]

    def network(self) -> Network:
        self._walk(self.start)
        for states in self.order:
            self._number(states)
        shares = self._shares()
        last = len(self.alike) - 1
        renumbered = {number: last - number for number in range(last + 1)}
        return Network(final=last, arcs=tuple(self._arcs(shares, renumbered)))

    def _walk(self, start: _Set) -> None:
        """Every set of states that some words lead to, each after all that follow it."""
        waiting: list[tuple[_Set, bool]] = [(start, False)]
        while waiting:
            states, is_done = waiting.pop()
            if is_done:
                self.order.append(states)
            elif states not in self.steps:
                self.steps[states] = self._step(states)
                waiting.append((states, True))
                waiting += ((after, False) for after in self.steps[states].values())

    def _step(self, states: _Set) -> dict[str, _Set]:
        found: dict[str, set[int]] = defaultdict(set)
        for state in states:
            for word, target, _ in self.sketch.words[state]:
                found[word].update(self._reached(target))
        return {word: frozenset(after) for word, after in found.items()}

    def _number(self, states: _Set) -> None:
        onward = tuple(sorted((word, self.number[after]) for word, after in self.steps[states].items()))
        self.number[states] = self.alike.setdefault((self.final in states, onward), len(self.alike))

    def _shares(self) -> Mapping[tuple[int, str | None], float]:
        """How often each way on is taken, when texts are drawn with the sketch's shares."""
        mass: dict[_Set, dict[int, float]] = {self.start: dict(self.begin)}
        shares: dict[tuple[int, str | None], float] = defaultdict(float)
        for states in reversed(self.order):
            number, here = self.number[states], mass[states]
            shares[number, None] += here.get(self.final, 0.0)
            for state, amount in here.items():
                for word, target, share in self.sketch.words[state]:
                    shares[number, word] += amount * share
                    after = mass.setdefault(self.steps[states][word], defaultdict(float))
                    for end, more in self._reached(target).items():
                        after[end] = after.get(end, 0.0) + amount * share * more
        return shares

    def _arcs(
        self, shares: Mapping[tuple[int, str | None], float], numbers: Mapping[int, int]
    ) -> Iterable[Arc]:
        for (is_end, onward), number in self.alike.items():
            ways: list[tuple[str | None, int]] = [*onward]
            if is_end and onward:
                ways.append((None, 0))
            total = sum(shares[number, word] for word, _ in ways)
            for word, after in ways:
                share = max(shares[number, word] / total, SMALLEST_SHARE)
                yield Arc(numbers[number], numbers[after], share, word)
