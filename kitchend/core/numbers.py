"""Numbers, durations and clock times in the language that is spoken now, and back.

The wordings are the language's own; here is only which value a wording has.
"""

from __future__ import annotations

from collections.abc import Mapping

from kitchend.core.clock import TimeOfDay
from kitchend.core.tongue import by_tongue, tongue

LARGEST = 999
"""The largest number with words here."""

HALF_HOUR_S, HOUR_S = 30 * 60, 60 * 60


def words_of(n: int) -> str:
    """The number in words, 0 to 999; ValueError outside that range."""
    return tongue().numbers.words_of(n)


def number_texts(n: int) -> tuple[str, ...]:
    """Every usual way to say a number, likeliest first."""
    return tongue().numbers.number_texts(n)


def count_texts(n: int) -> tuple[str, ...]:
    """Every usual way to count minutes where their unit is said elsewhere, likeliest first."""
    return tongue().numbers.count_texts(n)


def duration_texts(seconds: int) -> tuple[str, ...]:
    """Every usual way to say a duration of whole seconds above zero, likeliest first.

    Seconds are said up to 999 minutes, whole minutes up to 99 hours; ValueError beyond.
    """
    return tongue().numbers.duration_texts(seconds)


def clock_texts(time: TimeOfDay) -> tuple[str, ...]:
    """Every usual way to say a clock time; hours 1 to 12 as on a dial, others as on a 24-hour clock."""
    return tongue().numbers.clock_texts(time)


@by_tongue
def _numbers_by_text() -> Mapping[str, int]:
    return {text: n for n in range(LARGEST + 1) for text in number_texts(n)}


def number_of(words: str) -> int | None:
    """The number these words say, 0 to 999; None if they say none."""
    return _numbers_by_text().get(" ".join(words.lower().replace("-", " ").split()))
