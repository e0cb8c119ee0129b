"""The made-up cook: listens to kitchend, attends to its calls and questions, says it again when not heard.

Decides what the cook attends to and what comes of an answer; the work itself is in `work`. The cook knows
what a cook in the room knows: the calls that were spoken, the replies, and the true state of the food. All
chance comes from one seeded generator, so one seed and the same answers give the same cook.
"""

from __future__ import annotations

import math
from dataclasses import replace
from random import Random
from typing import Final

from kitchend.core.clock import Instant, Now
from kitchend.core.effects import CallKind
from kitchend.core.plan import Step, StepId
from kitchend.core.progress import ANSWERABLE, steps_in
from kitchend.core.state import Asked, Call, DinnerState
from kitchend.core.steps import ENDED, StepState
from kitchend.rehearsal import wishes
from kitchend.rehearsal.agenda import Agenda, Errand, Scene
from kitchend.rehearsal.answering import answer_to
from kitchend.rehearsal.character import Character
from kitchend.rehearsal.musing import muse
from kitchend.rehearsal.wishes import Aim, Wish
from kitchend.rehearsal.work import Work
from kitchend.rehearsal.world import World

MOST_TRIES: Final = 3
"""After so many failures in a row the cook lets it be for a while."""

PATIENCE: Final = 9
"""After so many failures the cook gives up for good."""

LATER_S: Final = 60.0


