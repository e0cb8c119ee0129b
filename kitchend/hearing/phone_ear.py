"""The ear for boards that are too small for Whisper: which phones sound when, held against the grammar.

A small network tells the chances of each phone for every 30 ms of a phrase; an exact search of the grammar
gives the commands that come nearest. These, and those spelled most like what the first ear proposes, are
scored by all ways they may lie in the sound, against the likeliest phones there, and judged by the rule with
weights of their own. English only.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import islice

from kitchend.core.tongue import of_state
from kitchend.hearing import shortlist
from kitchend.hearing.findings import Findings
from kitchend.hearing.phone_net import PhoneNet
from kitchend.hearing.ports import (
    Addressed,
    Grammatical,
    IsWanted,
    Judgement,
    Network,
    Networked,
    NoLongerWantedError,
    Padded,
    Samples,
    Sayable,
    Scored,
    always,
)
from kitchend.hearing.pronouncing import english
from kitchend.hearing.search import Floats, Found, Searchable, nearest_to
from kitchend.hearing.sounding import Sounding, freely, likelihoods

BY_SOUND, LOOKED_AT = 12, 40
"""How many commands the search gives, and how many ways to say them are looked at for that."""
BY_SPELLING, MOST = 10, 12
UNADDRESSED = -3.0
"""A beginning that fits the address phrase worse than this is none, and nothing is looked for after it.

Of 359 addressed commands, clean, at 10 and at 5 dB, all but five are above; of 103 pieces of talk all but two
are below, the nearest at -1.6.
"""
UNLIKELY = 0.7
"""What a command costs for being unlikely, by the natural logarithm of its share; a chance would be 1."""
_GRAMMARS = 2
_LEAST = -1e4
"""The log likelihood of what the sound is too short for."""
_FREELY = Scored(text="", score=0.0)
"""Others are told by how far they are below the likeliest phones; these are no words."""


@dataclass(frozen=True, slots=True)
class HeardPhones:
    """A phrase, the chances of each phone in it, and the same laid out for a search."""

    phrase: Samples
    log_chances: Floats
    sounding: Sounding


@dataclass(frozen=True, slots=True)
class _Nearest:
    """What a search found, in which grammar."""

    heard: HeardPhones
    network: Network
    found: tuple[Found, ...]


@dataclass(frozen=True)
class _Grammar:
    """A grammar ready to be searched by sound and, once that is asked for, by spelling."""

    network: Network
    by_sound: Searchable

    @cached_property
    def by_letters(self) -> Searchable:
        return Searchable(self.network)


class PhoneEar:
    """A SecondEar; a score is the log likelihood over that of the likeliest phones, for each phone."""

    def __init__(self) -> None:
        self._net = PhoneNet()
        self._pronouncing = english()
        self._grammars: dict[int, _Grammar] = {}
        self._last: HeardPhones | None = None
        self._nearest: _Nearest | None = None

    def prepare(self, sayable: Sayable) -> None:
        """Make the grammar ready to be searched: half a second's work for a dinner's."""
        if isinstance(sayable, Networked):
            self._grammar_of(sayable)

    def by_letters(self, sayable: Networked) -> Searchable:
        """The grammar laid out to be searched by spelling, for whoever has phones as well."""
        return self._grammar_of(sayable).by_letters

    def heard(self, phrase: Samples) -> HeardPhones:
        """The phones of a phrase; of the last one they are known."""
        if self._last is None or self._last.phrase is not phrase:
            log_chances = self._net(phrase)
            self._last = HeardPhones(phrase, log_chances, Sounding(log_chances))
        return self._last

    @of_state
    def judge(
        self, phrase: Samples, sayable: Sayable, proposed: tuple[str, ...], is_wanted: IsWanted = always
    ) -> Judgement:
        """Rank commands by fit; a tenth of a second's work on one core."""
        heard = self.heard(phrase)
        address = self._address(sayable, heard)
        if address is not None and address < UNADDRESSED:
            return _judged((), address)
        if isinstance(sayable, Networked):
            found = Findings(self._grammar_of(sayable).by_letters, heard=proposed)
            sounds_like = found.take(self.nearest(heard, sayable), BY_SOUND)
            near = (*sounds_like, *self._spelled(found, proposed, sayable))
        else:
            found = Findings(None, heard=proposed)
            near = (*filter(sayable.accepts, proposed), *sayable.candidates())
        if not is_wanted():
            raise NoLongerWantedError
        found.scored.update(self.scores(heard, near))
        if found.scored:
            doubles = shortlist.doubles(sayable, found.best, found.scored)
            found.scored.update(self.scores(heard, doubles))
        return _judged(found.readings({}), address)

    def nearest(self, heard: HeardPhones, sayable: Grammatical) -> Iterator[Found]:
        """The commands that sound most like it, nearest first, now and then one in two ways to say it."""
        last, network = self._nearest, sayable.network()
        if last is None or last.heard is not heard or last.network is not network:
            ordered = nearest_to(self._grammar_of(sayable).by_sound, heard.sounding)
            last = self._nearest = _Nearest(heard, network, tuple(islice(ordered, LOOKED_AT)))
        return (found for found in last.found if sayable.accepts(found.text))

    def _spelled(self, found: Findings, proposed: tuple[str, ...], sayable: Sayable) -> tuple[str, ...]:
        """What was proposed, and what is spelled like it."""
        near = found.near(proposed, sayable, each=BY_SPELLING, most=MOST)
        return (*filter(sayable.accepts, proposed), *near)

    def scores(self, heard: HeardPhones, texts: Iterable[str]) -> dict[str, tuple[float, int]]:
        """Each command's score and how many phones it has, by its likeliest way to be said."""
        rows = [(text, row) for text in dict.fromkeys(texts) for row in self._pronouncing.rows(text)]
        values = likelihoods(heard.log_chances, [row for _, row in rows])
        likeliest = freely(heard.log_chances)
        found: dict[str, tuple[float, int]] = {}
        for (text, row), value in zip(rows, values, strict=True):
            count = max(1, len(row))
            score = max(float(value) - likeliest, _LEAST) / count
            found[text] = max(found.get(text, (score, count)), (score, count))
        return found

    def _address(self, sayable: Sayable, heard: HeardPhones) -> float | None:
        """How well the address phrase fits the beginning, for each phone; None if it may be left out."""
        if not isinstance(sayable, Addressed) or not sayable.needs_address:
            return None
        rows = self._pronouncing.rows(sayable.address)
        return max(heard.sounding.beginning(row) / max(1, len(row)) for row in rows)

    def _grammar_of(self, sayable: Networked) -> _Grammar:
        """Made once for each of the last few grammars; by sound with words around commands."""
        network = sayable.network()
        if id(network) not in self._grammars:
            if len(self._grammars) >= _GRAMMARS:
                del self._grammars[next(iter(self._grammars))]
            around = sayable.padded_network() if isinstance(sayable, Padded) else network
            self._pronouncing.learn(arc.word for arc in around.arcs if arc.word)
            by_sound = Searchable(around, self._pronouncing.ways, UNLIKELY)
            self._grammars[id(network)] = _Grammar(network, by_sound)
        return self._grammars[id(network)]


def _judged(ranked: tuple[Scored, ...], address: float | None) -> Judgement:
    return Judgement(ranked=ranked, free=_FREELY, address=address, is_by_phones=True)
