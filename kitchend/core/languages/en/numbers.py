"""Numbers, durations and clock times as a cook says them in English: value -> every wording, likeliest first.

One direction is the truth: listeners and parser alike are built from these wordings, so what is offered to be
heard can always be read back. Words are lower-case, without hyphens ("forty two"). A clock time stays as it
was said: "seven thirty" is 7:30, which seven is meant is not decided here.
"""

from __future__ import annotations

from collections.abc import Iterator

from kitchend.core.clock import TimeOfDay

_SMALL = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
    "seventeen eighteen nineteen"
).split()
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()

LARGEST = 999
"""The largest number with words here."""

HALF_HOUR_S, HOUR_S = 30 * 60, 60 * 60


def words_of(n: int) -> str:
    """The number in words, 0 to 999, with "and" after the hundreds; ValueError outside that range."""
    if not 0 <= n <= LARGEST:
        raise ValueError(f"{n} has no words here: give 0 to {LARGEST}")
    if n < 20:
        return _SMALL[n]
    if n < 100:
        tens, unit = divmod(n, 10)
        return _TENS[tens - 2] + (f" {_SMALL[unit]}" if unit else "")
    hundreds, rest = divmod(n, 100)
    return f"{_SMALL[hundreds]} hundred" + (f" and {words_of(rest)}" if rest else "")


def number_texts(n: int) -> tuple[str, ...]:
    """Every usual way to say a number: 190 is "one ninety", "one hundred and ninety", …"""
    if n < 100:
        return (words_of(n),)
    hundreds, rest = divmod(n, 100)
    start = f"{_SMALL[hundreds]} hundred"
    if not rest:
        return (start, "a hundred") if hundreds == 1 else (start,)
    tail = words_of(rest)
    short = f"{_SMALL[hundreds]} {tail}" if rest >= 10 else f"{_SMALL[hundreds]} oh {tail}"
    long = (f"{start} and {tail}", f"{start} {tail}")
    return (short, *long, f"a hundred and {tail}") if hundreds == 1 else (short, *long)


def count_texts(n: int) -> tuple[str, ...]:
    """Minutes are counted with the plain number."""
    return number_texts(n)


def _plural(n: int, unit: str) -> str:
    return unit if n == 1 else f"{unit}s"


def _under_a_minute(seconds: int) -> Iterator[str]:
    yield f"{words_of(seconds)} {_plural(seconds, 'second')}"
    if seconds == 30:
        yield "half a minute"


def _minutes_and_seconds(minutes: int, seconds: int) -> Iterator[str]:
    start = f"{words_of(minutes)} {_plural(minutes, 'minute')}"
    if seconds == 30:
        yield "a minute and a half" if minutes == 1 else f"{words_of(minutes)} and a half minutes"
        yield f"{words_of(minutes)} and a half minutes" if minutes == 1 else f"{start} and a half"
    if minutes == 1:
        yield f"{words_of(60 + seconds)} seconds"
    tail = f"{words_of(seconds)} {_plural(seconds, 'second')}"
    yield from (f"{start} {tail}", f"{start} and {tail}")


def _minutes(minutes: int) -> Iterator[str]:
    if minutes == 30:
        yield "half an hour"
    yield f"{words_of(minutes)} {_plural(minutes, 'minute')}"
    if minutes == 1:
        yield "a minute"
    if minutes == 2:
        yield "a couple of minutes"
    if minutes == 15:
        yield "a quarter of an hour"
        yield "a quarter hour"
    if minutes == 45:
        yield "three quarters of an hour"


def _hours(hours: int) -> Iterator[str]:
    if hours == 1:
        yield "an hour"
    if hours == 2:
        yield "a couple of hours"
    yield f"{words_of(hours)} {_plural(hours, 'hour')}"


def _hours_and_minutes(hours: int, minutes: int) -> Iterator[str]:
    starts = ("an hour", "one hour") if hours == 1 else (f"{words_of(hours)} hours",)
    part = {15: "a quarter", 30: "a half", 45: "three quarters"}.get(minutes)
    if part:
        yield from (f"{start} and {part}" for start in starts)
    if minutes == 30:
        yield f"{words_of(hours)} and a half hours"
    for start in starts:
        yield f"{start} and {words_of(minutes)} {_plural(minutes, 'minute')}"
        yield f"{start} {words_of(minutes)} {_plural(minutes, 'minute')}"
        yield f"{start} {words_of(minutes)}"
        yield f"{start} and {words_of(minutes)}"


def duration_texts(seconds: int) -> tuple[str, ...]:
    """Every usual way to say a duration of whole seconds above zero, likeliest first.

    Seconds are said up to 999 minutes, whole minutes up to 99 hours; ValueError beyond.
    """
    hours, rest = divmod(seconds, HOUR_S)
    minutes, odd = divmod(rest, 60)
    if hours and minutes and not odd:
        texts = [*_hours_and_minutes(hours, minutes)]
        return (*texts, *_minutes(hours * 60 + minutes)) if hours * 60 + minutes <= LARGEST else tuple(texts)
    if hours and not odd:
        return (*_hours(hours), *_minutes(hours * 60)) if hours * 60 <= LARGEST else tuple(_hours(hours))
    if odd:
        total = hours * 60 + minutes
        return tuple(_minutes_and_seconds(total, odd) if total else _under_a_minute(odd))
    return tuple(_minutes(minutes))


def _hour_word(hour: int) -> str:
    return words_of((hour - 1) % 12 + 1)


def _past_and_to(hour: int, minute: int) -> Iterator[str]:
    past = minute <= 30
    name = {15: "quarter", 30: "half", 45: "quarter"}.get(minute) or words_of(minute if past else 60 - minute)
    yield f"{name} past {_hour_word(hour)}" if past else f"{name} to {_hour_word(hour + 1)}"


def _digits(hour: str, minute: int) -> str:
    return f"{hour} oh {words_of(minute)}" if minute < 10 else f"{hour} {words_of(minute)}"


def clock_texts(time: TimeOfDay) -> tuple[str, ...]:
    """Every usual way to say a clock time; hours 1 to 12 as on a dial, others as on a 24-hour clock."""
    hour, minute = time.hour, time.minute
    if not 1 <= hour <= 12:
        return ("midnight",) if hour == minute == 0 else _clock_24(hour, minute)
    if minute == 0:
        names = (_hour_word(hour), f"{_hour_word(hour)} o'clock")
        return (*names, "noon") if hour == 12 else names
    return (*_past_and_to(hour, minute), _digits(_hour_word(hour), minute), *_rarer(hour, minute))


def _clock_24(hour: int, minute: int) -> tuple[str, ...]:
    name = words_of(hour)
    return (f"{name} hundred",) if minute == 0 else (_digits(name, minute),)


def _rarer(hour: int, minute: int) -> Iterator[str]:
    if minute == 30:
        yield f"half {_hour_word(hour)}"
    elif minute < 30:
        yield f"{'quarter' if minute == 15 else words_of(minute)} after {_hour_word(hour)}"
    else:
        yield f"{'quarter' if minute == 45 else words_of(60 - minute)} till {_hour_word(hour + 1)}"
    if minute in (15, 45):
        yield f"a {next(_past_and_to(hour, minute))}"
