"""What the made-up cook does about a call: puts hands to it in the world, and means to speak of it.

Decides when hands are put to a step, when it is spoken of and when a thermometer is looked at. What is said
is made at the moment of speaking, so that nothing is told that is so no longer. Chance comes from the cook's
own.
"""

from __future__ import annotations

import math
from random import Random
from typing import Final

from kitchend.core.clock import Instant
from kitchend.core.plan import Step, StepId
from kitchend.core.steps import ENDED, StepState
from kitchend.rehearsal import wishes
from kitchend.rehearsal.agenda import Agenda, Make, Scene
from kitchend.rehearsal.character import Character
from kitchend.rehearsal.ledger import needs_nobody
from kitchend.rehearsal.wishes import Wish
from kitchend.rehearsal.world import World

LONG_HANDS_S: Final = 20.0
"""Work longer than this is acknowledged before it is done, so that kitchend need not call it again."""

READ_AGAIN_S: Final = 150.0
"""A reading not asked for is left out this soon after the one before."""

READY_SOON_S: Final = 30.0
"""What will be ready within this is taken for ready."""


class Work:
    """The cook's hands and eyes."""

    def __init__(self, agenda: Agenda, character: Character, world: World, rng: Random) -> None:
        self._agenda = agenda
        self._character = character
        self._world = world
        self._rng = rng
        self._looked: set[tuple[object, ...]] = set()
        self._shown: dict[StepId, tuple[int, Instant]] = {}

    def start(self, step: Step, at: Instant, key: object) -> None:
        """Do the hands' part as soon as hands are free, and say so."""
        if step.id in self._world.began:
            done = step.is_hands_only
            self._agenda.add(at, self._done(step) if done else self._on(step), key=key)
            return
        begins = max(at, self._world.hands_free)
        free = self._world.begin(step, begins)
        if begins > at or (free - at > LONG_HANDS_S and not step.is_hands_only):
            self._agenda.add(at, lambda scene: _if_unheard(step, scene, wishes.acknowledged(step)))
        if step.is_hands_only and free - begins > LONG_HANDS_S:
            self._agenda.add(
                begins, lambda scene: _if_still(StepState.CALLED, step, scene, wishes.begin_hands(step))
            )
        if step.is_hands_only:
            self._agenda.add(free, self._done(step), key=key)
            return
        self._agenda.add(free, self._on(step), key=key)
        if step.until is not None and not self._world.has_probe:
            self._plan_readings(step, free)

    def _plan_readings(self, step: Step, on_at: Instant) -> None:
        """Look at the thermometer every so often, and when it has got there."""
        ready = self._world.ready_at(step)
        if ready is None:
            return
        at = on_at + self._character.reads_every_s
        while at < ready - 120.0:
            self._agenda.add(at, self._reading(step))
            at += self._character.reads_every_s * self._rng.uniform(0.8, 1.2)
        self._agenda.add(ready + self._rng.uniform(*self._character.answers_s), self._reading(step))

    def take_off(self, step: Step, at: Instant, key: object, scene: Scene) -> None:
        """Its time is up: it is done, or it is given more time."""
        ready = self._world.ready_at(step)
        short_s = 0.0 if ready is None else ready - scene.now.instant
        looks_raw = step.until is None and self._rng.random() < self._character.gives_time
        if looks_raw or (step.until is None and short_s > READY_SOON_S):
            minutes = max(math.ceil(short_s / 60), self._rng.randint(1, 3))
            wish = wishes.gives(scene.state, step, minutes)
            self._agenda.add(at, lambda scene: _if_still(StepState.UP, step, scene, wish), key=key)
        else:
            self._agenda.add(at, self._done(step), key=key)

    def notice(self, step: Step, scene: Scene) -> None:
        """What went on by itself is begun in the world too; what kitchend asked to look at is looked at."""
        record = scene.state.record_of(step.id)
        if step.id not in self._world.began and record.on_at is not None and needs_nobody(step):
            self._world.begin(step, record.on_at)
        look = (step.id, record.checks, record.on_at)
        is_probes = step.until is not None and self._world.has_probe
        if record.checks == 0 or look in self._looked or is_probes:
            return
        self._looked.add(look)
        at = scene.now.instant + self._rng.uniform(*self._character.answers_s)
        ready = self._world.ready_at(step)
        if step.until is not None:
            self._agenda.add(at, self._reading(step, was_asked=True))
        elif ready is not None and ready <= at + READY_SOON_S:
            self._agenda.add(at, self._done(step), key=look)

    def _on(self, step: Step) -> Make:
        return lambda scene: _unless(
            StepState.ON,
            StepState.UP,
            StepState.HELD,
            step=step,
            scene=scene,
            wish=wishes.put_on(scene.state, step),
        )

    def _done(self, step: Step) -> Make:
        def make(scene: Scene) -> Wish | None:
            self._world.finish(step, scene.now.instant)
            return _unless(step=step, scene=scene, wish=wishes.finished(scene.state, step))

        return make

    def _reading(self, step: Step, *, was_asked: bool = False) -> Make:
        """The thermometer's word, unless it was given a moment ago and has nothing new to say."""

        def make(scene: Scene) -> Wish | None:
            if scene.state.state_of(step.id) is not StepState.ON or step.id not in self._world.began:
                return None
            shown, at = self._world.reads(step, scene.now.instant), scene.now.instant
            if not was_asked and not self._world.has_stirred(step, at):
                return None
            before = self._shown.get(step.id)
            if not was_asked and before is not None and (before[0] == shown or at - before[1] < READ_AGAIN_S):
                ready = self._world.ready_at(step)
                if ready is None or at < ready or before[0] == shown:
                    return None
            self._shown[step.id] = (shown, at)
            return wishes.reads(scene.state, step, shown)

        return make


def _if_unheard(step: Step, scene: Scene, wish: Wish) -> Wish | None:
    is_heard = scene.state.record_of(step.id).is_heard
    return None if is_heard else _if_still(StepState.CALLED, step, scene, wish)


def _if_still(there: StepState, step: Step, scene: Scene, wish: Wish) -> Wish | None:
    return wish if scene.state.state_of(step.id) is there else None


def _unless(*there: StepState, step: Step, scene: Scene, wish: Wish) -> Wish | None:
    now = scene.state.state_of(step.id)
    return None if now in there or now in ENDED else wish
