"""What really happens in the kitchen, whatever kitchend believes: hands at work, pans cooking, meat warming.

Everything drawn at random is drawn once, when the world is made, so that one seed gives one world. The cook
begins and ends deeds here; nothing in here knows what was said or heard. Instants are running time, durations
seconds, temperatures in the scale the plan uses for that step.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from random import Random

from kitchend.core.clock import Instant
from kitchend.core.plan import Step, StepId
from kitchend.core.quantities import Temperature, in_scale

FRIDGE_C = 6.0
"""Where the inside of something put on to cook begins, in degrees Celsius."""

WARM_C = 65.0
"""... and something put aside to cool."""

STIRRED_C = 16.0
"""How far a thermometer must have moved before a cook reports it unasked, in degrees Celsius."""

LAG = 0.33
"""The share of the time in which the inside hardly warms: heat has not got there yet."""

DRIVE_C = 86.0
"""How much hotter than its target the surroundings are taken to be, in degrees Celsius.

With these two the curve stays within 4 C of the worked roast in Kreith's heat transfer textbook: a sphere of
1.5 kg from 20 C to 77 C in an oven at 163 C.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """How fast this kitchen is, as factors of what the plan says: hands work, and the range of a guess.

    `guess` picks from a range: 0 is its low end, 1 the high end, which kitchend plans with.
    """

    hands: tuple[float, float]
    guess: tuple[float, float]


STEADY_PACE = Pace(hands=(0.90, 0.97), guess=(0.75, 0.98))
HUMAN_PACE = Pace(hands=(0.90, 1.25), guess=(0.1, 1.15))


@dataclass(frozen=True, slots=True, kw_only=True)
class Nature:
    """How long one step really takes here: the cook's hands, and the whole of it (hands included)."""

    hands_s: float
    takes_s: float


Curve = Callable[[float], float]
"""A core in degrees Celsius after a share of the time it needs: at 0 it went on, at 1 it is there."""


@dataclass(slots=True)
class World:
    """The kitchen: what each step really takes, and when each was really begun and finished.

    `curves` are the cores that rise by a model; the others go by the stand-in. With a probe the cook reads
    nothing.
    """

    natures: dict[StepId, Nature]
    curves: Mapping[StepId, Curve] = field(default_factory=dict)
    has_probe: bool = False
    began: dict[StepId, Instant] = field(default_factory=dict)
    ended: dict[StepId, Instant] = field(default_factory=dict)
    hands: list[Instant] = field(default_factory=lambda: [Instant(0.0)])

    @property
    def hands_free(self) -> Instant:
        """From when a pair of hands is free."""
        return min(self.hands)

    def learn(self, steps: Iterable[Step], pace: Pace, rng: Random) -> None:
        """Draw the nature of steps not met before, such as those kitchend added."""
        for step in steps:
            if step.id not in self.natures:
                self.natures[step.id] = nature_of(step, pace, rng)

    def begin(self, step: Step, at: Instant) -> Instant:
        """Put the hands that are free first to a step; the instant at which they have done their part."""
        place = self.hands.index(self.hands_free)
        start = max(at, self.hands[place])
        self.began.setdefault(step.id, start)
        self.hands[place] = start + self.natures[step.id].hands_s
        return self.hands[place]

    def has_stirred(self, step: Step, at: Instant) -> bool:
        """Whether its thermometer has moved enough since it was begun to be worth a word."""
        if step.until is None or step.id not in self.began:
            return False
        shown = Temperature(degrees=self.reads(step, at), scale=step.until.scale)
        return abs(shown.celsius - start_c(step.until)) >= STIRRED_C

    def finish(self, step: Step, at: Instant) -> None:
        """The step is really done, as far as the cook is concerned."""
        self.began.setdefault(step.id, at)
        self.ended.setdefault(step.id, at)

    def ready_at(self, step: Step) -> Instant | None:
        """When a begun step is really ready; None before it was begun."""
        began = self.began.get(step.id)
        return None if began is None else began + self.natures[step.id].takes_s

    def core_c(self, step: Step, at: Instant) -> float:
        """The true core of a begun `until` step, in degrees Celsius. ValueError for any other."""
        began = self.began.get(step.id)
        if step.until is None or began is None:
            raise ValueError(f"{step.name} has no reading to give")
        share = (at - began) / self.natures[step.id].takes_s
        curve = self.curves.get(step.id)
        if curve is not None:
            return curve(share)
        return celsius_after(share, start_c(step.until), step.until.celsius)

    def reads(self, step: Step, at: Instant) -> int:
        """What a probe in a begun `until` step shows, in whole degrees of the plan's scale.

        It shows the target from the moment the step is really ready, and less (or, cooling, more) before it.
        ValueError for a step that does not end by a reading, or is not begun.
        """
        began = self.began.get(step.id)
        if step.until is None or began is None:
            raise ValueError(f"{step.name} has no reading to give")
        target = step.until.degrees
        share = (at - began) / self.natures[step.id].takes_s
        is_warming = start_c(step.until) <= step.until.celsius
        if share >= 1.0:
            return math.ceil(target) if is_warming else math.floor(target)
        here = in_scale(self.core_c(step, at), step.until.scale)
        if is_warming:
            return min(math.floor(here), math.ceil(target) - 1)
        return max(math.ceil(here), math.floor(target) + 1)


def nature_of(step: Step, pace: Pace, rng: Random) -> Nature:
    """Draw what a step really takes. A fixed time is a timer's business and is what the plan says."""
    low, high = step.takes.low_s, step.takes.high_s
    hands = step.hands_s * rng.uniform(*pace.hands)
    drawn = low + (high - low) * rng.uniform(*pace.guess)
    if step.is_hands_only:
        return Nature(hands_s=hands, takes_s=hands)
    return Nature(hands_s=hands, takes_s=max(drawn, hands + 1.0))


def start_c(until: Temperature) -> float:
    """Where the inside begins, in degrees Celsius: cold, or warm when it is to be cooled."""
    return FRIDGE_C if until.celsius > FRIDGE_C + 10.0 else WARM_C


def celsius_after(share: float, start: float, target: float) -> float:
    """What the inside has come to after this share of the time that it needs from start to target.

    A lag, then the exponential approach of the one-term solution of heat conduction, arriving on time.
    """
    if share <= LAG:
        return start
    pull = abs(target - start) / (abs(target - start) + DRIVE_C)
    rate = -math.log1p(-pull)
    return start + (target - start) * (1.0 - math.exp(-rate * (share - LAG) / (1.0 - LAG))) / pull
