"""A grammar as a network of words: the smallest one that says the same texts, with how likely each turn is.

JSGF engines copy a rule wherever it is named, which costs them memory and time many times over; a network is
what they make of it in the end, without the copies. Trees are finite, so networks have no loops. States are
numbers from 0, the start, to `final`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
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


def after(network: Network, words: Sequence[str]) -> set[int]:
    """The states that these words lead to from the start."""
    states = {0}
    for word in words:
        states = {arc.target for arc in network.arcs if arc.source in states and arc.word == word}
    return states


def with_words_around(
    network: Network,
    begins: Iterable[int],
    before: Iterable[Sequence[str]],
    behind: Sequence[str],
    share: float,
) -> Network:
    """The network with words around what it says, or without: before what begins at some of its states a text
    of each row of `before` (one at least), in order, and at its end one of `behind`. Of each row something is
    said with this share.
    """
    ways: list[tuple[_Place, _Place, float, str | None]] = []

    def say(source: _Place, target: _Place, texts: Sequence[str]) -> None:
        ways.append((source, target, 1.0 - share if texts else 1.0, None))
        for number, text in enumerate(texts):
            words = text.split()
            between = [(*source, number, place) for place in range(1, len(words))]
            for start, end, word in zip([source, *between], [*between, target], words, strict=True):
                ways.append((start, end, share / len(texts) if start == source else 1.0, word))

    entered: dict[int, _Place] = {}
    rows = list(before)
    for state in begins:
        places: list[_Place] = [(state, row - len(rows)) for row in range(len(rows))]
        for place, after, texts in zip(places, [*places[1:], (state, 0)], rows, strict=True):
            say(place, after, texts)
        entered[state] = places[0]
    ways += [
        ((arc.source, 0), entered.get(arc.target, (arc.target, 0)), arc.share, arc.word)
        for arc in network.arcs
    ]
    say((network.final, 0), (network.final + 1, 0), behind)
    places = sorted({place for source, target, _, _ in ways for place in (source, target)})
    number = {place: at for at, place in enumerate(places)}
    arcs = (Arc(number[source], number[target], taken, word) for source, target, taken, word in ways)
    return Network(final=len(places) - 1, arcs=tuple(arcs))


_Place = tuple[int, ...]
"""A state of the network before as (state, 0), and others around it, in the order they are passed."""

_Words = tuple[tuple[str, int, float], ...]
_Empty = tuple[tuple[int, float], ...]


class _Sketch:
    """A network while it is drawn: with empty arcs, and several arcs of one word from one state.

    It is drawn from its end, so that whatever goes on alike, with the same shares, is one state at once.
    """

    FINAL = 0

    def __init__(self, lexicons: Lexicons) -> None:
        self.lexicons = lexicons
        self.words: list[_Words] = []
        self.empty: list[_Empty] = []
        self._known: dict[tuple[_Words, _Empty], int] = {}
        self._drawn: dict[tuple[Node, int], int] = {}
        self.state((), ())

    def state(self, words: _Words, empty: _Empty) -> int:
        """The state with these ways on."""
        known = self._known.setdefault((words, empty), len(self.words))
        if known == len(self.words):
            self.words.append(words)
            self.empty.append(empty)
        return known

    def draw(self, node: Node, target: int) -> int:
        """Draw a tree that leads to a state; where it begins."""
        begin = self._drawn.get((node, target))
        if begin is None:
            begin = self._drawn[node, target] = self._begin(node, target)
        return begin

    def _begin(self, node: Node, target: int) -> int:
        match node:
            case Word(text):
                return self.state(((text, target, 1.0),), ())
            case Slot(_, name):
                return self._draw_leaf(self.lexicons[name].spoken, target)
            case Maybe(inner):
                return self.turn(((self.draw(inner, target), share_of(node)), (target, 1.0 - share_of(node))))
            case Either(options):
                return self.turn((self.draw(option, target), 1.0 / len(options)) for option in options)
            case Row(parts):
                for part in reversed(parts):
                    target = self.draw(part, target)
                return target
            case _:
                assert_never(node)

    def turn(self, ways: Iterable[tuple[int, float]]) -> int:
        """A state from which one of several others is taken, each with its share."""
        return self.state((), tuple(way for way in ways if way[1] > 0))

    def _draw_leaf(self, leaf: Leaf, target: int) -> int:
        ending = sum(entry.weight for entry in leaf.ends) / leaf.weight
        return self.state(
            tuple(
                (word, self._draw_leaf(lead, target) if lead.leads else target, lead.weight / leaf.weight)
                for word, lead in leaf.leads.items()
            ),
            ((target, ending),) if ending > 0 else (),
        )


def network_of(forms: Iterable[tuple[float, Node]], lexicons: Lexicons) -> Network:
    """The network of weighted trees."""
    sketch = _Sketch(lexicons)
    listed = list(forms)
    total = sum(weight for weight, _ in listed)
    said = sketch.turn((sketch.draw(node, sketch.FINAL), weight / total) for weight, node in listed)
    return _Smallest(sketch, said).network()


def moved(network: Network, states: int) -> Network:
    """The network with so many states in front of it, from which no arcs go out yet."""
    if not states:
        return network
    arcs = (Arc(arc.source + states, arc.target + states, arc.share, arc.word) for arc in network.arcs)
    return Network(final=network.final + states, arcs=tuple(arcs))


def begin_words(network: Network, state: int) -> frozenset[str]:
    """The words that go on from a state."""
    return frozenset(arc.word for arc in network.arcs if arc.source == state and arc.word is not None)


def called(network: Network, words: Sequence[str], *, is_needed: bool) -> Network:
    """The network, `moved` by their number, after these words; unless they are needed its texts also begin at
    once, half of them, and none of these with the first of these words.
    """
    if not words:
        return network
    start, share = len(words), 1.0 if is_needed else OPTION_SHARE
    chain = [Arc(at, at + 1, 1.0 if at else share, word) for at, word in enumerate(words)]
    if not is_needed:
        # All that is left out without the words goes on from the start as it does after them.
        ways = (arc for arc in network.arcs if arc.source == start)
        chain += [Arc(0, arc.target, (1.0 - share) * arc.share, arc.word) for arc in ways]
    return Network(final=network.final, arcs=(*chain, *network.arcs))


_Set = frozenset[int]


class _Smallest:
    """Makes a sketch's network: one arc a word from each state, and one state for all that go on alike."""

    def __init__(self, sketch: _Sketch, start: int) -> None:
        self.sketch = sketch
        self.final = sketch.FINAL
        self.reach: dict[int, dict[int, float]] = {}
        self.sets: dict[int, _Set] = {}
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
        found: dict[str, list[int]] = defaultdict(list)
        for state in states:
            for word, target, _ in self.sketch.words[state]:
                found[word].append(target)
        return {word: self._all_reached(targets) for word, targets in found.items()}

    def _all_reached(self, targets: Sequence[int]) -> _Set:
        """Where these lead to by themselves; one set for each that is alone, as most are."""
        if len(targets) > 1:
            return frozenset().union(*map(self._reached, targets))
        if targets[0] not in self.sets:
            self.sets[targets[0]] = frozenset(self._reached(targets[0]))
        return self.sets[targets[0]]

    def _number(self, states: _Set) -> None:
        onward = tuple(sorted((word, self.number[after]) for word, after in self.steps[states].items()))
        self.number[states] = self.alike.setdefault((self.final in states, onward), len(self.alike))

    def _shares(self) -> Mapping[tuple[int, str | None], float]:
        """How often each way on is taken, when texts are drawn with the sketch's shares."""
        come: dict[_Set, dict[int, float]] = {states: defaultdict(float) for states in self.order}
        shares: dict[tuple[int, str | None], float] = defaultdict(float)
        for states in reversed(self.order):
            number, steps = self.number[states], self.steps[states]
            here = self.begin if states == self.start else self._spread(come[states])
            shares[number, None] += here.get(self.final, 0.0)
            for state, amount in here.items():
                for word, target, share in self.sketch.words[state]:
                    shares[number, word] += amount * share
                    come[steps[word]][target] += amount * share
        return shares

    def _spread(self, come: Mapping[int, float]) -> Mapping[int, float]:
        """What has come to some states, where they lead to by themselves."""
        found: dict[int, float] = defaultdict(float)
        for target, amount in come.items():
            for end, share in self._reached(target).items():
                found[end] += amount * share
        return found

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
