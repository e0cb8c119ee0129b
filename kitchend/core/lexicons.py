"""What may fill the slots of the phrasebook: numbers in range and names, in the language spoken now.

Two ranges of everything: plausible, for listeners (a pass on five minutes, a core of 20 to 110 degrees), and
full, for reading any text. The plausible one is always part of the full one.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable

from kitchend.core.clock import TimeOfDay
from kitchend.core.grammar import Entry, Lexicon
from kitchend.core.languages.language import Weights
from kitchend.core.names import Names, spoken
from kitchend.core.numbers import HOUR_S, LARGEST, clock_texts, count_texts, duration_texts, number_texts
from kitchend.core.quantities import Scale
from kitchend.core.tongue import by_tongue, tongue

PLAUSIBLE_MINUTES = (*range(1, 61), 75, 90, 105, 120, 150, 180)
_ODD = 0.1
MINUTE_WEIGHTS = {n: 1.0 if n <= 20 or n % 5 == 0 else _ODD for n in PLAUSIBLE_MINUTES} | {
    5: 4.0, 10: 4.0, 2: 3.0, 15: 3.0, 3: 2.5, 20: 2.5, 1: 2.0, 30: 2.0, 4: 1.5, 8: 1.2, 12: 1.2,
}  # fmt: skip
"""Minutes that cooks say more often than others, and less often; all that are not plausible have weight 1."""

CORE_DEGREES = {Scale.CELSIUS: range(2, 111), Scale.FAHRENHEIT: range(35, 231)}


def _heated(low: int, food: int, high: int) -> tuple[int, ...]:
    """The degrees of an oven's dial; above those of food the others too, but none that sounds like a tens."""
    return tuple(n for n in range(low, high + 1) if n % 5 == 0 or (n > food and n % 100 > 20))


HEATED_DEGREES = {Scale.CELSIUS: _heated(50, 100, 300), Scale.FAHRENHEIT: _heated(120, 230, 550)}
"""Those of the dial are likelier."""

_LESS, _RARE, _SECOND_WORDING, _PARTLY = 0.5, 0.2, 0.3, 0.3


def _falling(texts: Iterable[str], value: Hashable, weight: float) -> list[Entry]:
    """The first wording at full weight, the others less."""
    return [Entry(text, value, weight * (_SECOND_WORDING if i else 1.0)) for i, text in enumerate(texts)]


