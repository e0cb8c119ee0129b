"""What a language has to bring: the parts of a folder, by name and shape.

Everything that is said, shown or heard in one language and not in another goes through one of these. The
parts are modules and tables; a module fulfils the Protocol of its name. No decision about a dinner here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from re import Pattern
from typing import Protocol

from kitchend.core.clock import TimeOfDay, WallTime
from kitchend.core.forms import Phrase
from kitchend.core.grammar import Entry, Lexicon
from kitchend.core.padding import Padding
from kitchend.core.reading import Reading

Weights = Mapping[str, float]
"""How likely each name is to be said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Imperative:
    """A step's name taken apart: "take the chicken out of the oven" is take, out, chicken.

    `verbs` are one or more ("wash and trim"); `thing` is bare, empty if the name has none.
    """

    verbs: tuple[str, ...]
    particle: str = ""
    thing: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shapes:
    """What a step's name can be turned into: `done` as it is reported, `doing` while hands are on it."""

    done: tuple[str, ...] = ()
    doing: tuple[str, ...] = ()


class Numbers(Protocol):
    """Numbers, durations and clock times in words; every usual wording, likeliest first."""

    def words_of(self, n: int) -> str:
        """The number in words, 0 to 999; ValueError outside that range."""

    def number_texts(self, n: int) -> tuple[str, ...]:
        """Every usual way to say a number."""

    def count_texts(self, n: int) -> tuple[str, ...]:
        """Every usual way to say so many minutes without the unit."""

    def duration_texts(self, seconds: int) -> tuple[str, ...]:
        """Every usual way to say a duration."""

    def clock_texts(self, time: TimeOfDay) -> tuple[str, ...]:
        """Every usual way to say a clock time, hours 1 to 12 as on a dial."""


class Speech(Protocol):
    """Facts as they are spoken inside a sentence."""

    def finished(self, sentence: str) -> str:
        """A filled template as it is said: whatever depends on the words that were filled in is put right."""

    def begun(self, sentences: str) -> str:
        """Sentences as they begin: with a large letter, where the language has them."""

    def capital(self, text: str) -> str:
        """The text as it begins a sentence."""

    def count(self, number: int, unit: str) -> str:
        """So many of a unit (second, minute, hour, day, year, degree)."""

    def tally(self, number: int) -> str:
        """So many things."""

    def hours(self, hours: int, minutes: int) -> str:
        """Hours and perhaps minutes."""

    def span(self, low: str, high: str) -> str:
        """Both ends of a guess."""

    def minutes_span(self, low: int, high: int) -> str:
        """Both ends of a guess in minutes."""

    def half_hours_span(self, low: int, high: int) -> str:
        """Both ends of a guess in half hours."""

    def at_most(self, duration: str) -> str:
        """A duration as the most it can be."""

    def time(self, time: TimeOfDay) -> str:
        """A clock time."""

    def on_day(self, wall: WallTime, days: int) -> str:
        """The clock time with the day, so many days ahead."""

    def when(self, text: str, kind: str) -> str:
        """When something comes: `kind` is now, in (a duration) or at (a time)."""

    def degrees(self, degrees: int) -> str:
        """Degrees, above or below zero."""

    def listed(self, words: Sequence[str]) -> str:
        """A list in one breath."""

    def choices(self, words: Sequence[str]) -> str:
        """Names to choose from."""

    def be(self, thing: str) -> str:
        """The verb that agrees with a thing, where the language has one."""


class Naming(Protocol):
    """How the names of steps are built in this language. `WORD` is a word or number of a lower-case text."""

    @property
    def LETTERS(self) -> Mapping[int, str | int | None]:
        """Letters and signs as they are written before that, for `str.translate`; see `writing`."""

    @property
    def WORD(self) -> Pattern[str]:
        """One word or number."""

    def taken_apart(self, name: str) -> Imperative:
        """The parts of a spoken step name."""

    def shapes(self, parts: Imperative) -> Shapes:
        """What these parts are turned into when they are reported."""

    def ends(self, name: str) -> Iterable[str]:
        """What may be said for a longer name: its end, where it has one of its own."""

    def written_number(self, token: str) -> str:
        """A number in digits inside a name, as it is said."""


