"""Facts as they are spoken in English: durations, times, degrees, lists. Rounding is done by whoever asks."""

from __future__ import annotations

import re
from collections.abc import Sequence

from kitchend.core.clock import TimeOfDay, WallTime
from kitchend.core.languages.en.numbers import words_of
from kitchend.core.languages.en.verbs import is_plural

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

_BEGINNING = re.compile(r"(?:^|(?<=[.?!] ))[a-z]")


def finished(sentence: str) -> str:
    """English needs nothing put right."""
    return sentence


def begun(sentences: str) -> str:
    """Each sentence with a large letter first."""
    return _BEGINNING.sub(lambda found: found[0].upper(), sentences)


def capital(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


def count(number: int, unit: str) -> str:
    """ "one minute", "four minutes"."""
    return f"{words_of(number)} {unit}{'' if number == 1 else 's'}"


def tally(number: int) -> str:
    """ "two" things."""
    return words_of(number)


def hours(hours: int, minutes: int) -> str:
    """ "an hour", "two hours and five minutes"."""
    if minutes == 30:
        return "an hour and a half" if hours == 1 else f"{words_of(hours)} and a half hours"
    head = "an hour" if hours == 1 else count(hours, "hour")
    return head if minutes == 0 else f"{head} and {count(minutes, 'minute')}"


def span(low: str, high: str) -> str:
    """ "an hour to two hours"."""
    return f"{low} to {high}"


def minutes_span(low: int, high: int) -> str:
    """ "seventy to eighty five minutes"."""
    return f"{words_of(low)} to {count(high, 'minute')}"


def half_hours_span(low: int, high: int) -> str:
    """ "six to seven and a half hours"."""
    return f"{_halves(low)} to {_halves(high)} hours"


def _halves(half_hours: int) -> str:
    hours, half = divmod(half_hours, 2)
    return f"{words_of(hours)} and a half" if half else words_of(hours)


def at_most(duration: str) -> str:
    """ "up to five minutes"."""
    return f"up to {duration}"


def time(time: TimeOfDay) -> str:
    """ "half past seven", "seven forty five", "eight o'clock"."""
    hour = words_of((time.hour - 1) % 12 + 1)
    if time.minute == 0:
        return f"{hour} o'clock"
    if time.minute == 30:
        return f"half past {hour}"
    return f"{hour} oh {words_of(time.minute)}" if time.minute < 10 else f"{hour} {words_of(time.minute)}"


def on_day(wall: WallTime, days: int) -> str:
    """ "six o'clock tomorrow", "six o'clock on Friday"."""
    day = "tomorrow" if days == 1 else f"on {WEEKDAYS[wall.local.weekday()]}"
    return f"{time(wall.time_of_day)} {day}"


def when(text: str, kind: str) -> str:
    """ "now", "in four minutes", "at half past seven"."""
    return "now" if kind == "now" else f"{kind} {text}"


def degrees(degrees: int) -> str:
    """ "sixty two", "minus five"."""
    return f"minus {words_of(-degrees)}" if degrees < 0 else words_of(degrees)


def listed(words: Sequence[str]) -> str:
    """ "a", "a and b", "a, b and c"; with a pause where a part has an "and" of its own: "a and b, and c"."""
    if len(words) < 2:
        return "".join(words)
    last = ", and " if any(" and " in word for word in words) else " and "
    return f"{', '.join(words[:-1])}{last}{words[-1]}"


def choices(words: Sequence[str]) -> str:
    """ "rest the chicken, or carve the chicken"."""
    return capital(f"{', '.join(words[:-1])}, or {words[-1]}" if len(words) > 1 else "".join(words))


def be(thing: str) -> str:
    """ "is", or "are" for things like greens."""
    return "are" if is_plural(thing) else "is"
