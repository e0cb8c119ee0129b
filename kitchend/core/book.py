"""The phrasebook filled with the names and numbers of a dinner: forms, lexicons, and how likely each is.

What it holds can be read back, drawn as JSGF or as a network, sampled, or listed, the likeliest first. It
knows nothing of the address phrase but that it may come before. Nothing is decided about what a command does.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache

from kitchend.core.commands import Command
from kitchend.core.derivations import likeliest, matches, sampled
from kitchend.core.forms import Gate, Phrase
from kitchend.core.grammar import (
    Heard,
    Lexicon,
    Maybe,
    Node,
    Opening,
    Row,
    Word,
    lexicons_in,
    opening_of,
    pruned,
    usual,
    words_in,
)
from kitchend.core.jsgf import lexicon_text, node_text, weighted
from kitchend.core.network import Network, begin_words, called, moved, network_of
from kitchend.core.tongue import by_tongue, language_of, tongue

_FEWEST, _MOST = 6, 32
"""How many candidates the least and the most likely rule may give; a rule of weight 4 gives 16."""

_CROWDING = 0.93
"""What each further candidate of a rule is worth beside the one before it, so that none crowds out others."""


@dataclass(frozen=True)
class Form:
    """A form of a command that can be said now, cut down to what its lexicons hold."""

    phrase: Phrase
    node: Node
    opening: Opening
    """How its texts can begin."""


@by_tongue
def _needs() -> tuple[frozenset[str], ...]:
    """The lexicons of each phrase."""
    return tuple(frozenset(lexicons_in(phrase.node)) for phrase in tongue().phrases)


@by_tongue
def lexicons_named() -> frozenset[str]:
    """Every lexicon that the phrases name."""
    return frozenset().union(*_needs())


@lru_cache(maxsize=1600)
def _form(tag: str, number: int, empty: frozenset[str]) -> Form | None:
    """The form of a phrase where these of its lexicons are empty, if it can be said at all."""
    language = language_of(tag)
    phrase = language.phrases[number]
    node = pruned(phrase.node, empty)
    return None if node is None else Form(phrase, node, opening_of(node, language.reading))


class Book:
    """Forms with the lexicons that fill them."""

    def __init__(
        self,
        gates: frozenset[Gate],
        lexicons: Mapping[str, Lexicon],
        weights: Mapping[str, float],
        needing: str | None = None,
    ) -> None:
        """`needing` leaves only the forms that name this lexicon."""
        self.lexicons = lexicons
        self.weights = weights
        language, needs = tongue(), _needs()
        self.language = language.tag
        empty = frozenset(name for name in lexicons_named() if not lexicons.get(name))
        open_now = (i for i, phrase in enumerate(language.phrases) if phrase.gate in gates)
        named = (i for i in open_now if needing is None or needing in needs[i])
        cut = (_form(language.tag, i, empty & needs[i]) for i in named)
        self.forms = tuple(form for form in cut if form is not None)

    def readings(self, heard: Heard) -> Iterator[Command]:
        """The command of every way to read these words, in the table's order; where there is none, without
        what is said around commands.
        """
        is_found = False
        for command in self._read(heard, self.rules):
            is_found = True
            yield command
        if is_found:
            return
        padding = tongue().padding
        for start, end, is_order in padding.within(heard.bare):
            within = Heard.of(heard.between(start, end), heard.way)
            yield from self._read(within, padding.orders if is_order else self.rules.keys() - padding.bare)

    def _read(self, heard: Heard, rules: Container[str]) -> Iterator[Command]:
        """The same without looking for padding, by forms of these rules."""
        first = heard.bare[0] if heard.bare else ""
        begins = cache(lambda name: self.lexicons[name].begins_with(first, heard.way))
        for form in self.forms:
            if form.phrase.rule in rules and form.opening.takes(first, begins):
                for slots in matches(form.node, self.lexicons, heard):
                    yield form.phrase.make(slots)

    @cached_property
    def rules(self) -> Mapping[str, tuple[Form, ...]]:
        """The forms by rule."""
        found: dict[str, list[Form]] = {}
        for form in self.forms:
            found.setdefault(form.phrase.rule, []).append(form)
        return {rule: tuple(forms) for rule, forms in found.items()}

    def rule_weight(self, rule: str) -> float:
        """How likely a rule is beside the others."""
        return self.weights.get(rule, 1.0)

    def likeliest(self, limit: int) -> tuple[str, ...]:
        """The likeliest texts, no two of them alike but for articles; each rule gets its share."""
        found = (pair for rule in self.rules for pair in self._of_rule(rule))
        return tuple(text for _, text in _unlike(sorted(found, key=lambda pair: -pair[0]))[:limit])

    def _of_rule(self, rule: str) -> list[tuple[float, str]]:
        """A rule's likeliest texts, as many as its weight allows, each worth a little less than the last."""
        forms = self.rules[rule]
        limit = round(min(max(4.0 * self.rule_weight(rule), _FEWEST), _MOST))
        most = max(form.phrase.weight for form in forms)
        found = [
            (likelihood * form.phrase.weight / most, text)
            for form in forms
            for likelihood, text in likeliest(form.node, self.lexicons, limit)
        ]
        ranked = _unlike(sorted(found, key=lambda pair: -pair[0]))[:limit]
        return [(self.rule_weight(rule) * p * _CROWDING**i, text) for i, (p, text) in enumerate(ranked)]

    def sampled(self, choose: Callable[[int], int]) -> str:
        """One text; `choose(n)` picks each turning, from 0 to n - 1."""
        return sampled(self.forms[choose(len(self.forms))].node, self.lexicons, choose)

    def jsgf_rules(self) -> dict[str, str]:
        """The rules of this book as JSGF bodies: `said`, one a rule of the table, one a lexicon in use."""
        names = {rule: rule.replace(" ", "_") + "_said" for rule in self.rules}
        rules = {"said": weighted((self.rule_weight(rule), f"<{name}>") for rule, name in names.items())}
        for rule, name in names.items():
            rules[name] = weighted((form.phrase.weight, node_text(form.node)) for form in self.rules[rule])
        used = {lexicon for form in self.forms for lexicon in lexicons_in(form.node)}
        return rules | {lexicon: lexicon_text(self.lexicons[lexicon]) for lexicon in sorted(used)}

    def network(self, address: str, needs_address: bool, *, is_usual: bool = False) -> Network:
        """The book as a network of words, after the address phrase or without it; only what is usual, or all
        of it.
        """
        words, key = address.split(), (address, is_usual)
        body = self._bodies.get(key)
        if body is None:
            body = self._bodies[key] = moved(self._network((), is_usual), len(words))
        if words and not needs_address and words[0] in begin_words(body, len(words)):
            return self._network((Maybe(Row(tuple(map(Word, words)))),), is_usual)
        return called(body, words, is_needed=needs_address)

    @cached_property
    def _bodies(self) -> dict[tuple[str, bool], Network]:
        """The networks of what follows an address phrase, by it: with and without it most is the same."""
        return {}

    def _network(self, before: tuple[Node, ...], is_usual: bool) -> Network:
        """The network of all forms with something before each."""
        forms = self.forms if not is_usual else tuple(form for form in self.forms if form.phrase.is_usual)
        totals: dict[str, float] = {}
        for phrase in (form.phrase for form in forms):
            totals[phrase.rule] = totals.get(phrase.rule, 0.0) + phrase.weight
        shared = (
            (
                self.rule_weight(form.phrase.rule) * form.phrase.weight / totals[form.phrase.rule],
                usual(form.node) if is_usual else form.node,
            )
            for form in forms
        )
        lexicons = self.lexicons
        if is_usual:
            lexicons = {key: lexicon.usual for key, lexicon in lexicons.items()}
        return network_of(((weight, Row((*before, node))) for weight, node in shared), lexicons)

    def words(self) -> frozenset[str]:
        """Every word that can be said."""
        own = {word for form in self.forms for word in words_in(form.node)}
        used = {lexicon for form in self.forms for lexicon in lexicons_in(form.node)}
        return frozenset(own.union(*(self.lexicons[lexicon].words() for lexicon in used)))


def _unlike(ranked: list[tuple[float, str]]) -> list[tuple[float, str]]:
    """The list without texts that differ from an earlier one in articles only."""
    kept: dict[tuple[str, ...], tuple[float, str]] = {}
    for likelihood, text in ranked:
        kept.setdefault(Heard.of(text).bare, (likelihood, text))
    return list(kept.values())
