"""Back after a power cut with a clock that nobody set: how long was kitchend away?

Timers were taken to have run for what the clocks show at the least. The cook is asked; the answer, or the
clock once the network has set it, puts every timer of that time where it belongs. Those set since are left.
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core import wording
from kitchend.core.commands import AwaySaid
from kitchend.core.events import ClockMoved, Resumed
from kitchend.core.outcome import Outcome, refusal
from kitchend.core.state import DinnerState, Unsure
from kitchend.core.timers import Timer


def in_doubt(state: DinnerState, event: Resumed) -> DinnerState:
    """The state after an absence of unknown length, with its running timers marked."""
    behind_s = 0.0 if event.clock is None else max(0.0, -event.clock.by_s)
    running = tuple(timer.id for timer in state.timers if timer.due is not None)
    if not running:
        return state
    return replace(state, unsure=Unsure(timers=running, counted_s=event.counted_s, behind_s=behind_s))


def said(state: DinnerState, command: AwaySaid) -> Outcome:
    """ "you were away for ten minutes"."""
    if state.unsure is None:
        return refusal(state, wording.say("lapsed.nothing"))
    reply = wording.say("away.known", time=wording.said_duration(command.seconds))
    new = _made_up(state, state.unsure, command.seconds - state.unsure.counted_s)
    return Outcome(state=new, reply=reply, replans=True, what=reply)


def learnt_s(state: DinnerState, event: ClockMoved) -> float:
    """By how much longer it was away than counted, now that the clock was set; 0 if that tells nothing."""
    if state.unsure is None:
        return 0.0
    return max(0.0, event.by_s - state.unsure.behind_s)


def learnt(state: DinnerState, seconds: float) -> tuple[DinnerState, str]:
    """The state with that taken in, and the sentence for it."""
    if state.unsure is None or seconds <= 0:
        return state, ""
    away_s = state.unsure.counted_s + seconds
    reply = wording.say("away.known", time=wording.said_duration(away_s))
    return _made_up(state, state.unsure, seconds), reply


def _made_up(state: DinnerState, unsure: Unsure, seconds: float) -> DinnerState:
    """The timers of that time are due so much earlier; never later."""

    def moved(timer: Timer) -> Timer:
        if timer.id not in unsure.timers or timer.due is None:
            return timer
        return replace(timer, due=timer.due - max(0.0, seconds))

    return replace(state, timers=tuple(moved(timer) for timer in state.timers), unsure=None)
