"""The ledger notices what must not happen: moves nobody spoke of, timers that ran out in silence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.effects import CallKind, Effect, Speak
from kitchend.core.events import Event, PhraseHeard, TimeReached
from kitchend.core.plan import Dish, DishId, Plan, Step, StepId
from kitchend.core.quantities import DurationRange, Temperature
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepRecord, StepState
from kitchend.core.timers import Timer, TimerId
from kitchend.rehearsal.ledger import Ledger
from kitchend.service.runner import Stepped

STEAM = Step(
    id=StepId("greens/steam"),
    dish=DishId("greens"),
    name="steam the greens",
    hands_s=60,
    takes=DurationRange(low_s=240, high_s=240),
)
REST = replace(STEAM, id=StepId("greens/rest"), name="rest the greens", hands_s=0, after=(STEAM.id,))
TOSS = replace(STEAM, id=StepId("greens/toss"), name="toss the greens", during=STEAM.id, at_s=60)
ROAST = replace(STEAM, id=StepId("greens/roast"), name="roast the greens", until=Temperature(degrees=74))
HEAT = replace(STEAM, id=StepId("oven/heat"), name="heat the oven", added=True)
PLAN = Plan(
    name="greens", dishes=(Dish(id=DishId("greens"), name="greens", steps=(STEAM, REST, TOSS, ROAST)),)
)
TIMER = Timer(id=TimerId("step:greens/steam"), name="steam the greens", due=Instant(300.0), step=STEAM.id)
EMPTY = DinnerState(plan=PLAN, added=(HEAT,))
PHRASE = PhraseHeard(text="greens are on", started=Instant(0.0))


def standing(step: Step, at: StepState) -> DinnerState:
    return replace(EMPTY, records={step.id: StepRecord(state=at)})


def stepped(
    event: Event, before: DinnerState, after: DinnerState, at: float = 0.0, *effects: Effect
) -> Stepped:
    now = Now(Instant(at), WallTime(at))
    return Stepped(event=event, now=now, before=before, state=after, effects=effects)


def said(text: str, kind: CallKind = CallKind.UP) -> Speak:
    return Speak(utterance=1, text=text, kind=kind)


BY_ITSELF = {
    "a step is called": (STEAM, StepState.CALLED),
    "a step's time runs out": (STEAM, StepState.UP),
    "a rest begins": (REST, StepState.ON),
    "a rest is over": (REST, StepState.DONE),
    "a reminder goes": (TOSS, StepState.DROPPED),
    "preheating is over": (HEAT, StepState.DONE),
}
NEVER_BY_ITSELF = {
    "a step goes on": (STEAM, StepState.ON),
    "a step is done": (STEAM, StepState.DONE),
    "a step is dropped": (STEAM, StepState.DROPPED),
    "a step is held": (STEAM, StepState.HELD),
    "preheating begins": (HEAT, StepState.ON),
    "a reminder is done": (TOSS, StepState.DONE),
    "what ends by a reading is up": (ROAST, StepState.UP),
}


@pytest.mark.parametrize(("step", "to"), BY_ITSELF.values(), ids=BY_ITSELF)
def test_what_time_does_needs_no_word(step: Step, to: StepState) -> None:
    ledger = Ledger()

    ledger.watch(stepped(TimeReached(), EMPTY, standing(step, to)))

    assert ledger.unsaid == []


@pytest.mark.parametrize(("step", "to"), NEVER_BY_ITSELF.values(), ids=NEVER_BY_ITSELF)
def test_what_only_a_cook_can_do_needs_one(step: Step, to: StepState) -> None:
    ledger = Ledger()

    ledger.watch(stepped(TimeReached(), EMPTY, standing(step, to)))

    assert [(move.step, move.now) for move in ledger.unsaid] == [(step.id, to)]
    assert str(ledger.unsaid[0]) == f"{step.id}: waiting to {to.value}"


def test_a_phrase_moves_what_the_cook_meant_and_nothing_else() -> None:
    ledger = Ledger(meant=frozenset({(STEAM.id, StepState.ON)}))
    both = {STEAM.id: StepRecord(state=StepState.ON), TOSS.id: StepRecord(state=StepState.DONE)}

    ledger.watch(stepped(PHRASE, EMPTY, replace(EMPTY, records=both)))

    assert [move.step for move in ledger.unsaid] == [TOSS.id]


def test_what_was_meant_does_not_excuse_what_time_does() -> None:
    ledger = Ledger(meant=frozenset({(STEAM.id, StepState.ON)}))

    ledger.watch(stepped(TimeReached(), EMPTY, standing(STEAM, StepState.ON)))

    assert [move.step for move in ledger.unsaid] == [STEAM.id]


RUNNING = replace(standing(STEAM, StepState.ON), timers=(TIMER,))
UP = standing(STEAM, StepState.UP)


def lost(*watched: Stepped, closed_at: float = 1000.0) -> list[str]:
    ledger = Ledger(meant=frozenset({(STEAM.id, StepState.ON), (STEAM.id, StepState.DONE)}))
    ledger.watch(stepped(PHRASE, EMPTY, RUNNING))
    for each in watched:
        ledger.watch(each)
    ledger.close(Instant(closed_at))
    return ledger.lost_timers


def test_a_timer_that_is_called_is_not_lost() -> None:
    assert lost(stepped(TimeReached(), RUNNING, UP, 300.0, said("Up: the greens."))) == []


LOST = {
    "nothing is said": (stepped(TimeReached(), RUNNING, UP, 300.0),),
    "something else is said": (stepped(TimeReached(), RUNNING, UP, 300.0, said("Up: the rice.")),),
    "it is said too late": (
        stepped(TimeReached(), RUNNING, UP, 300.0),
        stepped(TimeReached(), UP, UP, 400.0, said("Up: the greens.")),
    ),
    "it vanishes before its time": (stepped(TimeReached(), RUNNING, standing(STEAM, StepState.ON), 100.0),),
    "it was said before its time": (
        stepped(TimeReached(), RUNNING, RUNNING, 200.0, said("Steam the greens.")),
    ),
}


@pytest.mark.parametrize("watched", LOST.values(), ids=LOST)
def test_a_silent_timer_is_lost(watched: tuple[Stepped, ...]) -> None:
    assert lost(*watched) == ["steam the greens"]


def test_a_timer_stopped_by_the_cook_is_not_lost() -> None:
    assert lost(stepped(PHRASE, RUNNING, standing(STEAM, StepState.DONE), 200.0)) == []


def test_a_timer_given_more_time_is_due_later() -> None:
    longer = replace(RUNNING, timers=(TIMER.give(600.0),))

    assert lost(stepped(PHRASE, RUNNING, longer, 200.0), closed_at=900.0) == []
    assert lost(stepped(PHRASE, RUNNING, longer, 200.0), closed_at=1000.0) == ["steam the greens"]


def test_calls_and_replies_are_counted_apart() -> None:
    ledger = Ledger()

    for at, kind in (
        (0.0, CallKind.NOW),
        (100.0, CallKind.REPLY),
        (550.0, CallKind.UP),
        (700.0, CallKind.SOON),
    ):
        ledger.watch(stepped(TimeReached(), EMPTY, EMPTY, at, said("Hello.", kind)))

    assert (len(ledger.calls), ledger.replies, ledger.busiest()) == (3, 1, 2)
