"""A whole evening through the real core and the real planner, with a cook who answers.

Every re-plan the core asks for is made by `plan_rest` and given back. Speech takes no time, phrases are
typed.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable

from kitchend.core.clock import Instant, Now
from kitchend.core.dinner import begin
from kitchend.core.dinner import step as live
from kitchend.core.effects import EndDinner, Replan, Speak, WakeAt
from kitchend.core.events import DinnerStarted, Event, PhraseHeard, SpeechEnded, TimelinePlanned, TimeReached
from kitchend.core.plan import Plan, Step, StepId
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.planning import PlanningSettings, plan_dinner, plan_rest
from tests.planning.checker import Kitchen, Stay
from tests.planning.dinners import NOW

USUAL = PlanningSettings()
Look = Callable[["Evening"], None]


class Played:
    """The real core with the real planner behind it: whatever plan the core asks for is made at once."""

    def __init__(self) -> None:
        self.now = NOW
        self.state: DinnerState = begin()
        self.said: list[str] = []
        self.replans = 0
        self.is_served = False
        self.wake: Instant | None = None

    def feed(self, event: Event) -> None:
        queue = deque([event])
        while queue:
            self.state, effects = live(self.state, queue.popleft(), self.now)
            for effect in effects:
                match effect:
                    case Speak(utterance=utterance, text=text):
                        self.said.append(text)
                        queue.append(SpeechEnded(utterance=utterance))
                    case Replan(revision=revision):
                        self.replans += 1
                        timeline = plan_rest(self.state, now=self.now)
                        queue.append(TimelinePlanned(timeline=timeline, revision=revision))
                    case WakeAt(instant=instant):
                        self.wake = instant
                    case EndDinner():
                        self.is_served = True
            self._look()

    def _look(self) -> None:
        """Called after every event, while the dinner's state is still there."""

    def hear(self, text: str) -> None:
        self.feed(PhraseHeard(text=text, started=self.now.instant, is_typed=True))


class Evening(Played):
    """Feeds events to the core until the dinner is served. The cook answers after `answer_s`.

    What is a guess is there at its low end, and `readings_late_s` later.
    """

    def __init__(self, plan: Plan, *, serve_s: float, answer_s: float = 8.0) -> None:
        super().__init__()
        self.plan = plan
        self.readings_late_s = 0
        self._answer_s = answer_s
        self._tried: dict[StepId, Instant] = {}
        serve = NOW.wall + serve_s
        self.feed(DinnerStarted(plan=plan, serve=serve, timeline=plan_dinner(plan, now=NOW, serve=serve)))

    def minute(self) -> None:
        """A minute goes by; the cook answers what asks for an answer."""
        end = self.now.instant + 60
        while self.now.instant < end and not self.is_served:
            asking = self._asking()
            wake = max(self.wake or end, self.now.instant + 0.05)
            moment = min([end, wake, *asking.values()])
            self.now = self.now.after(max(0.0, moment - self.now.instant))
            self.feed(TimeReached())
            for step_id in [step for step, due in asking.items() if due <= self.now.instant]:
                self._tried[step_id] = self.now.instant
                is_read = self.state.state_of(step_id) is StepState.ON
                self.hear(self.state.step(step_id).name + " done" * is_read)

    def live(self, look: Look, *, minutes: int = 900) -> Evening:
        """Until the dinner is served; `look` sees every minute."""
        for _ in range(minutes):
            self.minute()
            if self.is_served:
                return self
            look(self)
        raise AssertionError(f"not served after {minutes} minutes: {self.state.records}")

    def kitchen(self) -> Kitchen:
        """The rest of the dinner as the planner has it now, to be checked."""
        over = self._in(StepState.DONE, StepState.DROPPED)
        going = self._in(StepState.CALLED, StepState.ON, StepState.HELD, StepState.UP)
        return Kitchen(
            plan=self.plan,
            timeline=plan_rest(self.state, now=self.now),
            now=self.now,
            settings=USUAL,
            going=going,
            over=over,
            past=past_of(self.state, self.now),
        )

    def _in(self, *states: StepState) -> frozenset[StepId]:
        return frozenset(step.id for step in self.state.steps if self.state.state_of(step.id) in states)

    def _asking(self) -> dict[StepId, Instant]:
        """When the cook will say which step's name; a minute later again if it did not move."""
        found: dict[StepId, Instant] = {}
        for step in self.state.steps:
            since = self._since(step)
            if since is not None:
                again = self._tried.get(step.id)
                due = since + self._answer_s
                found[step.id] = due if again is None or again < since else again + 60
        return found

    def _since(self, step: Step) -> Instant | None:
        """Since when the step waits for a word; hands and readings are taken to end as planned."""
        record = self.state.record_of(step.id)
        is_guessed = step.until is not None or step.takes.is_guess
        match record.state:
            case StepState.CALLED:
                return record.called_at
            case StepState.UP:
                return record.up_at
            case StepState.ON if step.is_hands_only and record.on_at is not None:
                return record.on_at + step.hands_s
            case StepState.ON if is_guessed and record.on_at is not None:
                return record.on_at + step.takes.low_s + self.readings_late_s
        return None


def past_of(state: DinnerState, now: Now) -> tuple[Stay, ...]:
    """What was in an oven, or heated it, and is over; what was dropped without having begun never was."""
    found = []
    for step in state.steps:
        record = state.record_of(step.id)
        began = record.called_at if step.added else record.on_at
        if record.ended_at is not None and began is not None:
            start, end = now.wall_of(began), now.wall_of(record.ended_at)
            found.append(Stay(step, start.epoch_s, end.epoch_s, is_going=True))
    return tuple(found)
