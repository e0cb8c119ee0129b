"""What can be said right now: the phrasebook filled with the names and numbers of a dinner.

`full_book` holds all that can be said about a plan at any time; `sayable` only what makes sense now, with
weights for what is likely. Both fill the same table, and every plausible lexicon is part of the full one, so
whatever can be heard can be read. Nothing is decided about what a command does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache

from kitchend.core.book import Book
from kitchend.core.clock import Instant
from kitchend.core.commands import Command
from kitchend.core.forms import Gate
from kitchend.core.grammar import ANY, AnyWords, Heard, Lexicon
from kitchend.core.jsgf import grammar_text
from kitchend.core.names import spoken
from kitchend.core.network import Network, after, with_words_around
from kitchend.core.padding import Around
from kitchend.core.state import DinnerState
from kitchend.core.tongue import of_state, tongue
from kitchend.core.window import View, full_lexicons, gates_of, likely_lexicons, rule_weights, view_of

CANDIDATES = 120
"""How many commands a second listener is asked to compare; a quarter of a second's work for 35 of them."""

KEPT = 2
"""How many books and grammars are remembered: with and without the address phrase. One in use takes 2 MB."""

PLAIN_AND_ADDRESSED = 20
"""How many candidates are offered with the address phrase as well when it is not needed."""

_REMEMBERED = 1000
"""How many texts a grammar has read are remembered, 0.2 MB."""

PADDED_SHARE = 0.05
"""How often a command has words before it or after it that mean nothing. A guess."""


def without_address(heard: Heard, address: str) -> tuple[Heard, bool]:
    """What follows the address phrase, and whether it was there."""
    start = Heard.of(address).bare
    is_addressed = bool(start) and heard.bare[: len(start)] == start
    return (heard.after(len(start)) if is_addressed else heard), is_addressed


