"""Published food-safety guidance as plain data, so that the core can go by it without knowing its tables.

Whoever makes the rules fills them in from the tables of one jurisdiction; they come with the manners and are
journalled with them. Guidance only: nothing here says that food is safe, and local rules win.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kitchend.core.time_at_heat import done_share, equivalent_hold_s

ROUNDING_C = 0.2
"""Charts print 62.8, 71.1, 73.9 for 145, 160, 165 F; the whole degree beside it (71 C) means the same."""

_WORD = re.compile(r"[^\W\d_]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatRow:
    """The least core temperature for one kind of food, kept or, with `is_rest`, rested for `hold_s`.

    `words` are those a plan uses for it. `holds` are lower temperatures, rising, each with the seconds that
    are worth as much, by `holds_source`; empty: none is published here. With `z_c` they are those of a curve
    through `hold_s` at `celsius`, by which a whole run of readings can be judged. `is_flesh`: poultry, meat
    or fish.
    """

    kind: str
    words: tuple[str, ...]
    celsius: float
    hold_s: int = 0
    is_rest: bool = False
    source: str
    holds: tuple[tuple[float, int], ...] = ()
    holds_source: str = ""
    z_c: float | None = None
    is_flesh: bool = True

    def is_met_by(self, celsius: float) -> bool:
        """Whether a reading is at or above it, as charts round."""
        return celsius >= self.celsius - ROUNDING_C

    def held_share(self, times_s: Sequence[float], temps_c: Sequence[float]) -> float:
        """How much of the published hold a run of readings amounts to: 1 or more when it is complete.

        What is below the first row does not count.
        """
        if self.z_c is None:
            return done_share(self.holds, times_s, temps_c)
        least_c = self.holds[0][0]
        counted = [temp if temp >= least_c else 0.0 for temp in temps_c]
        worth_s = equivalent_hold_s(times_s, counted, reference_c=self.celsius, z_c=self.z_c)
        return worth_s / self.hold_s


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolingLimits:
    """How fast cooked food is to get cold: from `first_c` to `middle_c` within `first_s`, and to `last_c`
    within `total_s` in all. What was never hot is to be at `last_c` within `ambient_s`. `spoken` as there.
    """

    first_c: float
    middle_c: float
    last_c: float
    first_s: int
    total_s: int
    ambient_s: int
    source: str
    spoken: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReheatingLimits:
    """How long reheating may take. `spoken` is its source in a sentence, in English."""

    within_s: int
    source: str
    spoken: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """Another temperature that the same guidance has for some of what is reheated.

    `key` is its sentence. Only where one of `words` is in the dish's name; for any dish without words.
    """

    key: str
    celsius: float
    source: str
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RoastOven:
    """How hot an oven is to be for a whole roast that ends below its row: from `large_kg` on, and below that.

    `small_c` is a still oven's, `small_fan_c` one's with a fan; a moist one may be at `moist_c` or less.
    """

    large_kg: float
    large_c: float
    small_c: float
    small_fan_c: float
    moist_c: float
    source: str

    def least_c(self, weight_kg: float | None) -> float:
        """The least that any dry oven may have; an unknown roast is a large one, an oven has a fan."""
        return self.small_fan_c if weight_kg is not None and weight_kg < self.large_kg else self.large_c


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeOnly:
    """How long food marked with when it is thrown away may be out; cold food up to `cold_c` longer."""

    any_s: int
    cold_s: int
    cold_c: float
    source: str


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
    cooling: CoolingLimits | None = None
    reheating: ReheatingLimits | None = None
    reheated_beside: Beside | None = None
    roast_oven: RoastOven | None = None
    time_only: TimeOnly | None = None

    def is_in_danger_zone(self, celsius: float, *, is_roast: bool = False) -> bool:
        """Whether a temperature is neither hot nor cold enough to keep food, as charts round.

        Some let a whole roast (`is_roast`) be kept less hot.
        """
        return self.cold_c + ROUNDING_C < celsius < self.keeps_hot_c(is_roast=is_roast) - ROUNDING_C

    def keeps_hot_c(self, *, is_roast: bool = False) -> float:
        """The least temperature at which food is kept hot."""
        return self.roast_hot_c if is_roast and self.roast_hot_c is not None else self.hot_c

    def may_stand_s(self, room_c: float | None = None) -> int:
        """How long food may be out. An unknown room is a mild one."""
        is_warm = room_c is not None and room_c > self.warm_c + 1e-6
        return self.stand_warm_s if is_warm else self.stand_s

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
