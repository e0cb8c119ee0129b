"""The queue of calls: what is said next, what is said again, what no longer needs saying.

One utterance at a time. What falls together is said together, replies first. A call that waits for an answer
comes back after 30 s, 1, 2 and 4 minutes, shorter, and then stops; an answer closes it. Never speaks itself.
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core import wording
from kitchend.core.clock import Instant, Now
from kitchend.core.effects import CallKind, Speak
from kitchend.core.plan import StepId
from kitchend.core.state import Call, DinnerState
from kitchend.core.steps import StepState

REPEATS_S = (30.0, 60.0, 120.0, 240.0)
"""Pauses before an unanswered call is said again."""

HELD_REPEATS_S = (300.0, 900.0, 1800.0)
"""Pauses before each reminder of a step that is held."""

MERGE_LIMIT = 3
"""How many calls are said in one breath."""

ORDER = (CallKind.REPLY, CallKind.CAREFUL, CallKind.UP, CallKind.NOW, CallKind.SOON)
LOUDEST = (CallKind.CAREFUL, CallKind.NOW, CallKind.UP, CallKind.SOON, CallKind.REPLY)


def add(state: DinnerState, *calls: Call) -> DinnerState:
    """The same state with these calls waiting to be said."""
    return replace(state, waiting_calls=(*state.waiting_calls, *calls))


def reply(state: DinnerState, text: str) -> DinnerState:
    """The same state with a reply waiting to be said, before any call."""
    if not text:
        return state
    return add(state, Call(kind=CallKind.REPLY, text=text, at=None))


def still_matters(state: DinnerState, call: Call) -> bool:
    """Whether a call is still waiting for what it asked; a reply always matters."""
    if call.timer is not None:
        return any(timer.id == call.timer for timer in state.timers)
    if call.step is None or call.state is None:
        return True
    record = state.record_of(call.step)
    return record.state is call.state and not record.is_heard


def tidy(state: DinnerState) -> DinnerState:
    """The same state without calls that have been answered, or overtaken, in the meantime."""
    waiting = tuple(call for call in state.waiting_calls if still_matters(state, call))
    unanswered = tuple(call for call in state.open_calls if still_matters(state, call))
    if waiting == state.waiting_calls and unanswered == state.open_calls:
        return state
    return replace(state, waiting_calls=waiting, open_calls=unanswered)


def say_again(state: DinnerState, now: Now) -> DinnerState:
    """Unanswered calls whose pause is over wait to be said again, in their short form."""
    due = [call for call in state.open_calls if call.at is not None and call.at <= now.instant]
    if not due or state.speaking is not None:
        return state
    kept = tuple(call for call in state.open_calls if call not in due)
    again = (replace(call, text=call.short or call.text, again=call.again + 1) for call in due)
    return add(replace(state, open_calls=kept), *again)


def say_unanswered(state: DinnerState, now: Now) -> DinnerState:
    """Every call that waits for an answer is due again now: nobody may have heard it."""
    due = (replace(call, at=now.instant, again=max(0, call.again - 1)) for call in state.open_calls)
    return replace(state, open_calls=tuple(due))


def next_utterance(state: DinnerState) -> tuple[DinnerState, Speak | None]:
    """The next thing to say if nothing is being said: up to three calls in one breath."""
    if state.speaking is not None or not state.waiting_calls:
        return state, None
    ordered = sorted(state.waiting_calls, key=lambda call: ORDER.index(call.kind))
    replies = [call for call in ordered if call.kind is CallKind.REPLY]
    calls = [call for call in ordered if call.kind is not CallKind.REPLY][:MERGE_LIMIT]
    chosen = replies + calls
    text = " ".join(call.text for call in chosen)
    kind = min((call.kind for call in chosen), key=LOUDEST.index)
    number = state.spoken + 1
    called = tuple(call.step for call in calls if call.step is not None)
    new = replace(
        state,
        speaking=number,
        saying=tuple(calls),
        spoken=number,
        last_words=state.last_words if text == wording.say("heard") else text,
        last_called=called or state.last_called,
        waiting_calls=tuple(call for call in state.waiting_calls if call not in chosen),
        open_calls=state.open_calls + tuple(replace(call, at=None) for call in calls if needs_answer(call)),
    )
    return new, Speak(utterance=number, text=text, kind=kind)


def needs_answer(call: Call) -> bool:
    """Whether a call comes back until it is answered."""
    return call.step is not None or call.timer is not None


def spoken(state: DinnerState, utterance: int, now: Now) -> DinnerState:
    """The utterance is over: the answer window opens, and pauses before repeats begin."""
    if state.speaking != utterance:
        return state
    opened = tuple(
        replace(call, at=_repeat_at(call, now)) if call.at is None else call for call in state.open_calls
    )
    window = now.instant + state.manners.window_s
    return replace(state, speaking=None, saying=(), open_calls=opened, window_until=window)


def cut_off(state: DinnerState) -> tuple[DinnerState, tuple[Call, ...]]:
    """Nothing is being said any more; and which of its calls still matter, as nobody knows who heard them.

    Replies are left out: who asked will ask again.
    """
    lost = tuple(call for call in state.saying if still_matters(state, call))
    unsaid = [replace(call, at=None) for call in lost]
    kept = tuple(call for call in state.open_calls if call not in unsaid)
    return replace(state, speaking=None, saying=(), open_calls=kept), lost


def _repeat_at(call: Call, now: Now) -> Instant | None:
    """When a call just said comes back; None once it has come back often enough."""
    pauses = HELD_REPEATS_S if call.state is StepState.HELD else REPEATS_S
    return now.instant + pauses[call.again] if call.again < len(pauses) else None


def ask_again(state: DinnerState, step: StepId, text: str, now: Now) -> DinnerState:
    """The same state with another reason to take off what is up: told in its next reminder, or else now."""

    def is_it(call: Call) -> bool:
        return call.step == step and call.state is StepState.UP and call.again < len(REPEATS_S)

    if not any(is_it(call) for call in (*state.waiting_calls, *state.open_calls)):
        kept = tuple(call for call in state.open_calls if call.step != step)
        again = Call(kind=CallKind.UP, text=text, short=text, at=now.instant, step=step, state=StepState.UP)
        return add(replace(state, open_calls=kept), again)
    waiting = (replace(call, short=text) if is_it(call) else call for call in state.waiting_calls)
    unanswered = (replace(call, short=text) if is_it(call) else call for call in state.open_calls)
    return replace(state, waiting_calls=tuple(waiting), open_calls=tuple(unanswered))


def next_repeat(state: DinnerState) -> Instant | None:
    """When the next unanswered call comes back."""
    return min((call.at for call in state.open_calls if call.at is not None), default=None)
