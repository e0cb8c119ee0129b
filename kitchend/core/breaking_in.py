"""The cook speaks while kitchend does: what is obeyed stops it at once.

Calls of it that nobody has answered by that are said again, as after every interruption; a reply is not,
for who cuts it short has heard enough, nor what asks for nothing once it has been cut short twice. What was
not understood, and what was typed, stops nothing; but half a "quiet" does: silence costs little, and what it
cut short comes back when it would have come back anyway.
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core import calls
from kitchend.core.effects import CallKind, StopSpeaking
from kitchend.core.outcome import Outcome
from kitchend.core.state import Call, DinnerState


def break_in(outcome: Outcome) -> Outcome:
    """The same outcome, kitchend silent first if it was saying anything."""
    state, speaking = outcome.state, outcome.state.speaking
    is_stopped = any(isinstance(effect, StopSpeaking) for effect in outcome.effects)
    if speaking is None or state.broken_off is not None or is_stopped:
        return outcome
    unsaid = (_cut_short(call) for call in state.saying if call.kind is not CallKind.REPLY)
    state = replace(state, saying=tuple(call for call in unsaid if call is not None), broken_off=speaking)
    stop = StopSpeaking(utterance=speaking)
    return replace(outcome, state=state, effects=(stop, *outcome.effects))


def _cut_short(call: Call) -> Call | None:
    """How it is said again; None: not at all."""
    if calls.needs_answer(call):
        return call
    return None if call.again else replace(call, again=1)


def half_quiet(state: DinnerState) -> Outcome | None:
    """Silence for half a "quiet"; None where nothing is said, or what would never come back."""
    is_said_again = all(call.kind is CallKind.REPLY or calls.needs_answer(call) for call in state.saying)
    if state.speaking is None or state.broken_off is not None or not is_said_again:
        return None
    return Outcome(state=state, effects=(StopSpeaking(utterance=state.speaking),))
