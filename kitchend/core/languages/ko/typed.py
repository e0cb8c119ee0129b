"""Korean as it is typed: "5분 더", "7시 반", "62도", "19:30" as the words that would be said."""

from __future__ import annotations

import re

from kitchend.core.clock import TimeOfDay
from kitchend.core.languages.ko.numbers import clock_texts, native, words_of

_CLOCK = re.compile(r"\b(\d{1,2}):(\d{2})(?!\d)")
_HOUR = re.compile(r"(\d{1,2})\s*(시간|시)")
_DECIMAL = re.compile(r"(\d)[.,](\d)(?!\d)")
_DEGREES = re.compile(r"(\d)\s*[°º]\s*c?")
_NUMBER = re.compile(r"\d{1,3}(?!\d)")

IDLE = frozenset("어 음 그 저 저기 좀 자 이제".split())
"""What people say while they think."""


def in_full(text: str) -> str:
    """Hangul runs no words together that are written apart."""
    return text


def words_of_line(line: str) -> str:
    """A line as the words that would be said for it: "7시 5분" is 일곱 시 오 분, "1시간" 한 시간."""
    line = _CLOCK.sub(_clock_words, line)
    line = _HOUR.sub(_hour_words, line)
    line = _DECIMAL.sub(r"\1 점 \2", line)
    line = _DEGREES.sub(r"\1 도 ", line)
    return _NUMBER.sub(lambda found: f" {words_of(int(found[0]))} ", line)


def _clock_words(found: re.Match[str]) -> str:
    hour, minute = int(found[1]), int(found[2])
    if hour > 23 or minute > 59:
        return found[0]
    return f" {clock_texts(TimeOfDay(hour, minute))[0]} "


def _hour_words(found: re.Match[str]) -> str:
    number = int(found[1])
    is_native = 1 <= number <= (12 if found[2] == "시" else 99)
    return f" {native(number) if is_native else words_of(number)} {found[2]}"