@by_tongue
def durations(is_full: bool) -> Lexicon:
    """Durations in seconds."""
    seconds = _full_seconds() if is_full else tuple(60 * n for n in PLAUSIBLE_MINUTES)
    entries: list[Entry] = []
    for s in seconds:
        texts = duration_texts(s)
        weight = MINUTE_WEIGHTS.get(s // 60, 1.0)
        # the first ways to say it, and the last: "an hour and a half" and "ninety minutes"
        entries += _falling(texts if is_full else dict.fromkeys((*texts[:2], texts[-1])), s, weight)
    return Lexicon(entries)


@by_tongue
def further(is_full: bool) -> Lexicon:
    """Durations as they stand after "another": "minute", "couple of minutes", "half an hour"."""
    return tongue().things.further(durations(is_full).entries)


@by_tongue
def spans(is_full: bool) -> Lexicon:
    """Durations as they stand before a word: "a ten minute timer"."""
    minutes = range(1, 301) if is_full else PLAUSIBLE_MINUTES
    hours = range(1, 25) if is_full else (1, 2)
    return tongue().things.spans(minutes, hours, MINUTE_WEIGHTS)


def _full_seconds() -> tuple[int, ...]:
    plain = {60 * n for n in range(1, 301)} | {HOUR_S * n for n in range(1, 25)}
    halves = {60 * n + 30 for n in range(1, 31)} | set(range(1, 121))
    return tuple(sorted(plain | halves | {HOUR_S * h + 300 * m for h in range(5, 13) for m in range(12)}))


@by_tongue
def counts(is_full: bool) -> Lexicon:
    """Numbers of minutes above one, in seconds, as in "five more minutes": seldom twenty six."""
    plausible = [n for n in PLAUSIBLE_MINUTES[1:] if MINUTE_WEIGHTS[n] > _ODD]
    minutes = range(2, 301) if is_full else plausible
    return Lexicon(
        Entry(text, 60 * n, MINUTE_WEIGHTS.get(n, 1.0))
        for n in minutes
        for text in (count_texts(n) if is_full else count_texts(n)[:1])
    )


@by_tongue
def all_numbers() -> Lexicon:
    """Every number up to 999 in every wording."""
    return Lexicon(Entry(text, n) for n in range(LARGEST + 1) for text in number_texts(n))


@by_tongue
def degrees(scale: Scale, is_core: bool, around: int | None = None) -> Lexicon:
    """Plausible temperatures as said, of a thing inside or of equipment; those near `around` are likelier."""
    found = []
    for n in (CORE_DEGREES if is_core else HEATED_DEGREES)[scale]:
        texts = number_texts(n)
        weight = _nearness(n, around) * (1.0 if is_core or n % 5 == 0 else _ODD)
        found += _falling(dict.fromkeys((*texts[:2], texts[-1])), n, weight)
    return Lexicon(found)


def _nearness(n: int, around: int | None) -> float:
    """From 1 far away to 4 at `around`; readings below what is waited for are likelier than those above."""
    if around is None:
        return 1.0
    return 1.0 + max(0.0, 3.0 - (around - n if n <= around else 3.0 * (n - around)) / 10.0)


def scale_words(own: Scale) -> Lexicon:
    """The scales by name, each as factor and shift into the plan's own."""
    celsius = (1.0, 0.0) if own is Scale.CELSIUS else (1.8, 32.0)
    fahrenheit = (1.0, 0.0) if own is Scale.FAHRENHEIT else (1 / 1.8, -32 / 1.8)
    things = tongue().things
    named = ((things.CELSIUS, celsius), (things.FAHRENHEIT, fahrenheit))
    return Lexicon(Entry(word, change) for words, change in named for word in words)


@by_tongue
def clock(is_full: bool, around: TimeOfDay | None = None) -> Lexicon:
    """Clock times. Plausible are those on five minutes, from two hours before `around` to three after it."""
    if is_full:
        return Lexicon(
            Entry(text, TimeOfDay(hour, minute))
            for hour in range(24)
            for minute in range(60)
            for text in clock_texts(TimeOfDay(hour, minute))
        )
    entries: list[Entry] = []
    for hour in _hours_around(around):
        for minute in range(0, 60, 5):
            entries += _clock_entries(TimeOfDay(hour, minute), _clock_weight(hour, minute, around))
    return Lexicon(entries)


def _clock_weight(hour: int, minute: int, around: TimeOfDay | None) -> float:
    """Half hours before quarters before the rest; the hour of the pass, else the evening's, before others."""
    is_usual = hour == around.hour if around else 18 <= hour <= 20
    return (2.0 if minute % 30 == 0 else 1.5 if minute % 15 == 0 else 1.0) * (1.5 if is_usual else 1.0)


def _hours_around(around: TimeOfDay | None) -> tuple[int, ...]:
    return tuple(range(12, 24)) if around is None else tuple((around.hour + h) % 24 for h in range(-2, 4))


def _clock_entries(time: TimeOfDay, weight: float) -> list[Entry]:
    """As on the dial; the 24-hour wording too, seldom and on the quarter only."""
    dial = TimeOfDay((time.hour - 1) % 12 + 1, time.minute)
    texts = clock_texts(dial)
    kept = [Entry(text, dial, weight) for text in texts[:2]]
    if time.minute in (15, 30, 45):
        kept.append(Entry(texts[-1], dial, weight * _SECOND_WORDING))
    if time.hour > 12 and time.minute in (15, 30, 45):
        kept += [Entry(text, time, _RARE) for text in clock_texts(time)]
    return kept


def both_ways(name: str, value: Hashable, weight: float) -> list[Entry]:
    """A name as written and, less likely, without its articles."""
    return _falling(tongue().things.both_ways(name), value, weight)


def verbed(group: str, weights: Weights, is_full: bool) -> dict[str, Lexicon]:
    """The names as they are and in each shape that sentences ask for; in more of them when `is_full`."""
    return tongue().things.verbed(group, weights, is_full)


def named(group: str, weights: Weights, is_full: bool) -> dict[str, Lexicon]:
    """The names of what can be held or dropped, in as many shapes as that needs."""
    return tongue().things.named(group, weights, is_full)


def plain(weights: Weights) -> Lexicon:
    """Names as they are."""
    return Lexicon(Entry(name, name, weight) for name, weight in weights.items())


def menu(plans: Iterable[str]) -> Lexicon:
    """The plans that may be started, each by its name as written."""
    return Lexicon(Entry(spoken(name), name) for name in plans if spoken(name))


def numbers(is_full: bool, around: TimeOfDay | None) -> dict[str, Lexicon]:
    """The lexicons of durations and clock times."""
    return {
        "minutes": durations(is_full),
        "another": further(is_full),
        "count": counts(is_full),
        "more": tongue().things.MORE,
        "spans": spans(is_full),
        "way": tongue().things.WAYS,
        "shift": tongue().things.SHIFTS,
        "clock": clock(is_full, around),
    }


def actions(names: Names, weights: Weights, is_full: bool) -> dict[str, Lexicon]:
    """The lexicons of steps named by what is done: as an order, as done, after "I've", as being done by the
    cook, as going on by itself.
    """
    shapes: dict[str, list[Entry]] = {"action": [], "done": [], "past": [], "doing": [], "going": []}
    things = tongue().things
    clocked = {step.id for step in names.steps if not step.is_hands_only}
    for name, weight in weights.items():
        action = names.actions[name]
        shapes["action"] += both_ways(name, name, weight)
        for other in action.others:
            shapes["action"] += both_ways(action.named_by(other), name, weight * _PARTLY)
        said = {action.thing: weight} | dict.fromkeys(action.others, weight * _PARTLY)
        for thing, share in said.items() if action.thing else ():
            for word in action.done:
                for i, text in enumerate(things.reported(thing, word, is_full)):
                    shapes["done"].append(Entry(text, name, share * (_LESS if i else 1.0)))
                shapes["done"] += (Entry(text, name, share * _RARE) for text in things.wholly(thing, word))
                shapes["past"].append(Entry(things.past(thing, word), name, share))
            for word in action.doing:
                shapes["doing"] += both_ways(things.being_done(thing, word), name, share)
                if clocked.intersection(action.steps):
                    going = things.going_on(thing, word, is_full)
                    shapes["going"] += (Entry(text, name, share) for text in going)
    return {key: Lexicon(entries) for key, entries in shapes.items()}
