"""Number words as the listener meets them: digits spelled out, and words that sound alike.

Pure tables and text. What a number means is the core's to say; here it is only how it is said and what it is
mistaken for.
"""

import re
from collections.abc import Iterator
from itertools import product

from kitchend.core.tongue import DEFAULT, tongue

UNITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
TEENS = (
    "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
    "nineteen",
)  # fmt: skip
TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_KINDS = ((*UNITS[1:], *TEENS[:3]), (*TENS, *TEENS[3:]))
"""Number words that may stand in the same place, apart from sound."""
NUMBER_WORDS = frozenset((*UNITS, *TEENS, *TENS, "hundred"))

_PAIRS = (
    ("thirteen", "thirty"), ("fourteen", "forty"), ("fifteen", "fifty"), ("sixteen", "sixty"),
    ("seventeen", "seventy"), ("eighteen", "eighty"), ("nineteen", "ninety"), ("five", "nine"),
)  # fmt: skip
PARTNER: dict[str, str] = {a: b for one, other in _PAIRS for a, b in ((one, other), (other, one))}
"""Words that are mistaken for each other."""

_SINO = frozenset("영공일이삼사오육칠팔구십백")
_SINO_PARTNERS = dict(
    pair.split("/") for pair in "일/이칠 이/일 칠/일 삼/사 사/삼 오/육구 육/오 구/오".split()
)
"""Digits that sound alike: 육 heard as 오 was measured, the others are common practice on the telephone."""

_DIGITS = re.compile(r"\d+")
_NOT_SPOKEN = re.compile(r"[^\w' ]|_")


def spoken(number: int) -> tuple[str, ...]:
    """The ways 0 to 999 is said: 190 -> "one ninety", "one hundred and ninety", "one hundred ninety"."""
    if number < 100:
        return (_below_hundred(number),)
    hundreds, rest = divmod(number, 100)
    if hundreds > 9:
        return ()
    head = f"{UNITS[hundreds]} hundred"
    if not rest:
        return (head,)
    tail = _below_hundred(rest)
    short = f"{UNITS[hundreds]} {tail}"
    return (short, f"{head} and {tail}", f"{head} {tail}") if rest >= 10 else (f"{head} and {tail}",)


def _below_hundred(number: int) -> str:
    if number < 10:
        return UNITS[number]
    if number < 20:
        return TEENS[number - 10]
    tens, unit = divmod(number, 10)
    return TENS[tens - 2] + (f" {UNITS[unit]}" if unit else "")


def spelled(text: str) -> tuple[str, ...]:
    """Written text as it may have been spoken: " Serve at 7:30." -> ("serve at seven thirty",).

    At most eight ways are given; numbers beyond 999 give none. In another language than English it is read as
    a typed line is there: "생선 63도" -> 생선 육십삼 도.
    """
    line = text.lower() if tongue().tag == DEFAULT else tongue().typed.words_of_line(text.lower())
    words = _NOT_SPOKEN.sub(" ", line).split()
    choices = [_spoken_word(word) for word in words]
    ways = (" ".join(way) for way in product(*choices))
    return tuple(way for _, way in zip(range(8), ways, strict=False))


def _spoken_word(word: str) -> tuple[str, ...]:
    if _DIGITS.fullmatch(word):
        return spoken(int(word)) if len(word) < 4 else ()
    return (word,)


def partners(text: str) -> Iterator[str]:
    """The text with one number word at a time changed for the one it is mistaken for."""
    words = text.split()
    for at, word in enumerate(words):
        for other in (PARTNER[word],) if word in PARTNER else sino_partners(word):
            yield " ".join([*words[:at], other, *words[at + 1 :]])


def others(text: str) -> Iterator[str]:
    """The text with one number word at a time changed for each other of its kind."""
    words = text.split()
    for at, word in enumerate(words):
        kind = next((kind for kind in _KINDS if word in kind), ())
        yield from (" ".join([*words[:at], other, *words[at + 1 :]]) for other in kind if other != word)


def sino_partners(word: str) -> Iterator[str]:
    """A Sino-Korean number with one digit at a time changed for one it is mistaken for; else nothing."""
    if set(word) <= _SINO:
        for at, digit in enumerate(word):
            yield from (word[:at] + other + word[at + 1 :] for other in _SINO_PARTNERS.get(digit, ""))


def number_spans(text: str) -> tuple[tuple[int, int], ...]:
    """Where runs of number words stand, as word positions [start, end)."""
    flags = [word in NUMBER_WORDS for word in text.split()] + [False]
    starts = [i for i, flag in enumerate(flags) if flag and not (i and flags[i - 1])]
    return tuple((start, flags.index(False, start)) for start in starts)


def but_for_numbers(text: str) -> str:
    """The text with each of its numbers, however long, as one mark."""
    words = text.split()
    for start, end in reversed(number_spans(text)):
        words[start:end] = ["#"]
    return " ".join(words)


def with_numbers_of(text: str, other: str) -> Iterator[str]:
    """The text with each of its numbers in turn replaced by each number of the other text."""
    words, source = text.split(), other.split()
    for start, end in number_spans(text):
        for from_, to in number_spans(other):
            yield " ".join([*words[:start], *source[from_:to], *words[end:]])
