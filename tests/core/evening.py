"""A dinner driven by hand, for tests of the core: a small kitchen, a present that is moved, all effects kept.

The plan and its timeline are written here, so that no solver is needed; `Replan` is answered with the same
times moved to where a test wants them, or left open.
"""

from __future__ import annotations

from collections import deque
from dataclasses import replace

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.dinner import begin, step
from kitchend.core.effects import Effect, EndDinner, Replan, Speak, WakeAt
from kitchend.core.events import (
    DinnerStarted,
    Event,
    PhraseHeard,
    SpeechEnded,
    TimelinePlanned,
    TimeReached,
)
from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, Plan, Step, StepId, Use
from kitchend.core.quantities import DurationRange, Temperature
from kitchend.core.state import DinnerState, Manners
from kitchend.core.steps import StepState
from kitchend.core.timeline import Planned, Timeline

SIX = WallTime(1_780_000_000.0 - 1_780_000_000 % 86_400 + 18 * 3600)
"""Six in the evening, UTC."""
START = Now(Instant(1000.0), SIX)
MINUTE = 60


def minutes(low: float, high: float | None = None) -> DurationRange:
    return DurationRange(low_s=round(low * 60), high_s=round((high or low) * 60))


def a_step(name: str, dish: str, takes: DurationRange, **more: object) -> Step:
    step_id = StepId(f"{dish}/{name.replace(' ', '-')}")
    return replace(Step(id=step_id, dish=DishId(dish), name=name, takes=takes), **more)  # type: ignore[arg-type]  # keyword facts of a Step


TRIM = a_step("trim the greens", "greens", minutes(6), hands_s=360, keeps_s=7200)
STEAM = a_step(
    "steam the greens",
    "greens",
    minutes(4),
    hands_s=60,
    uses=(Use(equipment=EquipmentId("steamer")),),
    after=(TRIM.id,),
)
ROAST = a_step(
    "roast the chicken",
    "chicken",
    minutes(20, 30),
    hands_s=120,
    until=Temperature(degrees=74),
    uses=(Use(equipment=EquipmentId("oven"), at=Temperature(degrees=200)),),
    raw="poultry",
    look_for="juices run clear",
)
BASTE = a_step("baste the chicken", "chicken", minutes(2), hands_s=120, during=ROAST.id, at_s=600)
REST = a_step("rest the chicken", "chicken", minutes(10), after=(ROAST.id,), keeps_s=1500)
CARVE = a_step("carve the chicken", "chicken", minutes(6), hands_s=360, after=(REST.id,))

PLAN = Plan(
    name="Tuesday supper",
    equipment=(
        Equipment(id=EquipmentId("oven"), name="oven", places=3, preheat_s=900),
        Equipment(id=EquipmentId("steamer"), name="steamer", places=2),
    ),
    dishes=(
        Dish(id=DishId("chicken"), name="chicken", also=("bird",), steps=(ROAST, BASTE, REST, CARVE)),
        Dish(id=DishId("greens"), name="greens", steps=(TRIM, STEAM)),
    ),
)

TIMES_MIN = {
    ROAST.id: (5, 35),
    BASTE.id: (15, 17),
    TRIM.id: (20, 26),
    REST.id: (35, 45),
    CARVE.id: (45, 51),
    STEAM.id: (56, 60),
}
"""Planned minutes after six; the pass is at seven."""
SEVEN = SIX + 3600


def timeline(times: dict[StepId, tuple[float, float]] | None = None, late_s: int = 0) -> Timeline:
    """A timeline with these minutes after six."""
    chosen = TIMES_MIN if times is None else times
    planned = tuple(
        Planned(step=step_id, start=SIX + low * 60, end=SIX + high * 60)
        for step_id, (low, high) in sorted(chosen.items(), key=lambda item: item[1])
    )
    return Timeline(serve=SEVEN, ready=SEVEN + late_s, late_by_s=late_s, planned=planned)


class Evening:
    """Feeds events to `step`, keeps what came of them. Speech ends `speech_s` after it begins."""

    def __init__(
        self, plan: Plan = PLAN, times: Timeline | None = None, manners: Manners | None = None
    ) -> None:
        self.now = START
        self.state: DinnerState = begin(manners)
        self.effects: list[Effect] = []
        self.said: list[str] = []
        self.replans = 0
        self.is_ended = False
        self.replies_to_replans = True
        self.timeline = times or timeline()
        self.wake: Instant | None = None
        self._queue: deque[Event] = deque()
        self.feed(DinnerStarted(plan=plan, serve=SEVEN, timeline=self.timeline))

    def feed(self, event: Event) -> tuple[Effect, ...]:
        """One event, and what its effects bring: speech that ends, a re-plan; every effect in order."""
        self._queue.append(event)
        all_effects: list[Effect] = []
        while self._queue:
            self.state, effects = step(self.state, self._queue.popleft(), self.now)
            all_effects.extend(effects)
            for effect in effects:
                self._carry_out(effect)
        self.effects.extend(all_effects)
        return tuple(all_effects)

    def _carry_out(self, effect: Effect) -> None:
        match effect:
            case Speak(utterance=utterance, text=text):
                self.said.append(text)
                self._queue.append(SpeechEnded(utterance=utterance))
            case Replan(revision=revision):
                self.replans += 1
                if self.replies_to_replans:
                    self._queue.append(TimelinePlanned(timeline=self.timeline, revision=revision))
            case WakeAt(instant=instant):
                self.wake = instant
            case EndDinner():
                self.is_ended = True

    def hear(self, text: str, **more: object) -> list[str]:
        """A phrase as in the answer window (typed, so that no address is needed); what was said back."""
        before = len(self.said)
        heard = PhraseHeard(text=text, started=self.now.instant, is_typed=True)
        self.feed(replace(heard, **more))  # type: ignore[arg-type]  # keyword facts of a PhraseHeard
        return self.said[before:]

    def at_minute(self, minute: float) -> list[str]:
        """Let time pass to so many minutes after six, waking whenever the core wished; what was said."""
        before = len(self.said)
        end = START.after(minute * 60)
        while self.wake is not None and self.wake.s <= end.instant.s:
            self.now = START.after(max(self.wake - START.instant, self.now.instant - START.instant))
            self.feed(TimeReached())
        self.now = end
        self.feed(TimeReached())
        return self.said[before:]

    def where(self, a: Step) -> StepState:
        return self.state.state_of(a.id)
