"""What holds for every dinner, whatever the cook says and whenever the clock ticks."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from kitchend.core.calls import still_matters
from kitchend.core.clock import Now
from kitchend.core.dinner import begin, step
from kitchend.core.effects import CallKind, Effect, Replan, Speak, StopSpeaking
from kitchend.core.events import (
    DinnerStarted,
    Event,
    Mishap,
    MishapNoticed,
    PhraseHeard,
    SpeechEnded,
    TimelinePlanned,
    TimeReached,
)
from kitchend.core.intents import understand
from kitchend.core.plan import Dish, DishId, EquipmentId, Plan, Step, StepId, Use
from kitchend.core.quantities import Temperature
from kitchend.core.repeats import RUSH_TOGETHER_S
from kitchend.core.rests import looks_after_itself
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timeline import Timeline
from tests.core.evening import PLAN, SEVEN, START, STEAM, TIMES_MIN, Evening, timeline

SAID = (
    "heard",
    "chicken is in",
    "chicken basted",
    "chicken done",
    "chicken",
    "greens",
    "greens trimmed",
    "greens are on",
    "greens done",
    "it's done",
    "five more minutes on the greens",
    "take two minutes off the chicken",
    "hold the greens",
    "carry on with the greens",
    "drop the greens",
    "drop the chicken",
    "yes",
    "no",
    "the first one",
    "undo that",
    "quiet",
    "say again",
    "the chicken is at seventy five",
    "the chicken is at sixty",
    "time the eggs for nine minutes",
    "remind me in ten minutes to turn the bread",
    "serve fifteen minutes later",
    "what's next",
    "carve the chicken",
    "rest the chicken",
    "the oven reads two hundred",
)
acts = st.lists(st.tuples(st.integers(0, 400), st.sampled_from(SAID)), max_size=25)


BUNS = replace(
    STEAM, id=StepId("buns/steam"), dish=DishId("buns"), name="steam the buns", after=(), keeps_s=600
)
TART = replace(
    BUNS,
    id=StepId("tart/bake"),
    dish=DishId("tart"),
    name="bake the tart",
    uses=(Use(equipment=EquipmentId("oven"), at=Temperature(degrees=160)),),
)
COOL = replace(TART, id=StepId("tart/cool"), name="cool the tart", uses=(), hands_s=0, after=(TART.id,))
TURN = replace(TART, id=StepId("oven/turn"), dish=DishId("oven"), name="turn the oven to 160", added=True)
CROWDED = replace(
    PLAN,
    equipment=tuple(replace(one, places=1) for one in PLAN.equipment),
    dishes=(
        *PLAN.dishes,
        Dish(id=DishId("buns"), name="buns", steps=(BUNS,)),
        Dish(id=DishId("tart"), name="tart", steps=(TART, COOL)),
    ),
)
CROWDED_TIMES = replace(
    timeline(
        {
            **TIMES_MIN,
            TURN.id: (34, 38),
            TART.id: (38, 42),
            COOL.id: (44, 48),
            BUNS.id: (26, 30),
            STEAM.id: (30, 34),
        }
    ),
    added=(TURN,),
)
"""A kitchen with one place of everything, where what runs over is in the way of what comes next."""
CROWD = (
    "buns",
    "buns done",
    "tart",
    "tart baked",
    "oven is on",
    "five more minutes on the buns",
    "hold the tart",
)
crowded_acts = st.lists(st.tuples(st.integers(0, 400), st.sampled_from(SAID + CROWD)), max_size=25)


class Watched:
    """A dinner whose every event, present and effect is kept, speech taking `speech_s`."""

    def __init__(self, plan: Plan = PLAN, times: Timeline | None = None, speech_s: float = 2.0) -> None:
        self.speech_s = speech_s
        self.timeline = times or timeline()
        self.now = START
        self.state: DinnerState = begin()
        self.kept: list[tuple[Event, Now]] = []
        self.states: list[DinnerState] = [self.state]
        self.spoken: list[str] = []
        self.ends: list[tuple[float, int]] = []
        self.wake: float | None = None
        self.feed(DinnerStarted(plan=plan, serve=SEVEN, timeline=self.timeline))

    def feed(self, event: Event) -> None:
        self.kept.append((event, self.now))
        self.state, effects = step(self.state, event, self.now)
        self.states.append(self.state)
        for effect in effects:
            self._carry_out(effect)

    def _carry_out(self, effect: Effect) -> None:
        match effect:
            case Speak(utterance=number, text=text):
                assert not self.ends, "two utterances overlap"
                self.spoken.append(text)
                self.ends.append((self.now.instant.s + self.speech_s, number))
            case StopSpeaking(utterance=number):
                self.ends = [(self.now.instant.s, number)]
            case Replan(revision=revision):
                self.feed(TimelinePlanned(timeline=self.timeline, revision=revision))
            case _:
                self.wake = getattr(effect, "instant", None) and effect.instant.s  # type: ignore[union-attr]  # only WakeAt has it

    def wait(self, seconds: float, *, tick_s: float | None = None) -> None:
        """Let time pass: speech ends and wakes come when they are due, and ticks in between if wished."""
        end = self.now.instant.s + seconds
        most = len(self.kept) + 20_000
        while (moment := self._next(end, tick_s)) is not None:
            assert len(self.kept) < most, f"it wishes to be woken over and over at {moment}"
            self.now = self.now.after(max(0.0, moment - self.now.instant.s))
            if self.ends and self.ends[0][0] <= self.now.instant.s:
                self.feed(SpeechEnded(utterance=self.ends.pop(0)[1]))
            else:
                self.feed(TimeReached())
        self.now = self.now.after(end - self.now.instant.s)

    def _next(self, end: float, tick_s: float | None) -> float | None:
        moments = [self.ends[0][0]] if self.ends else []
        moments += [self.wake] if self.wake is not None else []
        moments += [self.now.instant.s + tick_s] if tick_s else []
        return min((moment for moment in moments if moment <= end), default=None)

    def say(self, text: str) -> None:
        self.feed(PhraseHeard(text=text, started=self.now.instant, is_typed=True))


def lived(
    script: Sequence[tuple[int, str]], tick_s: float | None = None, *, is_crowded: bool = False
) -> Watched:
    """A dinner in which the cook waits and speaks as the script says."""
    watched = Watched(CROWDED, CROWDED_TIMES) if is_crowded else Watched()
    for pause, text in script:
        watched.wait(pause, tick_s=tick_s)
        watched.say(text)
    watched.wait(90 * 60, tick_s=tick_s)
    return watched


@settings(max_examples=30, deadline=None)
@given(script=acts)
@example(script=[(0, "chicken basted"), (99, "heard"), (400, "chicken is in")])  # away within the warning
def test_extra_ticks_change_neither_what_is_said_nor_where_things_stand(
    script: list[tuple[int, str]],
) -> None:
    few, many = lived(script), lived(script, tick_s=29)
    assert few.spoken == many.spoken
    assert few.state.records == many.state.records


@settings(max_examples=30, deadline=None)
@given(script=acts)
def test_replaying_the_events_gives_an_equal_state(script: list[tuple[int, str]]) -> None:
    watched = lived(script)
    state = begin()
    for event, now in watched.kept:
        state, _ = step(state, event, now)
    assert state == watched.state


@settings(max_examples=30, deadline=None)
@given(script=acts)
def test_no_step_starts_before_all_it_waits_for(script: list[tuple[int, str]]) -> None:
    watched = lived(script)
    for before, after in zip(watched.states, watched.states[1:], strict=False):
        for a_step in PLAN.steps:
            started = (
                before.state_of(a_step.id) is not StepState.ON and after.state_of(a_step.id) is StepState.ON
            )
            is_new = before.state_of(a_step.id) in (StepState.WAITING, StepState.CALLED)
            if started and is_new and after.plan is not None:
                assert all(after.record_of(first).has_ended for first in a_step.after), a_step.name


@settings(max_examples=30, deadline=None)
@given(script=acts)
def test_a_step_is_called_only_when_what_it_waits_for_is_over(script: list[tuple[int, str]]) -> None:
    watched = lived(script)
    for before, after in zip(watched.states, watched.states[1:], strict=False):
        for a_step in PLAN.steps:
            if (
                before.state_of(a_step.id) is StepState.WAITING
                and after.state_of(a_step.id) is StepState.CALLED
            ):
                left = [PLAN.step(first) for first in a_step.after if not after.record_of(first).has_ended]
                if not any(isinstance(event, PhraseHeard) for event, _ in watched.kept[-1:]):
                    assert all(looks_after_itself(first) for first in left), a_step.name


@settings(max_examples=30, deadline=None)
@given(script=crowded_acts)
def test_time_calls_nothing_for_which_there_is_no_room_or_another_heat(script: list[tuple[int, str]]) -> None:
    watched = lived(script, is_crowded=True)
    for (_, _), before, after in zip(watched.kept, watched.states, watched.states[1:], strict=False):
        for one in after.steps if before.plan is after.plan else ():
            is_called = after.state_of(one.id) is StepState.CALLED
            if is_called and before.state_of(one.id) is StepState.WAITING:
                there = [
                    other for other in after.steps if after.state_of(other.id) in IN_PLACE and other.uses
                ]
                assert not any(_collide(one, other) for other in there), one.name


IN_PLACE = (StepState.ON, StepState.HELD, StepState.UP)


def _collide(one: Step, other: Step) -> bool:
    """Whether both need the only place of something, or an oven at heats further apart than ten degrees."""
    shared = [(a, b) for a in one.uses for b in other.uses if a.equipment == b.equipment]
    heats = [(a.at.celsius, b.at.celsius) for a, b in shared if a.at and b.at]
    is_full = any(shared) and not (one.added or other.added)
    return is_full or (any(abs(a - b) > 10 for a, b in heats) and not other.added)


@settings(max_examples=8, deadline=None)
@given(script=crowded_acts)
def test_extra_ticks_change_nothing_in_a_crowded_kitchen_either(script: list[tuple[int, str]]) -> None:
    few, many = lived(script, is_crowded=True), lived(script, tick_s=29, is_crowded=True)
    assert few.spoken == many.spoken
    assert few.state.records == many.state.records


@settings(max_examples=30, deadline=None)
@given(script=crowded_acts)
def test_a_rest_is_on_as_soon_as_what_it_follows_is_over_and_never_before(
    script: list[tuple[int, str]],
) -> None:
    for state in lived(script, is_crowded=True).states:
        if state.plan is not None and state.state_of(COOL.id) in (StepState.ON, StepState.UP):
            ended, on = state.record_of(TART.id).ended_at, state.record_of(COOL.id).on_at
            assert ended is not None
            assert on is not None
            assert on.s >= ended.s


@settings(max_examples=30, deadline=None)
@given(script=acts)
def test_a_timer_belongs_to_each_timed_step_that_is_on_and_to_no_other(script: list[tuple[int, str]]) -> None:
    for state in lived(script).states:
        if state.plan is None:
            continue
        owners = {timer.step for timer in state.timers if timer.step is not None}
        clocked = {
            a_step.id
            for a_step in state.steps
            if state.state_of(a_step.id) in (StepState.ON, StepState.HELD) and not a_step.is_hands_only
        }
        assert owners == clocked


@settings(max_examples=30, deadline=None)
@given(script=acts)
@example(script=[(0, "greens trimmed"), (360, "greens are on")])  # the greens are up with the eggs
def test_every_own_timer_that_runs_out_is_called(script: list[tuple[int, str]]) -> None:
    quiet = [(pause, text) for pause, text in script if text not in ("quiet", "undo that", "heard")]
    watched = lived([(0, "time the eggs for nine minutes"), *quiet])
    called = re.compile(r"Eggs: time is up\.|Up: [^.]*\bthe eggs\b")
    assert any(called.search(text) for text in watched.spoken)


@settings(max_examples=100, deadline=None)
@given(text=st.text(max_size=60))
def test_any_text_is_taken_without_an_exception(text: str) -> None:
    evening = Evening()
    understand(text, evening.state)
    evening.hear(text)


@settings(max_examples=30, deadline=None)
@given(script=acts)
def test_speech_that_never_worked_loses_no_call(script: list[tuple[int, str]]) -> None:
    watched = lived(script)
    assert all(text.strip() for text in watched.spoken)
    assert watched.state.waiting_calls == ()


MISHAPS = (Mishap.NOT_KEPT, Mishap.CANNOT_HEAR, Mishap.DAMAGED, Mishap.KEPT_AGAIN)
troubled = st.lists(
    st.tuples(st.integers(0, 400), st.sampled_from((*SAID, *MISHAPS)), st.integers(0, 3)), max_size=15
)


def with_mishaps(script: Sequence[tuple[int, str | Mishap, int]]) -> Watched:
    """A dinner in which things go wrong with kitchend as well, often while it speaks."""
    watched = Watched(speech_s=4.0)
    for pause, what, after_s in script:
        watched.wait(pause)
        if isinstance(what, Mishap):
            watched.say("what's on")
            watched.wait(after_s)
            watched.feed(MishapNoticed(mishap=what))
        else:
            watched.say(what)
    watched.wait(90 * 60)
    return watched


@settings(max_examples=30, deadline=None)
@given(script=troubled)
def test_careful_is_never_behind_another_kind(script: list[tuple[int, str | Mishap, int]]) -> None:
    """Where it waits, whatever else is being said is broken off, and it comes with the next utterance."""
    for state in with_mishaps(script).states:
        if not any(call.kind is CallKind.CAREFUL for call in state.waiting_calls):
            continue
        is_careful = any(call.kind is CallKind.CAREFUL for call in state.saying)
        assert state.speaking is not None
        assert is_careful or state.broken_off == state.speaking


@settings(max_examples=30, deadline=None)
@given(script=troubled)
def test_what_was_broken_off_is_not_lost(script: list[tuple[int, str | Mishap, int]]) -> None:
    watched = with_mishaps(script)
    for before, after in pairwise(watched.states):
        if before.broken_off is None or after.broken_off is not None:
            continue
        again = {call.text for call in (*after.saying, *after.waiting_calls)}
        assert all(call.text in again or not still_matters(after, call) for call in before.saying)


@settings(max_examples=30, deadline=None)
@given(script=acts)
def test_an_answered_call_is_not_repeated(script: list[tuple[int, str]]) -> None:
    for state in lived(script).states:
        for call in state.open_calls:
            if call.step is not None and call.state is not StepState.HELD:
                assert state.state_of(call.step) is call.state
                assert not state.record_of(call.step).is_heard


@settings(max_examples=30, deadline=None)
@given(script=acts)
def test_no_call_is_early_by_more_than_what_it_goes_along_with(script: list[tuple[int, str]]) -> None:
    watched = lived(script)
    for before, after, (_, now) in zip(watched.states, watched.states[1:], watched.kept, strict=False):
        for a_step in before.steps:
            planned = before.timeline.of(a_step.id) if before.timeline is not None else None
            is_called = after.state_of(a_step.id) is StepState.CALLED
            if planned is not None and is_called and before.state_of(a_step.id) is StepState.WAITING:
                assert planned.start - now.wall <= RUSH_TOGETHER_S


@pytest.mark.parametrize("text", SAID)
def test_every_phrase_used_here_is_understood(text: str) -> None:
    evening = Evening()
    assert type(understand(text, evening.state).command).__name__ != "Unclear"
