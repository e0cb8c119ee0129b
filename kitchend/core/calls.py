"""The queue of calls: what is said next, what is said again, what no longer needs saying.

One utterance at a time. What falls together is said together, *careful* before anything else, then replies,
then what is up, the hottest and most perishable first. *Careful* interrupts, nothing else does, and what it
interrupted is said again. When and how calls come back is in `repeats`. Never speaks itself.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from kitchend.core import hush, repeats, wording, wording_calls
from kitchend.core.clock import Now
from kitchend.core.commands import Command, SayAgain
from kitchend.core.effects import CallKind, Speak, StopSpeaking
from kitchend.core.lateness import as_late_as_now
from kitchend.core.plan import StepId
from kitchend.core.state import Call, DinnerState
from kitchend.core.steps import StepState

MERGE_LIMIT = 3
"""How many calls are said in one breath."""

ORDER = (CallKind.CAREFUL, CallKind.REPLY, CallKind.UP, CallKind.NOW, CallKind.SOON)
LOUDEST = (CallKind.CAREFUL, CallKind.NOW, CallKind.UP, CallKind.SOON, CallKind.REPLY)

COOL_C = 20.0
"""How hot something is that has no heat of its own: a kitchen."""


def add(state: DinnerState, *calls: Call) -> DinnerState:
    """The same state with these calls waiting to be said."""
    return replace(state, waiting_calls=(*state.waiting_calls, *calls))


def reply(state: DinnerState, text: str, asks: Command | None = None) -> DinnerState:
    """The same state with a reply waiting to be said, before any call; `asks` is what it answers."""
    if not text:
        return state
    return add(state, Call(kind=CallKind.REPLY, text=text, at=None, asks=asks))


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


def next_utterance(state: DinnerState, now: Now) -> tuple[DinnerState, Speak | None]:
    """The next thing to say if nothing is being said: up to three calls in one breath, and every reply.

    What waited while the cook wanted quiet is all said in one breath.
    """
    may_be_said = () if state.speaking is not None else hush.may_be_said(state, now)
    if not may_be_said:
        return state, None
    ordered = sorted(may_be_said, key=lambda call: _rank(state, call))
    limit = len(ordered) if hush.has_been_quiet(state, now) else MERGE_LIMIT
    calls = [call for call in ordered if call.kind is not CallKind.REPLY][:limit]
    chosen = [call for call in ordered if call.kind is CallKind.REPLY or call in calls]
    text = in_one_breath([as_late_as_now(state, call, now) for call in chosen])
    kind = min((call.kind for call in chosen), key=LOUDEST.index)
    number = state.spoken + 1
    new = replace(
        _remembered(state, chosen, text, now),
        speaking=number,
        saying=tuple(chosen),
        spoken=number,
        last_called=_last_called(state, calls),
        called_lately=repeats.lately(state, now, is_call=bool(calls)),
        waiting_calls=tuple(call for call in state.waiting_calls if call not in chosen),
        open_calls=state.open_calls + tuple(replace(call, at=None) for call in calls if needs_answer(call)),
    )
    is_whisper = hush.is_whispering(state, now, kind)
    return new, Speak(
        utterance=number, text=text, kind=kind, louder_db=state.tone.louder_db, is_whisper=is_whisper
    )


def _remembered(state: DinnerState, chosen: Sequence[Call], text: str, now: Now) -> DinnerState:
    """The same state, with this as what was said last; but "good" says nothing, and what is said again is
    still what was said before."""
    if text == wording.say("heard"):
        return state
    state = replace(state, last_words=text)
    if any(isinstance(call.asks, SayAgain) for call in chosen):
        return state
    return replace(state, last_calls=tuple(chosen), last_said=now.instant)


def _last_called(state: DinnerState, said: Sequence[Call]) -> tuple[StepId, ...]:
    """What "it" means from now on; a warning asks for nothing, so what was asked for before stays meant."""
    asked = tuple(call.step for call in said if call.step is not None and needs_answer(call))
    warned = tuple(call.step for call in said if call.step is not None and not needs_answer(call))
    return (*(asked or state.last_called), *warned) if warned else asked or state.last_called


def in_order(state: DinnerState) -> list[Call]:
    """The calls that wait for an answer, said or not yet, in the order to see to them.

    What is held waits for nothing.
    """
    waiting = (call for call in state.open_calls if call.state is not StepState.HELD)
    kept = (call for call in state.waiting_calls if needs_answer(call) and not call.again)
    return sorted([*waiting, *kept], key=lambda call: _rank(state, call))


def _rank(state: DinnerState, call: Call) -> tuple[int, float, float]:
    """Its place among others: by kind, then what suffers soonest, then what is hottest."""
    step = next((step for step in state.steps if step.id == call.step), None)
    if step is None:
        is_early_news = call.is_news and call.kind is CallKind.SOON
        return ORDER.index(CallKind.REPLY if is_early_news else call.kind), -math.inf, is_early_news
    heat = max((use.at.celsius for use in step.uses if use.at is not None), default=COOL_C)
    return ORDER.index(call.kind), -heat, math.inf if step.keeps_s is None else step.keeps_s


def in_one_breath(chosen: Sequence[Call]) -> str:
    """Calls in their order as one text; those that can be are one sentence; warnings come last."""
    fresh = [call for call in chosen if call.clause and not call.again]
    up, acts = ([call for call in fresh if call.kind is kind] for kind in (CallKind.UP, CallKind.NOW))
    warnings = [call for call in fresh if call.kind is CallKind.SOON]
    joined = [*up, *acts] if len(up) + len(acts) > 1 and _are_told_apart(up) else []
    said = [wording_calls.things(clauses(up), clauses(acts))] if joined else []
    tails = [call.tail for call in joined if call.tail]
    told = [wording_calls.soon_things(clauses(warnings))] if len(warnings) > 1 else []
    others = [call for call in chosen if call not in joined and not (told and call in warnings)]
    first = chosen.index(joined[0]) if joined else len(chosen)
    before = [call.text for call in others if chosen.index(call) < first]
    after = [call.text for call in others if chosen.index(call) > first]
    return " ".join((*before, *said, *tails, *after, *told))


def clauses(several: Sequence[Call]) -> list[str]:
    """How each is said beside others."""
    return [call.clause for call in several]


def _are_told_apart(up: Sequence[Call]) -> bool:
    return len(set(clauses(up))) == len(up)


def interrupt(state: DinnerState) -> tuple[DinnerState, StopSpeaking | None]:
    """Stop what is being said where *careful* waits behind anything else; it will be said again."""
    is_waiting = any(call.kind is CallKind.CAREFUL for call in state.waiting_calls)
    is_said = any(call.kind is CallKind.CAREFUL for call in state.saying)
    if state.speaking is None or not is_waiting or is_said or state.broken_off is not None:
        return state, None
    return replace(state, broken_off=state.speaking), StopSpeaking(utterance=state.speaking)


def told(state: DinnerState) -> DinnerState:
    """The same state, what waited to be called having been told in an answer."""
    waiting = tuple(call for call in state.waiting_calls if not needs_answer(call) or call.again)
    kept = tuple(replace(call, at=None) for call in state.waiting_calls if call not in waiting)
    if not kept:
        return state
    return replace(state, waiting_calls=waiting, open_calls=(*state.open_calls, *kept))


def needs_answer(call: Call) -> bool:
    """Whether a call comes back until it is answered."""
    return call.timer is not None or (call.step is not None and call.state is not StepState.WAITING)


def spoken(state: DinnerState, utterance: int, now: Now) -> DinnerState:
    """The utterance is over: the answer window opens, and pauses before repeats begin."""
    if state.speaking != utterance:
        return state
    if state.broken_off == utterance:
        replies = tuple(call for call in state.saying if not needs_answer(call))
        state, lost = cut_off(state)
        return add(state, *replies, *(call for call in lost if needs_answer(call)))
    opened = tuple(
        replace(call, at=repeats.next_at(state, call, now)) if call.at is None else call
        for call in state.open_calls
    )
    window = now.instant + state.manners.window_s
    return replace(state, speaking=None, saying=(), open_calls=opened, window_until=window)


def cut_off(state: DinnerState) -> tuple[DinnerState, tuple[Call, ...]]:
    """Nothing is being said any more; and which of its calls still matter, as nobody knows who heard them.

    Replies are left out: who asked will ask again.
    """
    lost = tuple(c for c in state.saying if c.kind is not CallKind.REPLY and still_matters(state, c))
    unsaid = [replace(call, at=None) for call in lost]
    kept = tuple(call for call in state.open_calls if call not in unsaid)
    return replace(state, speaking=None, saying=(), broken_off=None, open_calls=kept), lost


def ask_again(state: DinnerState, step: StepId, text: str, now: Now) -> DinnerState:
    """The same state with another reason to take off what is up: told in its next reminder, or else now."""

    def is_it(call: Call) -> bool:
        return call.step == step and call.state is StepState.UP and repeats.comes_back(state, call)

    if not any(is_it(call) for call in (*state.waiting_calls, *state.open_calls)):
        kept = tuple(call for call in state.open_calls if call.step != step)
        again = Call(kind=CallKind.UP, text=text, short=text, at=now.instant, step=step, state=StepState.UP)
        return add(replace(state, open_calls=kept), again)
    waiting = (replace(call, short=text, least="") if is_it(call) else call for call in state.waiting_calls)
    unanswered = (replace(call, short=text, least="") if is_it(call) else call for call in state.open_calls)
    return replace(state, waiting_calls=tuple(waiting), open_calls=tuple(unanswered))
