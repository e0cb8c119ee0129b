"""What was said last, said again as true as it is now: "in two minutes" was true when it was said.

An answer is given anew, a warning counts from now, a call says how late it is. What cannot be made anew says
how long ago it was said, once that is long enough to matter. Words only.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from kitchend.core import calls, soon, wording
from kitchend.core.clock import Now
from kitchend.core.commands import AskNext, AskOn, AskOnTime, AskPass, AskTimeLeft, Command, SayAgain
from kitchend.core.effects import CallKind
from kitchend.core.lateness import as_late_as_now
from kitchend.core.outcome import Outcome, refusal
from kitchend.core.state import Call, DinnerState

ANSWERED = AskTimeLeft | AskNext | AskOn | AskPass | AskOnTime | SayAgain
"""Questions whose answer is made anew."""

AGO_S = 30.0
"""What was said longer ago than this may be otherwise by now."""
NEAREST_S = 15.0
"""A warning of what is nearer than this counts no more."""

Ask = Callable[[DinnerState, Command], Outcome]


def say_again(state: DinnerState, now: Now, ask: Ask) -> Outcome:
    """ "say again". `ask` gives a question's outcome."""
    if not state.last_calls:
        return refusal(state, state.last_words or wording.say("again.nothing"))
    return refusal(state, calls.in_one_breath([_anew(state, call, now, ask) for call in state.last_calls]))


def _anew(state: DinnerState, call: Call, now: Now, ask: Ask) -> Call:
    if call.asks is not None:
        return replace(call, text=ask(state, call.asks).reply)
    if call.kind is CallKind.SOON and (warning := _warning(state, call, now)) is not None:
        return warning
    # Its words are as true later; but *careful* says how long something has stood.
    is_plain = call.kind is not CallKind.CAREFUL and calls.needs_answer(call)
    if is_plain and calls.still_matters(state, call):
        return as_late_as_now(state, call, now)
    ago_s = 0.0 if state.last_said is None else now.instant - state.last_said
    if ago_s <= AGO_S:
        return call
    text = wording.say("again.ago", time=wording.said_duration(ago_s), text=call.text)
    return replace(call, text=text, clause="")


def _warning(state: DinnerState, call: Call, now: Now) -> Call | None:
    """The warning as it is by now; None where it is one no more."""
    planned = None if call.step is None or state.timeline is None else state.timeline.of(call.step)
    if planned is None or not calls.still_matters(state, call) or planned.start - now.wall < NEAREST_S:
        return None
    return soon.warning(state, state.step(planned.step), planned, now)
