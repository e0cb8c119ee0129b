"""What can be said right now: the phrasebook filled with the names and numbers of a dinner.

`full_book` holds everything that can be said about a plan at any time; `sayable` only what makes sense in this
state, with weights for what is likely. Both fill the same table, and every plausible lexicon is part of the
full one, so whatever can be heard can be read. Nothing is decided about what a command does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

from kitchend.core.clock import Instant
from kitchend.core.commands import Command
from kitchend.core.grammar import ARTICLES, Lexicon, Node, likeliest, matches, pruned, sampled, words_in
from kitchend.core.grammar import lexicons_in as names_in
from kitchend.core.jsgf import grammar_text, lexicon_text, node_text, weighted
from kitchend.core.names import spoken
from kitchend.core.phrasebook import PHRASES, Gate, Phrase
from kitchend.core.state import DinnerState
from kitchend.core.window import View, full_lexicons, gates_of, likely_lexicons, rule_weights, view_of

CANDIDATES = 150
"""How many commands a second listener is asked to compare; a quarter of a second's work for 35 of them."""

PLAIN_AND_ADDRESSED = 20
"""How many candidates are offered with the address phrase as well when it is not needed."""

_PER_RULE, _FORMS = 16, 12


@dataclass(frozen=True)
class Form:
    """A form of a command that can be said now, cut down to what its lexicons hold."""

    phrase: Phrase
    node: Node


class Book:
    """Forms with the lexicons that fill them."""

    def __init__(self, gates: frozenset[Gate], lexicons: Mapping[str, Lexicon], weights: Mapping[str, float]) -> None:
        self.lexicons = lexicons
        self.weights = weights
        open_phrases = (phrase for phrase in PHRASES if phrase.gate in gates)
        cut = ((phrase, pruned(phrase.node, lexicons)) for phrase in open_phrases)
        self.forms = tuple(Form(phrase, node) for phrase, node in cut if node is not None)

    def readings(self, tokens: Sequence[str]) -> Iterator[Command]:
        """The command of every way to read these tokens (without articles), the table's order first."""
        for form in self.forms:
            for slots in matches(form.node, self.lexicons, tokens):
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
        """The likeliest texts, no two of them alike but for articles; each rule gets a fair number."""
        ranked = sorted((pair for rule in self.rules for pair in self._of_rule(rule)), key=lambda pair: -pair[0])
        return tuple(text for _, text in _unlike(ranked)[:limit])

    def _of_rule(self, rule: str) -> list[tuple[float, str]]:
        forms = self.rules[rule]
        total = sum(form.phrase.weight for form in forms)
        share = self.rule_weight(rule) / total
        found = [
            (p * form.phrase.weight * share, text)
            for form in forms
            for p, text in likeliest(form.node, self.lexicons, _FORMS)
        ]
        return _unlike(sorted(found, key=lambda pair: -pair[0]))[:_PER_RULE]

    def sampled(self, choose: Callable[[int], int]) -> str:
        """One text; `choose(n)` picks each turning, from 0 to n - 1."""
        return sampled(self.forms[choose(len(self.forms))].node, self.lexicons, choose)

    def jsgf_rules(self) -> dict[str, str]:
        """The rules of this book as JSGF bodies: `said`, one a rule of the table, one a lexicon in use."""
        names = {rule: rule.replace(" ", "_") + "_said" for rule in self.rules}
        rules = {"said": weighted((self.rule_weight(rule), f"<{name}>") for rule, name in names.items())}
        for rule, name in names.items():
            rules[name] = weighted((form.phrase.weight, node_text(form.node)) for form in self.rules[rule])
        used = {lexicon for form in self.forms for lexicon in names_in(form.node)}
        return rules | {lexicon: lexicon_text(self.lexicons[lexicon]) for lexicon in sorted(used)}

    def words(self) -> frozenset[str]:
        """Every word that can be said."""
        own = {word for form in self.forms for word in words_in(form.node)}
        used = {lexicon for form in self.forms for lexicon in names_in(form.node)}
        return frozenset(own.union(*(self.lexicons[lexicon].words() for lexicon in used)))


def _unlike(ranked: list[tuple[float, str]]) -> list[tuple[float, str]]:
    kept: dict[tuple[str, ...], tuple[float, str]] = {}
    for p, text in ranked:
        kept.setdefault(tokens_of(text), (p, text))
    return list(kept.values())


def tokens_of(text: str) -> tuple[str, ...]:
    """The words of a spoken text without its articles."""
    return tuple(word for word in text.split() if word not in ARTICLES)


@dataclass(frozen=True)
class Sayable:
    """What can be said now, in the shapes listeners need. `needs_address`: nothing is taken without `address`."""

    book: Book
    address: str
    needs_address: bool

    def jsgf(self) -> str:
        """A complete JSGF grammar; its public rule is <command>."""
        return self._jsgf

    def candidates(self) -> tuple[str, ...]:
        """Likely commands with likely numbers, the likeliest first."""
        return self._candidates

    def words(self) -> frozenset[str]:
        """Every word of the grammar, those of the address phrase included."""
        return self._words

    def phrases(self) -> tuple[str, ...]:
        """For listeners that take a list of phrases: the candidates, then every word alone."""
        return tuple(dict.fromkeys((self.address, *self._candidates, *sorted(self._words))))

    def accepts(self, text: str) -> bool:
        """Whether the grammar holds this text, articles ignored."""
        tokens, address = tokens_of(text), tokens_of(self.address)
        is_addressed = tokens[: len(address)] == address
        if self.needs_address and not is_addressed:
            return False
        rest = tokens[len(address) :] if is_addressed else tokens
        return bool(rest) and next(self.book.readings(rest), None) is not None

    @cached_property
    def _words(self) -> frozenset[str]:
        return self.book.words() | frozenset(self.address.split())

    @cached_property
    def _candidates(self) -> tuple[str, ...]:
        plain = self.book.likeliest(CANDIDATES)
        addressed = tuple(f"{self.address} {text}" for text in plain)
        return addressed if self.needs_address else plain + addressed[:PLAIN_AND_ADDRESSED]

    @cached_property
    def _jsgf(self) -> str:
        start = self.address if self.needs_address else f"[{self.address}]"
        rules = {"command": f"{start} <said>" if self.address else "<said>"} | self.book.jsgf_rules()
        return grammar_text("dinner", "command", rules)


def sayable(state: DinnerState, at: Instant) -> Sayable:
    """What can be said in this state at this instant. Cheap when nothing that matters has changed."""
    address = spoken(state.manners.address)
    return _sayable(view_of(state), address, bool(address) and not state.window_is_open(at))


@lru_cache(maxsize=64)
def _sayable(view: View, address: str, needs_address: bool) -> Sayable:
    return Sayable(_likely_book(view), address, needs_address)


@lru_cache(maxsize=32)
def _likely_book(view: View) -> Book:
    return Book(gates_of(view), likely_lexicons(view), rule_weights(view))


@lru_cache(maxsize=8)
def _full_book(view: View) -> Book:
    return Book(frozenset(Gate), full_lexicons(view), {})


def full_book(state: DinnerState) -> Book:
    """Everything that can be said about this dinner at any time, typed wordings included."""
    return _full_book(view_of(state).without_progress())
