"""What hearing needs from others and what it gives: the ports and values of this package.

`Sayable` is what may be said now; the core's grammar fulfils it, and hearing knows nothing else of a
dinner. A `FirstEar` follows sound while it comes in and proposes commands; a `SecondEar` judges a whole
phrase. Either works alone. Sound is always float32 between -1 and 1, 16 kHz, mono. Nothing here waits or
decides.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol, runtime_checkable

import numpy as np
from numpy.typing import NDArray

SAMPLE_RATE = 16_000

LEAST_LOG_SHARE = -10.0
"""What a command is held for that nothing is known of: one of 20 000."""

Samples = NDArray[np.float32]
"""float32[n] at 16 kHz, mono, between -1 and 1."""


class Sayable(Protocol):
    """What may be said now. All words are lower-case and spelled out ("half past seven")."""

    def jsgf(self) -> str:
        """A complete JSGF grammar with one public rule."""

    def candidates(self) -> tuple[str, ...]:
        """The likely commands in the dinner's present state, a few dozen to some 150."""

    def words(self) -> frozenset[str]:
        """Every word of the grammar."""

    def phrases(self) -> tuple[str, ...]:
        """Words or phrases for engines that take a phrase list."""

    def accepts(self, text: str) -> bool:
        """Whether the grammar holds this text."""


class Arc(Protocol):
    """One word on the way from a state of a network to another; without a word it is free to take."""

    @property
    def source(self) -> int:
        """The state it leaves."""

    @property
    def target(self) -> int:
        """The state it leads to."""

    @property
    def share(self) -> float:
        """How likely it is taken, above 0 and at most 1."""

    @property
    def word(self) -> str | None:
        """The word said on it."""


class Network(Protocol):
    """A grammar as a network of words from state 0 to `final`."""

    @property
    def final(self) -> int:
        """The state in which a text is whole."""

    @property
    def arcs(self) -> Sequence[Arc]:
        """All ways on."""


@runtime_checkable
class Networked(Protocol):
    """A Sayable may offer its grammar as a network too, which engines search 12 times faster."""

    def network(self) -> Network:
        """The same language as `jsgf`."""

    def usual_network(self) -> Network:
        """The same without what is seldom said, for engines that mishear more the more may be said."""


class Grammatical(Networked, Sayable, Protocol):
    """What may be said, with its network."""


@runtime_checkable
class Padded(Protocol):
    """A Sayable may hold commands with words around them that its network does not have: "okay", "please"."""

    def unpadded(self, text: str) -> tuple[str, Callable[[str], str]] | None:
        """A text without the words that may stand around a command; what puts them around another."""

    def padded_network(self) -> Network:
        """The network with such words, and with more than is held: not all go with every command."""


@runtime_checkable
class OpenWorded(Protocol):
    """A Sayable may take commands with words in them that no grammar holds: what a reminder is for."""

    def takes_openly(self, text: str) -> bool:
        """Whether the text is such a command."""


@runtime_checkable
class Meaningful(Protocol):
    """A Sayable may say which of its texts mean the same: "simmer the bulgur", "simmering the bulgur"."""

    def meaning(self, text: str) -> object:
        """What a text stands for, equal for two ways to say it; None where the grammar does not hold it."""


