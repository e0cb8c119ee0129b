"""What holds for every call of every dinner, quiet or not: one at a time, none lost, in time or marked late.

A dinner takes a second to live through, so that each is held against all of it.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from hypothesis import example, given, settings
from hypothesis import strategies as st

from kitchend.core import hush, repeats
from kitchend.core.calls import needs_answer, still_matters
from kitchend.core.clock import Now
from kitchend.core.effects import CallKind, Effect, Speak, StopSpeaking
from kitchend.core.events import Event, Mishap, MishapNoticed, PhraseHeard, SpeechEnded
from kitchend.core.lateness import NOW_LATE_S, STEP_LATE_S
from kitchend.core.state import Call, DinnerState
from kitchend.core.steps import StepState
from tests.core.test_properties import CROWD, CROWDED, CROWDED_TIMES, MISHAPS, SAID, Watched

TONE = ("louder", "softer", "whisper", "speak up again", "quiet for ten minutes", "quiet for two minutes")
READY = tuple(
    replace(dish, steps=tuple(replace(step, ready_s=120 if step.hands_s else None) for step in dish.steps))
    for dish in CROWDED.dishes
)
PLAN = replace(CROWDED, dishes=READY)
"""A crowded kitchen where each piece of work is warned of."""

acts = st.lists(
    st.tuples(
        st.integers(0, 300), st.sampled_from((*SAID, *CROWD, *TONE, *TONE, *MISHAPS)), st.integers(0, 3)
    ),
    max_size=15,
)
Script = list[tuple[int, str | Mishap, int]]


class Kept(Watched):
    """A dinner with every effect beside the event and the present it came of."""

    def __init__(self) -> None:
        self.effects: list[tuple[Now, Effect]] = []
        super().__init__(PLAN, CROWDED_TIMES, speech_s=4.0)

    def _carry_out(self, effect: Effect) -> None:
        self.effects.append((self.now, effect))
        super()._carry_out(effect)

    @property
    def steps(self) -> list[tuple[Event, Now, DinnerState, DinnerState]]:
        """Each event and its present, with the state before and after."""
        return [
            (event, now, before, after)
            for (event, now), (before, after) in zip(self.kept, pairwise(self.states), strict=True)
        ]


def lived(script: Script) -> Kept:
    """A dinner in which the cook speaks and things fail as the script says, often while kitchend speaks."""
    dinner = Kept()
    for pause, what, after_s in script:
        dinner.wait(pause)
        if isinstance(what, Mishap):
            dinner.say("what's on")
            dinner.wait(after_s)
            dinner.feed(MishapNoticed(mishap=what))
        else:
            dinner.say(what)
    dinner.wait(60 * 60)
    return dinner


def begun(before: DinnerState, after: DinnerState) -> bool:
    """Whether an utterance began."""
    return after.spoken > before.spoken


def no_two_utterances_overlap(dinner: Kept) -> None:
    """An utterance begins only where none is in progress, and each ends exactly once."""
    speaking: int | None = None
    ended: list[int] = []
    for event, _, before, after in dinner.steps:
        if isinstance(event, SpeechEnded):
            assert event.utterance == speaking
            speaking = None
            ended.append(event.utterance)
        if begun(before, after):
            assert speaking is None
            speaking = after.spoken
    assert ended == sorted(set(ended))


def no_call_is_lost(dinner: Kept) -> None:
    """What waits and matters still waits, is being said, or is listed; and in the end nothing waits."""
    for event, _, before, after in dinner.steps:
        if isinstance(event, PhraseHeard):
            continue  # the cook may silence, drop or undo
        there = {(c.step, c.timer, c.state) for c in (*after.waiting_calls, *after.saying, *after.open_calls)}
        told = {call.text for call in (*after.waiting_calls, *after.saying)}
        for call in before.waiting_calls:
            if still_matters(after, call) and after.plan is before.plan:
                assert (call.step, call.timer, call.state) in there or call.text in told
    assert dinner.state.waiting_calls == ()


def careful_is_never_behind_another_kind_never_silenced_and_never_whispered(dinner: Kept) -> None:
    for state in dinner.states:
        if any(call.kind is CallKind.CAREFUL for call in state.waiting_calls):
            is_careful = any(call.kind is CallKind.CAREFUL for call in state.saying)
            assert state.speaking is not None
            assert is_careful or state.broken_off == state.speaking
    for _, effect in dinner.effects:
        assert not (isinstance(effect, Speak) and effect.kind is CallKind.CAREFUL and effect.is_whisper)


def in_a_quiet_only_answers_and_careful_are_said(dinner: Kept) -> None:
    for _, now, before, after in dinner.steps:
        if begun(before, after) and after.tone.is_quiet_at(now.instant):
            assert {call.kind for call in after.saying} <= hush.NEVER_SILENCED


def every_call_is_said_in_time_or_marked_late(dinner: Kept) -> None:
    """In time: within twenty seconds for what is up, a minute beside others and for what is to be done."""
    for _, now, before, after in dinner.steps:
        if not begun(before, after):
            continue
        text = next(
            effect.text
            for at, effect in dinner.effects
            if isinstance(effect, Speak) and effect.utterance == after.spoken and at.instant == now.instant
        )
        for call in after.saying:
            late_s = now.instant - call.at if call.at is not None else 0.0
            bound_s = STEP_LATE_S if call.kind is CallKind.UP and not call.clause else NOW_LATE_S
            is_first = call.again == 0 and needs_answer(call) and call.state is not StepState.HELD
            if is_first and late_s > bound_s and is_call_of(after, call):
                assert "ago" in text, (text, call)


def is_call_of(state: DinnerState, call: Call) -> bool:
    """Whether it is the call of a step or a timer, and no reminder of something in the way."""
    return call.timer is not None or bool(call.clause)


def nothing_waits_when_it_could_be_said(dinner: Kept) -> None:
    """While nothing is said, what waits waits for the end of a quiet or, in a rush, for so long at most."""
    longest_s = max(pause for _, pause in hush.SPACED)
    for _, now, _, after in dinner.steps:
        if after.speaking is None and not after.tone.is_quiet_at(now.instant):
            for call in after.waiting_calls:
                assert call.step is not None or (call.kind is CallKind.SOON and call.timer is None)
                assert len(repeats.lately(after, now, is_call=False)) >= repeats.CROWD
                last = after.called_lately[-1]
                waited_from = last if call.at is None else max(last, call.at, key=lambda at: at.s)
                assert now.instant - waited_from <= longest_s


def repeats_stop_when_answered(dinner: Kept) -> None:
    for state in dinner.states:
        for call in state.open_calls:
            if call.step is not None and call.state is not StepState.HELD:
                assert state.state_of(call.step) is call.state
                assert not state.record_of(call.step).is_heard


def a_warning_is_said_once_ahead_and_never_of_what_has_begun(dinner: Kept) -> None:
    """But for one that *careful* broke off: what was interrupted is said again."""
    seen: list[object] = []
    for _, _, before, after in dinner.steps:
        if after.broken_off is not None and before.broken_off is None:
            cut_short = {call.step for call in before.saying}
            seen = [step for step in seen if step not in cut_short]
        if not begun(before, after):
            continue
        for call in after.saying:
            if call.kind is CallKind.SOON and call.state is StepState.WAITING:
                assert call.step is not None
                assert after.state_of(call.step) is StepState.WAITING
                seen.append(call.step)
        assert not any(call.state is StepState.WAITING for call in after.open_calls)
    assert len(seen) == len(set(seen))


def only_careful_interrupts(dinner: Kept) -> None:
    """Or the cook, by saying what is obeyed."""
    for now, effect in dinner.effects:
        if isinstance(effect, StopSpeaking):
            event, _, before, after = next(
                one for one in dinner.steps if one[1] == now and one[2].speaking == effect.utterance
                and (one[3].broken_off == effect.utterance or isinstance(one[0], PhraseHeard))
            )  # fmt: skip
            is_the_cook = isinstance(event, PhraseHeard)
            is_careful = any(
                call.kind is CallKind.CAREFUL for call in (*before.waiting_calls, *after.waiting_calls)
            )
            assert is_the_cook or is_careful


def the_level_stays_within_its_bounds(dinner: Kept) -> None:
    for _, effect in dinner.effects:
        if isinstance(effect, Speak):
            assert -hush.MOST_DB <= effect.louder_db <= hush.MOST_DB


PROMISES = (
    no_two_utterances_overlap,
    no_call_is_lost,
    careful_is_never_behind_another_kind_never_silenced_and_never_whispered,
    in_a_quiet_only_answers_and_careful_are_said,
    every_call_is_said_in_time_or_marked_late,
    nothing_waits_when_it_could_be_said,
    repeats_stop_when_answered,
    a_warning_is_said_once_ahead_and_never_of_what_has_begun,
    only_careful_interrupts,
    the_level_stays_within_its_bounds,
)


@settings(max_examples=30, deadline=None)
@given(script=acts)
@example(
    script=[
        (66, "serve fifteen minutes later", 0),
        (89, "carry on with the greens", 0),
        (187, "speak up again", 0),
        (244, Mishap.KEPT_AGAIN, 0),
        (263, "undo that", 0),
        (3, Mishap.NOT_KEPT, 3),
        (18, "chicken is in", 0),
    ]
)
@example(script=[(65, "heard", 0), (300, "chicken basted", 0), (300, "chicken is in", 0)])
@example(
    script=[(85, "chicken is in", 0), (154, "heard", 0), (246, "heard", 0), (54, "quiet for ten minutes", 0)]
)
def test_every_dinner_keeps_what_is_promised(script: Script) -> None:
    dinner = lived(script)
    for promise in PROMISES:
        promise(dinner)


@settings(max_examples=10, deadline=None)
@given(script=acts)
@example(
    script=[
        *((pause, "heard", 0) for pause in (247, 268, 156, 293, 176)),
        (62, "remind me in ten minutes to turn the bread", 0),
        (300, "remind me in ten minutes to turn the bread", 0),
        (98, Mishap.KEPT_AGAIN, 0),
        (147, "louder", 0),
        (118, "say again", 0),
        (104, "louder", 0),
        (166, "five more minutes on the buns", 0),
        (194, "heard", 0),
    ]
)
def test_waking_is_enough(script: Script) -> None:
    """Ticks that nobody wished for change nothing of what is said."""
    dinner, ticked = lived(script), Kept()
    for pause, what, after_s in script:
        ticked.wait(pause, tick_s=31)
        if isinstance(what, Mishap):
            ticked.say("what's on")
            ticked.wait(after_s)
            ticked.feed(MishapNoticed(mishap=what))
        else:
            ticked.say(what)
    ticked.wait(60 * 60, tick_s=31)
    assert dinner.spoken == ticked.spoken
