"""Numbers, durations and clock times in words, against two libraries and against each other."""

import re

import pytest
from num2words import num2words
from text_to_num import text2num

from kitchend.core.clock import TimeOfDay
from kitchend.core.numbers import (
    LARGEST,
    clock_texts,
    duration_texts,
    number_of,
    number_texts,
    words_of,
)

EVERY_MINUTE = [TimeOfDay(hour, minute) for hour in range(24) for minute in range(60)]


def test_words_of_every_number_are_those_of_num2words() -> None:
    ours = {n: words_of(n) for n in range(LARGEST + 1)}
    theirs = {n: num2words(n).replace("-", " ") for n in range(LARGEST + 1)}
    assert ours == theirs


def test_text2num_reads_back_the_words_of_every_number() -> None:
    assert [text2num(words_of(n), "en") for n in range(LARGEST + 1)] == list(range(LARGEST + 1))


def test_every_wording_of_every_number_says_that_number_alone() -> None:
    for n in range(LARGEST + 1):
        assert [number_of(text) for text in number_texts(n)] == [n] * len(number_texts(n))


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("one ninety", 190),
        ("one forty two", 142),
        ("a hundred", 100),
        ("two oh five", 205),
        ("Two hundred and five", 205),
        ("forty-two", 42),
        ("three fifty", 350),
        ("ninety one hundred", None),
        ("", None),
    ],
)
def test_number_as_a_cook_says_it(text: str, number: int | None) -> None:
    assert number_of(text) == number


@pytest.mark.parametrize("n", [-1, 1000])
def test_numbers_without_words_are_refused(n: int) -> None:
    with pytest.raises(ValueError, match="give 0 to 999"):
        words_of(n)


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (1, "one second"),
        (30, "half a minute"),
        (60, "a minute"),
        (90, "a minute and a half"),
        (90, "ninety seconds"),
        (120, "a couple of minutes"),
        (150, "two and a half minutes"),
        (190, "three minutes and ten seconds"),
        (540, "nine minutes"),
        (900, "a quarter of an hour"),
        (1800, "half an hour"),
        (2700, "three quarters of an hour"),
        (3600, "an hour"),
        (4500, "an hour and a quarter"),
        (4800, "an hour and twenty minutes"),
        (4800, "one hour twenty"),
        (4860, "an hour and twenty one minutes"),
        (5400, "one and a half hours"),
        (5400, "ninety minutes"),
        (7200, "a couple of hours"),
        (9000, "two and a half hours"),
        (36_000, "ten hours"),
        (72_000, "twenty hours"),
    ],
)
def test_duration_as_a_cook_says_it(seconds: int, text: str) -> None:
    assert text in duration_texts(seconds)


def test_no_two_durations_share_a_wording() -> None:
    seen: dict[str, int] = {}
    for seconds in (*range(1, 999 * 60 + 60), *range(999 * 60, 99 * 3600, 60)):
        for text in duration_texts(seconds):
            assert seen.setdefault(text, seconds) == seconds, text


def test_plain_durations_say_their_number_as_text2num_reads_it() -> None:
    for minutes in range(2, 301):
        text = next(
            text for text in duration_texts(60 * minutes) if text.endswith(" minutes") and "hour" not in text
        )
        number = "two" if text == "a couple of minutes" else text.removesuffix(" minutes")
        assert text2num(number, "en") == minutes


@pytest.mark.parametrize(
    ("time", "text"),
    [
        (TimeOfDay(7), "seven"),
        (TimeOfDay(7), "seven o'clock"),
        (TimeOfDay(7, 30), "half past seven"),
        (TimeOfDay(7, 30), "seven thirty"),
        (TimeOfDay(7, 45), "quarter to eight"),
        (TimeOfDay(7, 15), "quarter past seven"),
        (TimeOfDay(7, 20), "twenty past seven"),
        (TimeOfDay(7, 35), "twenty five to eight"),
        (TimeOfDay(7, 5), "seven oh five"),
        (TimeOfDay(12, 45), "quarter to one"),
        (TimeOfDay(12), "noon"),
        (TimeOfDay(19, 30), "nineteen thirty"),
        (TimeOfDay(20), "twenty hundred"),
        (TimeOfDay(0), "midnight"),
        (TimeOfDay(0, 15), "zero fifteen"),
    ],
)
def test_clock_time_as_a_cook_says_it(time: TimeOfDay, text: str) -> None:
    assert text in clock_texts(time)


def test_no_two_clock_times_share_a_wording() -> None:
    seen: dict[str, TimeOfDay] = {}
    for time in EVERY_MINUTE:
        for text in clock_texts(time):
            assert seen.setdefault(text, time) == time, text


def test_every_wording_is_lower_case_words() -> None:
    texts = [text for time in EVERY_MINUTE for text in clock_texts(time)]
    texts += [text for seconds in range(1, 20_000, 7) for text in duration_texts(seconds)]
    texts += [text for n in range(LARGEST + 1) for text in number_texts(n)]
    assert not [text for text in texts if not re.fullmatch(r"[a-z']+( [a-z']+)*", text)]
