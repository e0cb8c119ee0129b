"""Durations, temperatures, ranges: how they are written in a plan, how they are shown and said.

Durations are whole seconds (`_s`), temperatures remember the scale they were written in. Parsing refuses with
a QuantityError that says what was wrong and how to mend it; it never guesses.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


@dataclass(frozen=True, slots=True, kw_only=True)
class DurationRange:
    """A duration with both ends, in whole seconds; both equal when it is not a guess."""

    low_s: int
    high_s: int

    @property
    def middle_s(self) -> int:
        return (self.low_s + self.high_s) // 2

    @property
    def is_guess(self) -> bool:
        return self.low_s != self.high_s


class Scale(Enum):
    """Temperature scales."""

    CELSIUS = "C"
    FAHRENHEIT = "F"


@dataclass(frozen=True, slots=True, kw_only=True)
class Temperature:
    """A temperature as it was written. Compare by `celsius`."""

    degrees: float
    scale: Scale = Scale.CELSIUS

    @property
    def celsius(self) -> float:
        if self.scale is Scale.CELSIUS:
            return self.degrees
        return (self.degrees - 32.0) / 1.8
