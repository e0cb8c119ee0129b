"""Everything that may happen to a dinner. Past tense; plain data, so that a journal can keep and replay it.

An event carries no decision. The moment it happened is not in the event but in the `Now` given with it, but
for a phrase, whose first sound lies a little back.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from kitchend.core.clock import Instant, WallTime
from kitchend.core.forecasts import Forecast
from kitchend.core.plan import Plan
from kitchend.core.state import Manners
from kitchend.core.timeline import Timeline


@dataclass(frozen=True, slots=True, kw_only=True)
class MannersSet:
    """How to behave towards the cook from now on; told at every start, so that a replay judges alike."""

    manners: Manners


@dataclass(frozen=True, slots=True, kw_only=True)
class PlansKnown:
    """The names of the plans that may be started by voice."""

    names: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DinnerStarted:
    """A plan was opened and planned. `serve` is the pass, `timeline` the first; `source` names the file."""

    plan: Plan
    serve: WallTime
    timeline: Timeline
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DinnerRefused:
    """A plan asked for by voice could not be opened; `message` is one sentence."""

    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PhraseHeard:
    """The listener (or a keyboard) understood a phrase. `started` is when its sound began.

    `doubts` are other texts that sounded nearly the same. `is_typed` marks words that need no address phrase.
    """

    text: str
    started: Instant
    doubts: tuple[str, ...] = ()
    is_typed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PhraseRefused:
    """The listener heard a phrase that did not count. It changes nothing; it is kept to be looked at.

    `text` is the command nearest to it, "" for none; `started` is when its sound began.
    """

    text: str
    reason: str
    started: Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeReached:
    """The instant of the last `WakeAt` has come (or later, or for no reason at all)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TimelinePlanned:
    """The rest of the dinner was planned again, in answer to the `Replan` with the same revision."""

    timeline: Timeline
    revision: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingTaken:
    """A probe, a sensor or a program gave a temperature of something, in degrees Celsius.

    `of` is a step's or a piece of equipment's id, or a name as it may be spoken.
    """

    of: str
    celsius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastMade:
    """What is expected of a core, in answer to `MakeForecast`."""

    forecast: Forecast


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeechEnded:
    """An utterance has been spoken to its end, was stopped, or (`ok` False) could not be spoken."""

    utterance: int
    ok: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Resumed:
    """kitchend is back after `away_s` seconds of not running (None: nobody knows how long).

    `clock` is how the clock on the wall moved meanwhile, None if it just ran on. Running time went on by
    `counted_s` at the least.
    """

    away_s: float | None = None
    counted_s: float = 0.0
    clock: ClockMoved | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockMoved:
    """The clock on the wall was set, or its zone changed; running time knows nothing of it.

    `by_s` is what it gained (below zero: lost), `zone_s` what the zone's offset grew by.
    """

    by_s: float
    zone_s: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorWordsMade:
    """The words that let one device in to the board; empty: the board is not open to the house."""

    words: str = ""


class Mishap(Enum):
    """What may happen to kitchend itself that the cook has to know. The value names the sentence."""

    NOT_KEPT = "journal.lost"
    KEPT_AGAIN = "journal.back"
    DAMAGED = "journal.damaged"
    CANNOT_SPEAK = "mouth.lost"
    SPEAKS_AGAIN = "mouth.back"
    CANNOT_HEAR = "ears.lost"
    HEARS_AGAIN = "ears.back"
    KEEPS_SOUND = "sound.kept"


@dataclass(frozen=True, slots=True, kw_only=True)
class MishapNoticed:
    """A part of kitchend failed, or works again."""

    mishap: Mishap


Event = (
    MannersSet
    | PlansKnown
    | DinnerStarted
    | DinnerRefused
    | PhraseHeard
    | PhraseRefused
    | TimeReached
    | TimelinePlanned
    | SpeechEnded
    | Resumed
    | ClockMoved
    | MishapNoticed
    | DoorWordsMade
    | ReadingTaken
    | ForecastMade
)
