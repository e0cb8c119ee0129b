"""The one door: `step(state, event, now) -> (state, effects)`. Joins phrases, moves, calls and re-plans.

Pure: the same state, event and present always give the same answer. An event is taken in, then everything
that has become due by now, then at most one utterance begins. A refusal moves nothing and at most speaks.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import assert_never

from kitchend.core import (
    absence,
    calls,
    clock_moves,
    due,
    obey,
    readings,
    repeats,
    replans,
    wording,
)
from kitchend.core.amounts import answered
from kitchend.core.breaking_in import break_in, half_quiet
from kitchend.core.clock import Now
from kitchend.core.commands import Command, HeardIt, No, Quiet, Unclear, Yes
from kitchend.core.effects import CallKind, Effect, EndDinner, Replan, WakeAt
from kitchend.core.events import (
    ClockMoved,
    DinnerRefused,
    DinnerStarted,
    DoorWordsMade,
    Event,
    ForecastMade,
    MannersSet,
    Mishap,
    MishapNoticed,
    PhraseHeard,
    PhraseRefused,
    PlansKnown,
    ReadingTaken,
    Resumed,
    SpeechEnded,
    TimelinePlanned,
    TimeReached,
)
from kitchend.core.intents import understand
from kitchend.core.obey_steps import LAPSE_S
from kitchend.core.outcome import Outcome
from kitchend.core.pass_talk import late_s, said_passes
from kitchend.core.passes import latest
from kitchend.core.progress import coming
from kitchend.core.state import Asked, Call, Choice, DinnerState, Manners
from kitchend.core.tongue import of_state

GOOD_NEWS = frozenset({Mishap.KEPT_AGAIN, Mishap.HEARS_AGAIN, Mishap.KEEPS_SOUND})
"""What needs no care: it interrupts nothing."""

DUE_AT_ONCE_S = 30.0
"""A first step due sooner than this is called at once, so the greeting leaves it out."""


def begin(manners: Manners | None = None) -> DinnerState:
    """The state before anything has happened."""
    return DinnerState(manners=manners or Manners())


@of_state
def step(state: DinnerState, event: Event, now: Now) -> tuple[DinnerState, tuple[Effect, ...]]:
    """What the dinner becomes by this event at this moment, and what is to be done about it, in order."""
    outcome = _take_in(state, event, now)
    state = calls.reply(outcome.state, outcome.reply, outcome.asks)
    effects = list(outcome.effects)
    state = due.settle(state, now)
    state, stop = calls.interrupt(state)
    effects.extend(() if stop is None else (stop,))
    if state.plan is not None and (outcome.replans or due.has_drifted(state, now)):
        state = replace(state, revision=state.revision + 1, asked_plan_at=now.instant)
        effects.append(Replan(revision=state.revision))
    state, speak = calls.next_utterance(state, now)
    if speak is not None:
        effects.append(speak)
    state, ending = _ended(state)
    effects.extend(ending)
    effects.append(WakeAt(instant=due.next_wake(state, now)))
    return state, tuple(effects)


def _take_in(state: DinnerState, event: Event, now: Now) -> Outcome:
    match event:
        case PhraseHeard():
            return _phrase(state, event, now)
        case TimeReached() | PhraseRefused():
            return Outcome(state=state)
        case SpeechEnded(utterance=utterance):
            return Outcome(state=calls.spoken(state, utterance, now))
        case TimelinePlanned():
            return Outcome(state=replans.take_on(state, event, now))
        case MannersSet(manners=manners):
            return Outcome(state=replace(state, manners=manners))
        case PlansKnown(names=names):
            return Outcome(state=replace(state, menu=names))
        case DinnerStarted():
            return _started(state, event, now)
        case DinnerRefused(message=message):
            return Outcome(state=state, reply=wording.say("refused", message=message))
        case ReadingTaken() | ForecastMade():
            return readings.take_in(state, event, now)
        case _:
            return _about_kitchend(state, event, now)


def _about_kitchend(
    state: DinnerState, event: Resumed | ClockMoved | MishapNoticed | DoorWordsMade, now: Now
) -> Outcome:
    """What happened to kitchend itself, not to the food."""
    match event:
        case Resumed():
            return _resumed(state, event, now)
        case ClockMoved():
            return clock_moves.moved(state, event, now)
        case MishapNoticed(mishap=mishap):
            kind = CallKind.SOON if mishap in GOOD_NEWS else CallKind.CAREFUL
            call = Call(kind=kind, text=wording.say(mishap.value), at=now.instant, is_news=True)
            # Told once, however often it failed before there was time to say so.
            untold = tuple(one for one in state.waiting_calls if one.text != call.text)
            state = replace(state, waiting_calls=untold)
            if mishap is Mishap.SPEAKS_AGAIN:
                state = repeats.say_unanswered(state, now)
            return Outcome(state=calls.add(state, call))
        case DoorWordsMade(words=words):
            return Outcome(state=state, reply=wording.say("door" if words else "door.shut", words=words))
        case _:
            assert_never(event)


def _phrase(state: DinnerState, event: PhraseHeard, now: Now) -> Outcome:
    """A phrase counts if it was addressed, or came in the answer window, or was typed."""
    understood = understand(event.text, state)
    if not (event.is_typed or understood.is_addressed or state.window_is_open(event.started)):
        return Outcome(state=state)
    command = understood.command
    if isinstance(command, Unclear):
        reply = wording.say("unclear", text=command.text) if event.is_typed else ""
        return Outcome(state=state, reply=reply)
    meant = answered(state, command)
    others = _otherwise(state, command, event.doubts, now)
    if others and state.asked is not None and isinstance(command, Yes | No):
        # "No, is that right?" could be answered either way: what was asked is asked again.
        asked = replace(state.asked, lapses=now.instant + LAPSE_S)
        return Outcome(state=replace(state, asked=asked), reply=asked.text)
    silence = half_quiet(state) if others and isinstance(command, Quiet) else None
    if silence is not None:
        return silence
    if others:
        key = "heard?" if isinstance(command, HeardIt) else "number?"
        text = wording.say(key, what=plain(event.text, state.manners.address))
        asked = Asked(text=text, lapses=now.instant + LAPSE_S, yes=Choice(name="yes", command=meant))
        return Outcome(state=replace(state, asked=asked), reply=text)
    outcome = obey.obey(state, command, now)
    return outcome if event.is_typed else break_in(outcome)


def _otherwise(state: DinnerState, command: Command, doubts: Iterable[str], now: Now) -> list[Command]:
    """What else may have been said, as far as it would come to something else.

    "Greens are on" and "greens" are one where the greens were called: nobody is asked which.
    """
    said = (understand(text, state).command for text in doubts)
    meant = answered(state, command)
    others = [one for one in said if not isinstance(one, Unclear) and answered(state, one) != meant]
    if not others:
        return []
    outcome = obey.obey(state, command, now)
    return [one for one in others if obey.obey(state, one, now) != outcome]


def plain(text: str, address: str) -> str:
    """What was heard, without the address phrase, to be read back."""
    return text.strip().removeprefix(address).strip()


def _started(state: DinnerState, event: DinnerStarted, now: Now) -> Outcome:
    """A dinner begins: everything about an earlier one goes, the cook's own timers stay."""
    if event.plan.language != state.language:
        return Outcome(state=state, reply=wording.say("language", plan=event.plan.name))
    own = tuple(timer for timer in state.timers if timer.step is None)
    new = replace(
        begin(state.manners),
        menu=state.menu,
        plan=event.plan,
        source=event.source,
        serve=event.serve,
        timeline=event.timeline,
        timers=own,
        timers_made=state.timers_made,
        tone=state.tone,
        unsure=state.unsure,
        speaking=state.speaking,
        saying=state.saying,
        waiting_calls=tuple(call for call in state.waiting_calls if call.timer is not None),
        open_calls=tuple(call for call in state.open_calls if call.timer is not None),
        spoken=state.spoken,
        window_until=state.window_until,
        revision=state.revision,
        planned_revision=state.revision,
        planned_at=now.instant,
        told_late_s=replans.as_told(late_s(event.plan, event.timeline)),
    )
    return Outcome(state=new, reply=_greeting(new, event, now))