class Cook:
    """One cook through one dinner. `agenda` holds what the cook means to say."""

    def __init__(self, character: Character, world: World, rng: Random) -> None:
        self.agenda = Agenda()
        self._character = character
        self._world = world
        self._rng = rng
        self._work = Work(self.agenda, character, world, rng)
        self._missed: dict[tuple[object, ...], bool] = {}
        self._ways: dict[tuple[object, ...], int] = {}
        self._failed: set[tuple[object, ...]] = set()

    def arrive(self, now: Now, pass_at: Instant) -> None:
        """The dinner has begun; what will come to mind in the course of it is laid out now."""
        if self._character.muses_every_s is not None:
            self._muse_after(now.instant)
        if self._character.moves_pass:
            at = now.instant + (pass_at - now.instant) * self._rng.uniform(0.25, 0.6)
            wish = wishes.moves_pass(self._rng.choice((5, 10, 15)))
            self.agenda.add(at, lambda scene: wish)

    def words_for(self, wish: Wish, tries: int) -> str:
        """The words for this try: plain or reworded at first, then the next other ones each time.

        Other words that once were not taken are left alone from then on, whatever step they are about.
        """
        kind = (wish.aim, wish.to)
        about = (*kind, wish.step)
        way = 0
        if tries:
            before = self._ways.get(about, 0)
            self._failed.add((*kind, before))
            way = (before + 1) % len(wish.ways)
        elif len(wish.ways) > 1 and self._rng.random() < self._character.rewords:
            way = self._rng.randrange(1, len(wish.ways))
            way = 0 if (*kind, way) in self._failed else way
        self._ways[about] = way
        return wish.ways[way]

    def listen(self, scene: Scene) -> None:
        """Kitchend has just spoken: attend to every call that is not in hand, and to its question."""
        self._world.learn(scene.state.steps, self._character.pace, self._rng)
        for call in (*scene.state.open_calls, *spoken_of(scene.state)):
            key = (call.step, call.timer, call.state)
            if not self.agenda.has(key) and not self._misses(call):
                self._attend(call, key, scene)
        for step in steps_in(scene.state, StepState.ON):
            self._work.notice(step, scene)
        if scene.state.asked is not None:
            self._answer(scene.state.asked, None, None, scene)

    def learn_of(
        self, errand: Errand, wish: Wish, *, right: bool, wrong: frozenset[StepId], scene: Scene
    ) -> None:
        """What the cook gathers from the answer, or from silence: was it `right`, what moved wrongly."""
        if wrong:
            self.agenda.add_before_all(scene.now.instant, lambda _: wishes.takes_back(wrong))
            self._again(errand, scene, after_s=10.0)
        elif scene.state.asked is not None and wish.aim is not Aim.CHAT:
            self._answer(scene.state.asked, wish, errand, scene)
        elif wish.aim is Aim.ANSWER:
            self._after_answer(errand, scene)
        elif is_reached(wish, scene.state) if wish.to is not None else right:
            self._go_on(errand, wish, scene)
        else:
            self._again(errand, scene)

    def _after_answer(self, errand: Errand, scene: Scene) -> None:
        """What led to the question has come true, or is to be said again."""
        if errand.of is None:
            return
        first, wish = errand.of
        if is_reached(wish, scene.state):
            self._go_on(first, wish, scene)
        else:
            self._again(first, scene)

    def _after_lapse(self, of: tuple[Errand, Wish] | None, scene: Scene) -> None:
        """The question is gone, for something else was said meanwhile: what led to it is to be said again.

        Of what moves no step, a reading say, nothing shows that it counted: it is said in the same words.
        """
        if of is None:
            return
        errand, wish = of
        if wish.to is None:
            self._again(replace(errand, make=lambda _: wish), scene)
        elif not is_reached(wish, scene.state):
            self._again(errand, scene)

    def _misses(self, call: Call) -> bool:
        """Whether the cook is out of the room for this call; decided once for each time it is called."""
        if call.at is None:
            return False
        key = (call.step, call.timer, call.state, call.again)
        if key not in self._missed:
            chance = self._character.walks_off / (1 + 2 * call.again)
            self._missed[key] = self._rng.random() < chance
        return self._missed[key]

    def _attend(self, call: Call, key: object, scene: Scene) -> None:
        at = scene.now.instant + self._rng.uniform(*self._character.answers_s)
        step = next((step for step in scene.state.steps if step.id == call.step), None)
        if step is None:
            self.agenda.add(at, lambda scene: _if_open(call, scene, wishes.acknowledged(None)), key=key)
        elif call.state is StepState.CALLED:
            self._work.start(step, at, key)
        elif call.state is StepState.UP:
            self._work.take_off(step, at, key, scene)

    def _muse_after(self, at: Instant) -> None:
        every_s = self._character.muses_every_s or math.inf
        self.agenda.add(at + 60.0 + self._rng.expovariate(1.0 / every_s), self._muse)

    def _muse(self, scene: Scene) -> Wish | None:
        self._muse_after(scene.now.instant)
        return muse(scene.state, self._rng, self._character.chatters)

    def _go_on(self, errand: Errand, wish: Wish, scene: Scene) -> None:
        """It got through. A cook who misspoke takes it back, and says it again when it is true."""
        if wish.aim is Aim.HOLD and wish.step is not None:
            self._carry_on_later(scene.state.step(wish.step), scene.now.instant)
        if wish.aim is not Aim.MOVE or self._rng.random() >= self._character.takes_back:
            return
        moved = frozenset(step for step, _ in wish.may)
        self.agenda.add_before_all(scene.now.instant, lambda _: wishes.takes_back(moved))
        self.agenda.add(scene.now.instant + self._rng.uniform(15.0, 40.0), errand.make, key=errand.key)

    def _carry_on_later(self, step: Step, at: Instant) -> None:
        def make(scene: Scene) -> Wish | None:
            is_held = scene.state.state_of(step.id) is StepState.HELD
            return wishes.carries_on(scene.state, step) if is_held else None

        self.agenda.add(at + self._rng.uniform(30.0, 90.0), make, key=("held", step.id))

    def _again(self, errand: Errand, scene: Scene, after_s: float = 3.0) -> None:
        tries = errand.tries + 1
        keeps_trying = tries < (PATIENCE if errand.key is not None else MOST_TRIES)
        if not keeps_trying:
            return
        wait_s = after_s + self._rng.uniform(0.0, 2.0) + (LATER_S if tries % MOST_TRIES == 0 else 0.0)
        self.agenda.add(scene.now.instant + wait_s, errand.make, key=errand.key, tries=tries)

    def _answer(self, asked: Asked, wish: Wish | None, errand: Errand | None, scene: Scene) -> None:
        key = ("answer", asked.text)
        if self.agenda.has(key):
            return

        of, tries = None if wish is None or errand is None else (errand, wish), 0
        if wish is not None and errand is not None and wish.aim is Aim.ANSWER:
            of, tries = errand.of, errand.tries + 1  # asked again: the answer was not understood
        meant = None if of is None else of[1]

        def make(scene: Scene) -> Wish | None:
            if scene.state.asked is None or scene.state.asked.text != asked.text:
                self._after_lapse(of, scene)
                return None
            return wishes.answers(answer_to(asked, meant, scene.state), meant)

        self.agenda.add(scene.now.instant + self._rng.uniform(2.0, 4.0), make, key=key, of=of, tries=tries)


def spoken_of(state: DinnerState) -> tuple[Call, ...]:
    """What was told and is not repeated: calls answered by "heard", and what a reading ended."""
    told = {call.step for call in (*state.open_calls, *state.waiting_calls)}
    waiting = [step for step in steps_in(state, *ANSWERABLE) if step.id not in told]
    return tuple(
        Call(kind=CallKind.NOW, text="", at=None, step=step.id, state=state.state_of(step.id))
        for step in waiting
    )


def is_reached(wish: Wish, state: DinnerState) -> bool:
    """Whether the step a wish is about stands where it was to go, or further."""
    if wish.step is None or wish.to is None:
        return True
    now = state.state_of(wish.step)
    further = {StepState.ON: {StepState.UP, StepState.HELD}}.get(wish.to, set())
    return now is wish.to or now in further or now in ENDED


def _if_open(call: Call, scene: Scene, wish: Wish) -> Wish | None:
    return wish if any(other.timer == call.timer for other in scene.state.open_calls) else None