@dataclass(frozen=True)
class Sayable:
    """What can be said now, in the shapes listeners need. With `needs_address` only after `address`."""

    book: Book
    address: str
    needs_address: bool
    open_book: Book | None = None
    """Forms with words of any kind in them, which no grammar for a listener can hold."""

    def jsgf(self) -> str:
        """A complete JSGF grammar; its public rule is <command>."""
        return self._jsgf

    def network(self) -> Network:
        """The same grammar as the smallest network of words, for engines that pay for each copy of a rule."""
        return self._network

    def usual_network(self) -> Network:
        """The network of what is usual: fewer forms, and no words around them."""
        return self._usual_network

    def padded_network(self) -> Network:
        """The network of all that can be said, with words around it that mean nothing. Not all of what comes
        of it is held: some of these words do not go with some commands.
        """
        return self._padded_network

    def candidates(self) -> tuple[str, ...]:
        """Likely commands with likely numbers, the likeliest first."""
        return self._candidates

    def words(self) -> frozenset[str]:
        """Every word of the grammar, those of the address phrase included."""
        return self._words

    def phrases(self) -> tuple[str, ...]:
        """For listeners that take a list of phrases: the candidates, then every word alone."""
        return tuple(dict.fromkeys((self.address, *self._candidates, *sorted(self._words))))

    @property
    def language(self) -> str:
        """The language it is said in; what reads it may be a thread that speaks none yet."""
        return self.book.language

    @of_state
    def accepts(self, text: str) -> bool:
        """Whether the grammar holds this text, articles ignored."""
        found, is_addressed = self._read(text)
        return found is not None and (is_addressed or not self.needs_address)

    def _read(self, text: str) -> tuple[Command | None, bool]:
        """What the grammar makes of a text, and whether it begins with the address phrase; listeners ask of
        a phrase's readings again and again.
        """
        read = self._texts_read.get(text)
        if read is None:
            heard, is_addressed = without_address(Heard.of(text), self.address)
            read = next(self.book.readings(heard), None) if heard.bare else None, is_addressed
            if len(self._texts_read) >= _REMEMBERED:
                self._texts_read.clear()
            self._texts_read[text] = read
        return read

    @of_state
    def unpadded(self, text: str) -> tuple[str, Callable[[str], str]] | None:
        """Where words around a command may be padding: the text without all of them, and what puts them back
        around another. What comes of putting them back is not always held.
        """
        heard, is_addressed = without_address(Heard.of(text), self.address)
        start = f"{self.address} " if is_addressed else ""
        ways = [(first, end) for first, end, _ in tongue().padding.within(heard.bare)]
        if not ways:
            return None
        first, end = ways[-1]
        lead = f"{heard.between(0, first)} " if first else ""
        tail = f" {heard.between(end, len(heard.bare))}" if end < len(heard.bare) else ""
        return start + heard.between(first, end), Around(start, lead, tail)

    @of_state
    def meaning(self, text: str) -> object:
        """The command a text stands for: equal for two ways to say the same; None where it holds none."""
        found, _ = self._read(text)
        if found is not None or self.open_book is None:
            return found
        heard, _ = without_address(Heard.of(text), self.address)
        return next(self.open_book.readings(heard), None)

    @of_state
    def takes_openly(self, text: str) -> bool:
        """Whether it is a command with words of any kind in it: "time the sausages for ten minutes"."""
        heard, is_addressed = without_address(Heard.of(text), self.address)
        if self.open_book is None or not heard.bare or (self.needs_address and not is_addressed):
            return False
        return next(self.open_book.readings(heard), None) is not None

    @cached_property
    def _texts_read(self) -> dict[str, tuple[Command | None, bool]]:
        return {}

    @cached_property
    def _words(self) -> frozenset[str]:
        return self.book.words() | frozenset(self.address.split())

    @cached_property
    @of_state
    def _candidates(self) -> tuple[str, ...]:
        plain = self.book.likeliest(CANDIDATES)
        addressed = tuple(f"{self.address} {text}" for text in plain)
        return addressed if self.needs_address else plain + addressed[:PLAIN_AND_ADDRESSED]

    @cached_property
    @of_state
    def _network(self) -> Network:
        return self.book.network(self.address, self.needs_address)

    @cached_property
    @of_state
    def _padded_network(self) -> Network:
        network, around = self.network(), tongue().padding
        if not around.leads and not around.tails:
            return network
        begins = after(network, self.address.split())
        if not self.needs_address:
            begins = {0, *begins}
        before = (around.leads, around.asking)
        return with_words_around(network, sorted(begins), before, around.tails, PADDED_SHARE)

    @cached_property
    @of_state
    def _usual_network(self) -> Network:
        return self.book.network(self.address, self.needs_address, is_usual=True)

    @cached_property
    def _jsgf(self) -> str:
        start = self.address if self.needs_address else f"[{self.address}]"
        rules = {"command": f"{start} <said>" if self.address else "<said>"} | self.book.jsgf_rules()
        return grammar_text("dinner", "command", rules)


@of_state
def sayable(state: DinnerState, at: Instant) -> Sayable:
    """What can be said in this state at this instant. Cheap when nothing that matters has changed."""
    address = spoken(state.manners.address)
    return _sayable(view_of(state), address, bool(address) and not state.window_is_open(at))


@lru_cache(maxsize=KEPT)
def _sayable(view: View, address: str, needs_address: bool) -> Sayable:
    return Sayable(_likely_book(view), address, needs_address, _open_book(view))


@lru_cache(maxsize=KEPT)
def _likely_book(view: View) -> Book:
    return Book(gates_of(view), likely_lexicons(view), rule_weights(view))


@lru_cache(maxsize=KEPT)
def _open_book(view: View) -> Book:
    return open_book(gates_of(view), likely_lexicons(view), rule_weights(view))


def open_book(gates: frozenset[Gate], lexicons: Mapping[str, Lexicon], weights: Mapping[str, float]) -> Book:
    """The forms that have a place for words of any kind."""
    return Book(gates, {**lexicons, ANY: AnyWords()}, weights, needing=ANY)


@lru_cache(maxsize=KEPT)
def _full_book(view: View) -> Book:
    return Book(frozenset(Gate), full_lexicons(view), {})


@of_state
def full_book(state: DinnerState) -> Book:
    """Everything that can be said about this dinner at any time, typed wordings included."""
    return _full_book(view_of(state).without_progress())