def _greeting(state: DinnerState, event: DinnerStarted, now: Now) -> str:
    passes = said_passes(state, now)
    late = latest(event.plan, event.timeline)
    if late is not None and late.late_s >= replans.TELL_S:
        when, ready = (wording.said_day(at, now.wall) for at in (late.at, late.ready))
        return wording.say("started.late", plan=event.plan.name, when=when, ready=ready)
    first = coming(state)
    if not first or first[0][1].start - now.wall < DUE_AT_ONCE_S:
        return wording.say("started", plan=event.plan.name, passes=passes)
    step_first, planned = first[0]
    at = wording.said_when(planned.start, now.wall)
    return wording.say(
        "started.first", plan=event.plan.name, passes=passes, step=wording.said_step(step_first), at=at
    )


def _resumed(state: DinnerState, event: Resumed, now: Now) -> Outcome:
    """Back after a restart: nothing is being said any more; the plan is made again from what is true now."""
    if event.clock is not None:
        state = clock_moves.moved(state, event.clock, now).state
    new = replace(due.pick_up(state, now), planned_revision=state.revision)
    if state.plan is None and not state.timers:
        return Outcome(state=new)
    if event.away_s is None:
        new = absence.in_doubt(new, event)
        key = "resumed.unknown" if new.unsure is None else "resumed.how.long"
        return Outcome(state=new, reply=wording.say(key), replans=True)
    if event.away_s < replans.TELL_S:
        return Outcome(state=new, reply=wording.say("resumed"), replans=True)
    time = wording.said_duration(event.away_s)
    return Outcome(state=new, reply=wording.say("resumed.away", time=time), replans=True)


def _ended(state: DinnerState) -> tuple[DinnerState, tuple[Effect, ...]]:
    """Once the dinner is served and that has been said, there is no dinner any more."""
    is_over = state.served_at is not None and state.plan is not None
    if not is_over or state.speaking is not None or state.waiting_calls:
        return state, ()
    own = tuple(timer for timer in state.timers if timer.step is None)
    new = replace(
        begin(state.manners),
        menu=state.menu,
        timers=own,
        timers_made=state.timers_made,
        tone=state.tone,
        unsure=state.unsure,
        spoken=state.spoken,
        revision=state.revision,
        planned_revision=state.revision,
        window_until=state.window_until,
        open_calls=tuple(call for call in state.open_calls if call.timer is not None),
        served_at=state.served_at,
    )
    return new, (EndDinner(),)