@runtime_checkable
class Addressed(Protocol):
    """A Sayable may say whether everything must begin with the address phrase now."""

    @property
    def address(self) -> str:
        """The phrase, in words; "" where the cook has none."""

    @property
    def needs_address(self) -> bool:
        """True outside the answer window."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scored:
    """One reading of a phrase with its mean log probability a token; higher is better.

    Where everything begins with the address phrase, its tokens are left out: they tell no two readings apart.
    `tokens` is how many there are, `blind` the same mean where there is nothing to hear (None: not asked),
    `log_share` how likely the grammar holds it, `apart` how far it is spelled from what was heard freely.
    `phones` is how far its phones are from the likeliest in the sound, a log likelihood for each (None: not
    asked). `meaning` is equal for readings that mean the same (None: not known).
    """

    text: str
    score: float
    tokens: int = 1
    blind: float | None = None
    log_share: float = LEAST_LOG_SHARE
    apart: float = 0.0
    phones: float | None = None
    meaning: object = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """The second ear's view of one phrase: readings best first, and what it hears without a grammar.

    Where everything begins with the address phrase, `address` is the mean log probability of its tokens, else
    None, and `free` what is heard once the phrase is taken to begin so. Where the address is too low for
    that, nothing is ranked and `free` is what is heard without it. `is_by_phones` where these are the phone
    ear's numbers, for which the rule has weights of their own.
    """

    ranked: tuple[Scored, ...]
    free: Scored
    address: float | None = None
    is_by_phones: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """The first ear's view of one phrase: its readings, best first; empty when it made nothing of it.

    `surely` is the best one without the words the engine itself is not sure of; None where it does not tell.
    """

    readings: tuple[str, ...]
    surely: str | None = None

    @property
    def best(self) -> str:
        """The likeliest reading, "" when there is none."""
        return self.readings[0] if self.readings else ""

    @property
    def alone(self) -> str:
        """What is left of it where no other ear may confirm it."""
        return self.best if self.surely is None else self.surely


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What came of one phrase of speech; `text` is "" when nothing was made of it.

    `doubts` are other commands that fit nearly as well. `margin` is the best command's score minus that of
    the free text, None where nothing was heard without a grammar. Times are seconds: `started_s` and
    `ended_s` of the sound stream, `took_s` of work after the phrase ended.
    """

    text: str
    accepted: bool
    reason: str
    doubts: tuple[str, ...] = ()
    free_text: str | None = None
    margin: float | None = None
    started_s: float
    ended_s: float
    audio_s: float
    took_s: float


class FirstEar(Protocol):
    """A streaming grammar engine."""

    def listen_for(self, sayable: Sayable) -> None:
        """Replace the grammar; never called inside a phrase."""

    def feed(self, samples: Samples) -> str:
        """Take the next piece of a phrase (the first opens it); returns what is heard so far."""

    def finish(self) -> Proposal:
        """End the phrase; without one it is an empty proposal."""


class NoLongerWantedError(Exception):
    """Nobody waits for this judgement any more."""


IsWanted = Callable[[], bool]


def always() -> bool:
    """Somebody waits until the end."""
    return True


class SecondEar(Protocol):
    """An engine that judges a whole phrase."""

    def judge(
        self, phrase: Samples, sayable: Sayable, proposed: tuple[str, ...], is_wanted: IsWanted = always
    ) -> Judgement:
        """Rank the sayable's commands and those proposed by how well they fit the sound.

        Asked now and then, and raises NoLongerWantedError once it is not wanted.
        """


@runtime_checkable
class Prepared(Protocol):
    """A SecondEar may make ready, before anybody speaks, what takes it a while for each grammar."""

    def prepare(self, sayable: Sayable) -> None:
        """Make it ready, on the thread that judges."""


class Denoiser(Protocol):
    """Takes the kitchen's noise out of a stream of sound, for the first ear."""

    def clean(self, samples: Samples) -> Samples:
        """What is ready of the cleaned stream after these samples; lags a little, so it may be shorter."""

    def rest(self) -> Samples:
        """The end of the stream; the next samples begin a new one."""


class Source(Protocol):
    """Where sound comes from: the microphone, a file or an array."""

    @property
    def received(self) -> int:
        """How many samples at 16 kHz it has got by now, those that nobody has taken yet among them."""

    def blocks(self) -> Iterator[Samples]:
        """Pieces of sound in order until the source ends or is closed; raises DeviceError."""

    def close(self) -> None:
        """Stop; a waiting `blocks` ends. May be called twice and from another thread."""
