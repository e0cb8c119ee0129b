"""How long an uncertain step may really take: a log-normal distribution read off its range.

A range is what a cook is fairly sure of, not the least and the most there is. `takes: 70 to 85 min` is the
central 90 % of what may happen; where a reading ends the step, the central 80 %. Log-normal, because what
makes a roast slow (its weight, a cold start, a weak oven) multiplies: skewed, long on the late side, never
below zero. One time before a reading is within a tenth of it, four times in five: a physical model of
roasting is off by 4 % on the average (Goni and Salvadori, J. Food Eng. 100 (2010) 1-11). Other times are
certain.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

from kitchend.core.plan import Step

RANGE_Z = NormalDist().inv_cdf(0.95)
"""Half the width of a plain range in standard deviations: its ends are the 5 % and 95 % points."""
READING_Z = NormalDist().inv_cdf(0.90)
"""The same for what ends by a reading: its ends are the 10 % and 90 % points."""
READING_ALONE = 1.1
"""A single time before a reading is taken as a range: from it divided by this to it times this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """A log-normal length: its middle is as often too long as too short; `sigma` is the log's spread."""

    middle_s: float
    sigma: float

    def at(self, z: float) -> float:
        """The length so many standard deviations of the logarithm from the middle, in seconds."""
        return self.middle_s * math.exp(z * self.sigma)

    def z_of(self, length_s: float) -> float:
        """The inverse of `at`; minus infinity for no time at all."""
        return math.log(length_s / self.middle_s) / self.sigma if length_s > 0 else -math.inf

    @property
    def deviation_s(self) -> float:
        """How far one standard deviation is on the late side, in seconds."""
        return self.at(1.0) - self.middle_s


def spread_of(step: Step) -> Spread | None:
    """The spread of what a step takes; None for a step that takes what it says."""
    low, high = float(step.takes.low_s), float(step.takes.high_s)
    if high <= 0 or step.is_hands_only or step.added or step.during is not None:
        return None
    if step.until is not None:
        if not step.takes.is_guess:
            low, high = low / READING_ALONE, high * READING_ALONE
        return _between(low, high, READING_Z)
    return _between(low, high, RANGE_Z) if step.takes.is_guess else None


def _between(low: float, high: float, z: float) -> Spread:
    low = max(low, high / 20, 1.0)
    return Spread(middle_s=math.sqrt(low * high), sigma=math.log(high / low) / (2 * z))
