"""Durations, temperatures, ranges, times of day: how they are written in a plan and how they are shown.

Durations are whole seconds (`_s`), temperatures remember the scale they were written in. Parsing refuses with
a QuantityError that says what was wrong and how to mend it; it never guesses a unit. What is shown can be
parsed again.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum

from kitchend.core.clock import DAY_S, TimeOfDay
from kitchend.core.tongue import clause

LONGEST_TEXT = 60
"""No duration or temperature a person writes is longer, in characters."""

HOTTEST_C = 600.0
COLDEST_C = -60.0
"""No kitchen is hotter or colder; a number outside is a slip of the pen."""

LEAST_CHANCE = 0.5
MOST_CHANCE = 0.99
"""Nobody plans a dinner to fail, and no plan of guesses is sure."""

DASHES = "-\u2010\u2011\u2013\u2014"


class QuantityError(ValueError):
    """Text that is no quantity. `problem` says why, `hint` how to write it."""

    def __init__(self, problem: str, hint: str) -> None:
        self.problem = problem
        self.hint = hint
        super().__init__(f"{problem} ({hint})")


@dataclass(frozen=True, slots=True, kw_only=True)
class DurationRange:
    """A duration with both ends, in whole seconds; both equal when it is not a guess."""

    low_s: int
    high_s: int

    @property
    def middle_s(self) -> int:
        """Halfway between the ends, in whole seconds."""
        return (self.low_s + self.high_s) // 2

    @property
    def is_guess(self) -> bool:
        """Whether the ends differ."""
        return self.low_s != self.high_s


class Scale(Enum):
    """Temperature scales."""

    CELSIUS = "C"
    FAHRENHEIT = "F"


@dataclass(frozen=True, slots=True, kw_only=True)
class Temperature:
    """A temperature as it was written. Compare by `celsius`."""

    degrees: float
    scale: Scale = Scale.CELSIUS

    @property
    def celsius(self) -> float:
        """The same in degrees Celsius, unrounded: C = (F - 32) / 1.8."""
        if self.scale is Scale.CELSIUS:
            return self.degrees
        return (self.degrees - 32.0) / 1.8


_UNITS_S = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), 1),
    **dict.fromkeys(("m", "min", "mins", "minute", "minutes"), 60),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), 3600),
    **dict.fromkeys(("d", "day", "days"), DAY_S),
    **dict.fromkeys(("w", "week", "weeks"), 7 * DAY_S),
}
_IN_WORDS_S = {
    "half a minute": 30,
    "a minute": 60,
    "a quarter of an hour": 900,
    "quarter of an hour": 900,
    "half an hour": 1800,
    "three quarters of an hour": 2700,
    "an hour": 3600,
    "an hour and a half": 5400,
}
_NUMBER = r"\d{1,7}(?:[.,]\d{1,3})?"
_PART = re.compile(rf"({_NUMBER})\s*([a-z]+)\.?\s*(?:and\s+|,\s*)?")
_BARE = re.compile(rf"{_NUMBER}")
_ISO = re.compile(
    rf"\+?p(?:({_NUMBER})w|(?:({_NUMBER})d)?(?:t(?=\d)(?:({_NUMBER})h)?(?:({_NUMBER})m)?(?:({_NUMBER})s)?)?)"
)
_LOOKS_ISO = re.compile(r"\+?p[\dt]")
_ISO_UNITS_S = (7 * DAY_S, DAY_S, 3600, 60, 1)
_RANGE = re.compile(rf"\s*(?:[{DASHES}]|\bto\b)\s*")
_TEMPERATURE = re.compile(
    rf"([{DASHES}]?)({_NUMBER})\s*(?:°|º|degrees?|deg)?\s*([a-z]*)\.?",
)
_SCALES = {
    **dict.fromkeys(("c", "celsius", "centigrade"), Scale.CELSIUS),
    **dict.fromkeys(("f", "fahrenheit"), Scale.FAHRENHEIT),
}
_CHANCE = re.compile(rf"({_NUMBER})\s*(%|percent|per cent)?")
_CLOCK = re.compile(r"(\d{1,2})(?:[:.](\d{2}))?\s*([ap]\.?m\.?)?")


def parse_duration(text: str) -> int:
    """Seconds from "10 min", "1 h 20 min", "90 s", "half an hour" or ISO 8601 "PT1H20M".

    Units go from the longest to the shortest. Parts of a second are rounded, a half up. Years and months have
    no fixed length and are refused, as RFC 5545 section 3.3.6 leaves them out. Raises QuantityError.
    """
    words = _tidied(text, "10 min")
    if words in _IN_WORDS_S:
        return _IN_WORDS_S[words]
    if words[0] in DASHES:
        raise QuantityError(clause("amount.below", text=text.strip()), clause("amount.below.hint"))
    if _LOOKS_ISO.match(words):
        return _iso_duration(words, text)
    if _BARE.fullmatch(words):
        raise QuantityError(clause("amount.no.unit", text=words), _either(f"{words} min", f"{words} h"))
    return _plain_duration(words, text)


def parse_range(text: str) -> DurationRange:
    """Both ends of "70 to 85 min", "1 h to 1 h 20 min", "5-7 h"; one duration gives equal ends.

    A bare first number takes the second's unit. Raises QuantityError.
    """
    words = _tidied(text, "10 min", "10 to 15 min")
    ends = [end for end in _RANGE.split(words) if end]
    if len(ends) == 1 or words[0] in DASHES:
        only = parse_duration(words)
        return DurationRange(low_s=only, high_s=only)
    if len(ends) > 2:
        raise QuantityError(clause("amount.ends", text=text.strip()), _like("10 to 15 min"))
    high_s = _last_end(*ends)
    low_s = _first_end(*ends)
    if low_s > high_s:
        raise QuantityError(clause("amount.backwards", text=text.strip()), clause("amount.backwards.hint"))
    return DurationRange(low_s=low_s, high_s=high_s)


def parse_temperature(text: str) -> Temperature:
    """A Temperature from "74 C", "165 F", "74 °C", "165 degrees Fahrenheit". Raises QuantityError."""
    words = _tidied(text, "74 C", "165 F")
    found = _TEMPERATURE.fullmatch(words)
    if not found:
        raise QuantityError(clause("amount.temperature", text=text.strip()), _like("74 C", "165 F"))
    minus, number, word = found.groups()
    if not word:
        told = clause("amount.no.scale", text=text.strip())
        raise QuantityError(told, _either(f"{number} C", f"{number} F"))
    if word not in _SCALES:
        told = clause("amount.scale", text=word)
        raise QuantityError(told, _either(f"{number} C", f"{number} F"))
    degrees = _number(number) * (-1 if minus else 1)
    read = Temperature(degrees=degrees, scale=_SCALES[word])
    if not COLDEST_C <= read.celsius <= HOTTEST_C:
        raise QuantityError(clause("amount.kitchen", text=text.strip()), _like("74 C", "165 F"))
    return read


def parse_time_of_day(text: str) -> TimeOfDay:
    """An hour and minute from "19:30", "7.30 pm" or "7 pm". Raises QuantityError."""
    words = _tidied(text, "19:30")
    if words.isdecimal() and len(words) in (3, 4):
        return _refuse_unpunctuated(words)
    found = _CLOCK.fullmatch(words)
    if not found or not (found[2] or found[3]):
        raise QuantityError(clause("amount.clock", text=text.strip()), _like("19:30"))
    hour, minute = int(found[1]), int(found[2] or 0)
    if found[3] and 1 <= hour <= 12:
        hour = hour % 12 + (12 if found[3].startswith("p") else 0)
    elif found[3]:
        hour = 24
    if hour > 23 or minute > 59:
        raise QuantityError(clause("amount.clock", text=text.strip()), clause("amount.clock.hint"))
    return TimeOfDay(hour, minute)


def parse_chance(text: str) -> float:
    """A chance between 0.5 and 0.99 from "90 %", "90 percent" or "0.9". Raises QuantityError."""
    example = "90 %"
    words = _tidied(text, example)
    found = _CHANCE.fullmatch(words)
    if not found:
        raise QuantityError(clause("amount.chance", text=text.strip()), _like(example))
    number = _number(found[1])
    if not found[2] and number >= 1:
        told = clause("amount.anything", text=words)
        raise QuantityError(told, clause("amount.anything.hint", text=words))
    chance = round(number / 100 if found[2] else number, 6)
    if not LEAST_CHANCE <= chance <= MOST_CHANCE:
        raise QuantityError(clause("amount.promise", text=text.strip()), clause("amount.promise.hint"))
    return chance


def show_duration(seconds: int) -> str:
    """ "1 h 20 min", "90 min" as "1 h 30 min", "45 s", "0 min"; days from 48 h on; "-5 min" below zero."""
    if seconds < 0:
        return f"-{show_duration(-seconds)}"
    days, rest = divmod(seconds, DAY_S) if seconds >= 2 * DAY_S else (0, seconds)
    hours, rest = divmod(rest, 3600)
    minutes, rest = divmod(rest, 60)
    day_word = "day" if days == 1 else "days"
    parts = [
        f"{count} {unit}"
        for count, unit in ((days, day_word), (hours, "h"), (minutes, "min"), (rest, "s"))
        if count
    ]
    return " ".join(parts) or "0 min"


def show_range(span: DurationRange) -> str:
    """ "10 min" when both ends are equal, else "70 to 85 min", "5 to 7 h", "1 h 50 min to 2 h 10 min"."""
    low, high = show_duration(span.low_s), show_duration(span.high_s)
    if not span.is_guess:
        return low
    for unit_s, unit, most_s in ((1, "s", 60), (60, "min", 7200), (3600, "h", 2 * DAY_S)):
        if span.high_s < most_s and span.low_s % unit_s == span.high_s % unit_s == 0:
            return f"{span.low_s // unit_s} to {span.high_s // unit_s} {unit}"
    return f"{low} to {high}"


def show_temperature(temperature: Temperature) -> str:
    """ "74 C", "165 F", "62.8 C": as it may be written in a plan."""
    return f"{round(temperature.degrees, 1):g} {temperature.scale.value}"


def _like(*examples: str) -> str:
    keys = {2: "amount.or", 3: "amount.three"}
    names = dict(zip(("one", "other", "third"), examples, strict=False))
    told = clause(keys[len(examples)], **names) if len(examples) in keys else examples[0]
    return clause("amount.like", example=told)


def _either(one: str, other: str) -> str:
    return clause("amount.say", one=one, other=other)


def _tidied(text: str, *examples: str) -> str:
    words = " ".join(text.lower().split())
    if not words:
        raise QuantityError(clause("amount.empty"), _like(*examples))
    if len(words) > LONGEST_TEXT:
        raise QuantityError(clause("amount.too.long"), _like(*examples))
    return re.sub(r"(\d?)\s?½", lambda half: f"{half[1] or 0}.5", words)


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _whole(seconds: float) -> int:
    return int(seconds + 0.5)


def _plain_duration(words: str, text: str) -> int:
    total, place, shortest = 0.0, 0, None
    while place < len(words):
        part = _PART.match(words, place)
        if not part:
            raise _not_a_duration(words[place:], text)
        unit_s = _UNITS_S.get(part[2])
        if unit_s is None:
            raise QuantityError(clause("amount.unit", text=part[2]), clause("amount.unit.hint"))
        if shortest is not None and unit_s >= shortest:
            raise QuantityError(clause("amount.order", text=text.strip()), _like("1 h 20 min"))
        total, place, shortest = total + _number(part[1]) * unit_s, part.end(), unit_s
    return _whole(total)


def _not_a_duration(rest: str, text: str) -> QuantityError:
    if _BARE.fullmatch(rest):
        told = clause("amount.no.unit.in", part=rest, text=text.strip())
        return QuantityError(told, _like("1 h 20 min"))
    if re.fullmatch(r"\d+:\d+(:\d+)?", rest):
        return QuantityError(clause("amount.either", text=text.strip()), _like("1 h 20 min"))
    told = clause("amount.duration", text=text.strip())
    return QuantityError(told, _like("10 min", "1 h 20 min", "PT1H20M"))


def _iso_duration(words: str, text: str) -> int:
    found = _ISO.fullmatch(words)
    counts = found.groups() if found else ()
    given = [(count, unit_s) for count, unit_s in zip(counts, _ISO_UNITS_S, strict=False) if count]
    if not given:
        raise QuantityError(clause("amount.iso", text=text.strip()), clause("amount.iso.hint"))
    if any(not count.isdecimal() for count, _ in given[:-1]):
        raise QuantityError(clause("amount.decimals", text=text.strip()), _like("PT1H20M"))
    return _whole(sum(_number(count) * unit_s for count, unit_s in given))


def _first_end(low: str, high: str) -> int:
    if not _BARE.fullmatch(low):
        return parse_duration(low)
    units = [unit for _, unit in _PART.findall(high)]
    if len(units) != 1:
        ways = _either(f"{low} min to {high}", f"{low} h to {high}")
        raise QuantityError(clause("amount.no.unit", text=low), ways)
    return parse_duration(f"{low} {units[0]}")


def _last_end(low: str, high: str) -> int:
    if _BARE.fullmatch(high):
        told = clause("amount.range.unit", low=low, high=high)
        raise QuantityError(told, _either(f"{low} to {high} min", f"{low} to {high} h"))
    return parse_duration(high)


def _refuse_unpunctuated(digits: str) -> TimeOfDay:
    number = int(digits)
    hour, minute = divmod(number, 100)
    if minute > 59 or hour > 23:
        # Some YAML tools store 19:30 as 1170, its minutes since midnight (sexagesimal integers of YAML 1.1).
        hour, minute = divmod(number, 60)
    hint = clause("amount.clock.like")
    if hour <= 23:
        hint = clause("amount.clock.write", time=f"{hour:02d}:{minute:02d}")
    raise QuantityError(clause("amount.clock", text=digits), hint)


def in_scale(celsius: float, scale: Scale) -> float:
    """Degrees Celsius as a number of another scale."""
    return celsius if scale is Scale.CELSIUS else celsius * 1.8 + 32.0
