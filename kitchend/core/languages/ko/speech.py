"""Facts as they are spoken in Korean: durations, times, degrees, lists. Rounding is done by whoever asks."""

from __future__ import annotations

from collections.abc import Sequence

from kitchend.core.clock import TimeOfDay, WallTime
from kitchend.core.languages.ko.hangul import with_particles
from kitchend.core.languages.ko.numbers import clock_texts, native, words_of

WEEKDAYS = tuple(f"{day}요일" for day in "월화수목금토일")

_UNITS = {"second": "초", "minute": "분", "day": "일", "year": "년", "degree": "도"}
_DAYS = {2: "이틀", 3: "사흘", 4: "나흘", 5: "닷새"}


def finished(sentence: str) -> str:
    """Particles follow the last sound of the word before them."""
    return with_particles(sentence)


def begun(sentences: str) -> str:
    """Hangul has no large letters."""
    return sentences


def capital(text: str) -> str:
    """Hangul has no large letters."""
    return text


def count(number: int, unit: str) -> str:
    """오 분, 삼십 초, 이틀."""
    if unit == "hour":
        return f"{native(number)} 시간"
    return _DAYS[number] if unit == "day" and number in _DAYS else f"{words_of(number)} {_UNITS[unit]}"


def tally(number: int) -> str:
    """So many things: 두 in 두 가지."""
    return native(number)


def hours(hours: int, minutes: int) -> str:
    """한 시간, 두 시간 반, 한 시간 이십 분."""
    head = count(hours, "hour")
    return head if not minutes else f"{head} 반" if minutes == 30 else f"{head} {count(minutes, 'minute')}"


def span(low: str, high: str) -> str:
    """한 시간에서 두 시간."""
    return f"{low}에서 {high}"


def minutes_span(low: int, high: int) -> str:
    """칠십에서 팔십오 분."""
    return f"{words_of(low)}에서 {count(high, 'minute')}"


def half_hours_span(low: int, high: int) -> str:
    """여섯 시간에서 일곱 시간 반."""
    return span(*(hours(half_hours // 2, half_hours % 2 * 30) for half_hours in (low, high)))


def at_most(duration: str) -> str:
    """길어야 오 분."""
    return f"길어야 {duration}"


def time(time: TimeOfDay) -> str:
    """일곱 시 반, 일곱 시 사십오 분, 여덟 시."""
    return clock_texts(TimeOfDay((time.hour - 1) % 12 + 1, time.minute))[0]


def on_day(wall: WallTime, days: int) -> str:
    """내일 여섯 시, 금요일 여섯 시."""
    return f"{'내일' if days == 1 else WEEKDAYS[wall.local.weekday()]} {time(wall.time_of_day)}"


def when(text: str, kind: str) -> str:
    """지금, 사 분 뒤, 일곱 시 반에."""
    return "지금" if kind == "now" else f"{text} 뒤" if kind == "in" else f"{text}에"


def degrees(degrees: int) -> str:
    """육십이, 영하 오; the unit stands in the sentence."""
    return f"영하 {words_of(-degrees)}" if degrees < 0 else words_of(degrees)


def listed(words: Sequence[str]) -> str:
    """밥, 된장국, 시금치나물."""
    return ", ".join(words)


def choices(words: Sequence[str]) -> str:
    """생선 굽기, 아니면 생선 뒤집기."""
    return f"{', '.join(words[:-1])}, 아니면 {words[-1]}" if len(words) > 1 else "".join(words)


def be(thing: str) -> str:
    """Korean has no verb that agrees with a thing's number."""
    return ""
