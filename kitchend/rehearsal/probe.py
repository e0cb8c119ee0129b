"""A made-up probe: it sits in what ends by reading and sends what it reads, noise and all.

Knows the world and nothing of kitchend but which steps it takes for on. It sends on its own time, whoever
is speaking.
"""

from __future__ import annotations

from random import Random

from kitchend.core.clock import Instant
from kitchend.core.events import ReadingTaken
from kitchend.core.plan import Step
from kitchend.core.progress import steps_in
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.rehearsal.world import World, start_c

NOISE_C = 0.5
"""One standard deviation of a kitchen probe."""


class Probe:
    """Reads every core that warms, every `every_s` seconds."""

    def __init__(self, world: World, every_s: float, rng: Random) -> None:
        self._world = world
        self._every_s = every_s
        self._rng = rng
        self._sent: Instant | None = None

    def next_at(self, state: DinnerState, now: Instant) -> Instant | None:
        """When it sends next; None while it sits in nothing."""
        if not self._cores(state):
            return None
        return now if self._sent is None else max(now, self._sent + self._every_s)

    def send(self, state: DinnerState, now: Instant) -> tuple[ReadingTaken, ...]:
        """What it reads now of each core it is in."""
        self._sent = now
        return tuple(
            ReadingTaken(of=step.id, celsius=self._world.core_c(step, now) + self._rng.gauss(0.0, NOISE_C))
            for step in self._cores(state)
        )

    def _cores(self, state: DinnerState) -> list[Step]:
        return [
            step
            for step in steps_in(state, StepState.ON)
            if step.until is not None
            and step.id in self._world.began
            and start_c(step.until) < step.until.celsius
        ]