class Typed(Protocol):
    """What is typed, as it would be said."""

    @property
    def IDLE(self) -> frozenset[str]:
        """What people say while they think."""

    def in_full(self, text: str) -> str:
        """Words run together in speech, each by itself: "salmon's in" is "salmon is in"."""

    def words_of_line(self, line: str) -> str:
        """A line in lower case with units, signs and times as words; other digits may stay."""


class Things(Protocol):
    """What fills the slots of the phrasebook beside numbers."""

    @property
    def COMMON_THINGS(self) -> Sequence[str]:
        """What cooks put a timer on that no plan names."""

    @property
    def TIMER(self) -> str:
        """What a timer is called that is the only one, whatever its name."""

    @property
    def ORDINALS(self) -> Sequence[str]:
        """First, second, …, to choose by."""

    @property
    def LAST(self) -> str:
        """The last of those to choose from."""

    @property
    def MORE(self) -> Lexicon:
        """More time in words without a number."""

    @property
    def WAYS(self) -> Lexicon:
        """Later and earlier."""

    @property
    def SHIFTS(self) -> Lexicon:
        """Which way the pass is moved."""

    @property
    def FRACTIONS(self) -> Lexicon:
        """Parts of a degree."""

    @property
    def CELSIUS(self) -> Sequence[str]:
        """What degrees Celsius are called."""

    @property
    def FAHRENHEIT(self) -> Sequence[str]:
        """What degrees Fahrenheit are called."""

    def further(self, durations: Sequence[Entry]) -> Lexicon:
        """Durations as they stand where time is added."""

    def spans(self, minutes: Iterable[int], hours: Iterable[int], weights: Mapping[int, float]) -> Lexicon:
        """Durations as they stand before a word."""

    def verbed(self, group: str, weights: Weights, is_full: bool) -> dict[str, Lexicon]:
        """The names as they are and in every shape that a sentence asks for."""

    def named(self, group: str, weights: Weights, is_full: bool) -> dict[str, Lexicon]:
        """The names as they are and in the few shapes of what is held or dropped."""

    def both_ways(self, name: str) -> tuple[str, ...]:
        """A name as written, and as it is said more shortly."""

    def reported(self, thing: str, done: str, is_full: bool) -> tuple[str, ...]:
        """A thing that has been done, likeliest first."""

    def wholly(self, thing: str, done: str) -> tuple[str, ...]:
        """A thing that has been done, in words that are seldom chosen."""

    def going_on(self, thing: str, doing: str, is_full: bool) -> tuple[str, ...]:
        """A thing that something is going on with by itself, likeliest first."""

    def past(self, thing: str, done: str) -> str:
        """The same as it is said of oneself."""

    def being_done(self, thing: str, doing: str) -> str:
        """A thing that is being done."""

    def chores(self, things: Sequence[str], actions: Iterable[str]) -> Iterable[str]:
        """What cooks want to be reminded of."""

    def short_answer(self, parts: Imperative) -> str:
        """The shortest way to name a step among the choices; empty if there is none."""

    def with_unit(self, degrees: str) -> str:
        """A number of degrees with its unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Language:
    """One language, whole. `tag` is its BCP 47 tag, `address` the address phrase if none is set.

    `cook` is how the made-up cook of a rehearsal speaks, `foods` are words of plans (`core/food_words`),
    `espeak` is the voice, `whisper` the token of the second ear's language, `reading` which words are left
    out (the articles, where it has any).
    """

    tag: str
    name: str
    address: str
    espeak: str
    whisper: str
    sentences: Mapping[str, str]
    board: Mapping[str, str]
    door_words: tuple[str, ...]
    phrases: tuple[Phrase, ...]
    cook: Mapping[str, tuple[str, ...]]
    foods: Mapping[str, str]
    numbers: Numbers
    speech: Speech
    naming: Naming
    typed: Typed
    things: Things
    padding: Padding = field(default_factory=Padding)
    reading: Reading = field(default_factory=Reading)
