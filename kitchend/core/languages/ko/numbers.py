"""Numbers, durations and clock times as a cook says them in Korean: value -> every wording, likeliest first.

Two rows of numbers: Sino-Korean for minutes, seconds and degrees (오 분, 육십이 도), native for hours and for
counting things (일곱 시, 두 가지). Spaces stand where they are written; reading does not depend on them.
"""

from __future__ import annotations

from collections.abc import Iterator

from kitchend.core.clock import TimeOfDay

_DIGITS = ("", "일", "이", "삼", "사", "오", "육", "칠", "팔", "구")
_ONES = ("", "하나", "둘", "셋", "넷", "다섯", "여섯", "일곱", "여덟", "아홉")
_BEFORE_UNIT = ("", "한", "두", "세", "네", "다섯", "여섯", "일곱", "여덟", "아홉")
_TENS = ("", "열", "스물", "서른", "마흔", "쉰", "예순", "일흔", "여든", "아흔")

LARGEST = 999
"""The largest number with words here."""

HOUR_S = 60 * 60


def words_of(n: int) -> str:
    """The Sino-Korean number, 0 to 999, in one word: 백이십삼; ValueError outside that range."""
    if not 0 <= n <= LARGEST:
        raise ValueError(f"{n} has no words here: give 0 to {LARGEST}")
    if n == 0:
        return "영"
    hundreds, rest = divmod(n, 100)
    tens, ones = divmod(rest, 10)
    return _place(hundreds, "백") + _place(tens, "십") + _DIGITS[ones]


def _place(digit: int, place: str) -> str:
    """A digit before its place; a one is not said."""
    return "" if digit == 0 else (_DIGITS[digit] if digit > 1 else "") + place


def native(n: int) -> str:
    """The native number before what it counts, 1 to 99: 한, 스무, 스물두; ValueError outside that range."""
    if not 1 <= n <= 99:
        raise ValueError(f"{n} is counted in Sino-Korean: give 1 to 99")
    tens, ones = divmod(n, 10)
    return "스무" if n == 20 else _TENS[tens] + _BEFORE_UNIT[ones]


def native_alone(n: int) -> str:
    """The native number with nothing after it, 1 to 99: 하나, 스물."""
    tens, ones = divmod(n, 10)
    return _TENS[tens] + _ONES[ones]


def number_texts(n: int) -> tuple[str, ...]:
    """Every usual way to say a number: 0 is 영 or 공."""
    return ("영", "공") if n == 0 else (words_of(n),)


def count_texts(n: int) -> tuple[str, ...]:
    """Minutes are counted in Sino-Korean."""
    return (words_of(n),)


def duration_texts(seconds: int) -> tuple[str, ...]:
    """Every usual way to say a duration of whole seconds above zero, likeliest first.

    Seconds are said up to 999 minutes, whole minutes up to 99 hours; ValueError beyond.
    """
    hours, rest = divmod(seconds, HOUR_S)
    minutes, odd = divmod(rest, 60)
    total = hours * 60 + minutes
    if odd:
        return tuple(_minutes_and_seconds(total, odd))
    texts = list(_hours_and_minutes(hours, minutes)) if hours else []
    if total <= LARGEST:
        texts.append(f"{words_of(total)} 분")
    if total == 30:
        texts.append("반 시간")
    return tuple(texts)


def _minutes_and_seconds(minutes: int, seconds: int) -> Iterator[str]:
    start = f"{words_of(minutes)} 분 " if minutes else ""
    yield f"{start}{words_of(seconds)} 초"
    if minutes and seconds == 30:
        yield f"{start}반"


def _hours_and_minutes(hours: int, minutes: int) -> Iterator[str]:
    start = f"{native(hours)} 시간"
    if not minutes:
        yield start
        return
    if minutes == 30:
        yield f"{start} 반"
    yield f"{start} {words_of(minutes)} 분"


def clock_texts(time: TimeOfDay) -> tuple[str, ...]:
    """Every usual way to say a clock time; hours 1 to 12 as on a dial, others with their part of the day."""
    hour, minute = time.hour, time.minute
    if hour == 0:
        return ("자정", "영 시") if minute == 0 else (f"영 시 {words_of(minute)} 분",)
    if hour <= 12:
        return (*_on_dial(hour, minute), *(("정오",) if (hour, minute) == (12, 0) else ()))
    part = "오후 " if hour < 18 else "저녁 " if hour < 21 else "밤 "
    dial = tuple(_on_dial(hour - 12, minute))
    others = tuple(f"오후 {text}" for text in dial[:2]) if hour >= 18 else ()
    digits = f"{words_of(hour)} 시" + (f" {words_of(minute)} 분" if minute else "")
    return (*(part + text for text in dial[:2]), *others, digits)


def _on_dial(hour: int, minute: int) -> Iterator[str]:
    start = f"{native(hour)} 시"
    if minute == 0:
        yield from (start, f"{start} 정각")
        return
    if minute == 30:
        yield f"{start} 반"
    yield f"{start} {words_of(minute)} 분"
    if minute >= 45:
        yield f"{native(hour % 12 + 1)} 시 {words_of(60 - minute)} 분 전"
