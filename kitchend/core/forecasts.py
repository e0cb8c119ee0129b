"""What is expected of a core that ends a step by reading: plain data, made outside, kept in the state.

Moments are instants of running time, None where nothing is promised. Nothing is worked out here, and nothing
decided.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from kitchend.core.clock import Instant
from kitchend.core.plan import StepId


class Outlook(Enum):
    """What can be said of a core."""

    CANNOT_TELL = "cannot tell yet"
    RISING = "rising"
    PLATEAU = "plateau"
    REACHED = "reached"
    OUT_OF_REACH = "out of reach"


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """When a step is to come off, from the readings up to `at`.

    `low` to `high` is an 80 % range round `middle`. They are about the target, or, where the plan's number is
    for the table, about `pull_c`, from which resting alone brings the target. `carry_c` is what resting adds.
    """

    step: StepId
    outlook: Outlook
    at: Instant
    low: Instant | None = None
    middle: Instant | None = None
    high: Instant | None = None
    pull_c: float | None = None
    carry_c: float | None = None

    @property
    def give_or_take_s(self) -> float:
        """Half the range; 0 without one."""
        return 0.0 if self.low is None or self.high is None else 0.5 * (self.high - self.low)


@dataclass(frozen=True, slots=True, kw_only=True)
class Owed:
    """A reading the cook told, in the plan's degrees, whose answer waits for the forecast."""

    step: StepId
    degrees: float
    at: Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """The last reading of a thing that could not be, so many in a row by now, the first of them `since`."""

    of: str
    celsius: float
    at: Instant
    since: Instant
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Probe:
    """A thermometer that gives readings of a thing by itself: when it last did, and its usual pause.

    `every_s` is None after the first reading; `count` goes as far as anybody needs it.
    """

    of: str
    at: Instant
    every_s: float | None = None
    count: int = 1
    is_silent: bool = False
