"""Published food-safety guidance as plain data, so that the core can go by it without knowing its tables.

Whoever makes the rules fills them in from the tables of one jurisdiction; they come with the manners and are
journalled with them. Guidance only: nothing here says that food is safe, and local rules win.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

ROUNDING_C = 0.2
"""Charts print 62.8, 71.1, 73.9 for 145, 160, 165 F; the whole degree beside it (71 C) means the same."""

_WORD = re.compile(r"[^\W\d_]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatRow:
    """The least core temperature for one kind of food, kept or, with `is_rest`, rested for `hold_s`.

    `words` are those a plan uses for it. `holds` are lower temperatures, rising, each with the seconds that
    are worth as much, by `holds_source`; empty: none is published here. `is_flesh`: poultry, meat or fish.
    """

    kind: str
    words: tuple[str, ...]
    celsius: float
    hold_s: int = 0
    is_rest: bool = False
    source: str
    holds: tuple[tuple[float, int], ...] = ()
    holds_source: str = ""
    is_flesh: bool = True

    def is_met_by(self, celsius: float) -> bool:
        """Whether a reading is at or above it, as charts round."""
        return celsius >= self.celsius - ROUNDING_C


@dataclass(frozen=True, slots=True, kw_only=True)
class SafetyRules:
    """One jurisdiction's guidance. `spoken` is its name in a sentence, in English.

    A plan's words are looked for in `rows` in their order. `minced` and `stuffed` are the kinds which such
    words make of any flesh. Between `cold_c` and `hot_c` food may stand for `stand_s`, for `stand_warm_s`
    where the air is above `warm_c`.
    """

    spoken: str
    rows: tuple[HeatRow, ...]
    minced: HeatRow
    stuffed: HeatRow
    reheated: HeatRow
    hot_c: float
    cold_c: float
    keeping_source: str
    roast_hot_c: float | None = None
    stand_s: int
    stand_warm_s: int
    warm_c: float
    stand_source: str
    stand_spoken: str

    def rows_of(self, words: Iterable[str]) -> tuple[HeatRow, ...]:
        """The first row that any of these words names, made stricter by minced or stuffed; () for none."""
        said = set(words)
        row = next((row for row in self.rows if said & set(row.words)), None)
        if row is None:
            return ()
        if row.is_flesh and said & set(self.stuffed.words):
            return (max(self.stuffed, row, key=lambda one: one.celsius),)
        if row.is_flesh and said & set(self.minced.words):
            return (max(self.minced, row, key=lambda one: one.celsius),)
        return (row,)


def words_in(*texts: str | None) -> frozenset[str]:
    """The words of these texts, folded."""
    return frozenset(word for text in texts if text for word in _WORD.findall(text.casefold()))
