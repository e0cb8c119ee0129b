"""English as it is typed: "5 min", "7:30 pm", "62 C" as the words that would be said."""

from __future__ import annotations

import re

from kitchend.core.clock import TimeOfDay
from kitchend.core.languages.en.numbers import clock_texts

_CLOCK = re.compile(r"\b(\d{1,2})[:.](\d{2})(?!\d)\s*(?:([ap])\.?\s?m\b\.?)?")
_HOUR = re.compile(r"\b(\d{1,2})\s*([ap])\.?\s?m\b\.?")
_DECIMAL = re.compile(r"(\d)[.,](\d)(?!\d)")
_UNITS = (
    (re.compile(r"(\d)\s*(?:°|º|deg\b)\s*"), r"\1 degrees "),
    (re.compile(r"(\d)\s*(?:degrees\s*)?c\b"), r"\1 degrees celsius"),
    (re.compile(r"(\d)\s*(?:degrees\s*)?f\b"), r"\1 degrees fahrenheit"),
    (re.compile(r"(\d)\s*(?:hrs?|h)\b"), r"\1 hours"),
    (re.compile(r"(?:\bmins?\b|(?<=\d)\s*(?:mins?|m)\b)"), " minutes"),
    (re.compile(r"(\d)\s*(?:secs?|s)\b"), r"\1 seconds"),
)
IDLE = frozenset("um uh er erm please just so well okay ok right alright".split())
"""What people say while they think."""


_RUN_TOGETHER = re.compile(r"(?<=[a-z])'(?:s|re)\b")
_IN_FULL = {"'s": " is", "'re": " are"}


def in_full(text: str) -> str:
    """Words run together in speech, each by itself: "salmon's in" is "salmon is in"."""
    return _RUN_TOGETHER.sub(lambda match: _IN_FULL[match[0]], text)


def words_of_line(text: str) -> str:
    """A line as the words that would be said for it: "5 min" is "five minutes", "7:30" is "seven thirty"."""
    line = _CLOCK.sub(_clock_words, text)
    line = _HOUR.sub(_clock_words, line)
    line = _DECIMAL.sub(r"\1 point \2", line)
    for unit, words in _UNITS:
        line = unit.sub(words, line)
    return line


def _clock_words(match: re.Match[str]) -> str:
    *numbers, half = match.groups()
    hour, minute = int(numbers[0]), int(numbers[1]) if len(numbers) > 1 else 0
    if half and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half == "p" else 0)
    if hour > 23 or minute > 59:
        return match[0]
    return f" {clock_texts(TimeOfDay(hour, minute))[-1 if minute == 0 else 0]} "
