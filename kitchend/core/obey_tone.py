"""Commands about how kitchend speaks: louder, softer, whispering, quiet for a while. Undo takes them back."""

from __future__ import annotations

from dataclasses import replace

from kitchend.core import hush, wording, wording_calls
from kitchend.core.clock import Now
from kitchend.core.commands import Louder, QuietFor, Whisper
from kitchend.core.outcome import Outcome, refusal
from kitchend.core.state import DinnerState, Tone


def louder(state: DinnerState, command: Louder) -> Outcome:
    """A step up or down, within bounds; said at the new level, so that the cook hears it."""
    wanted = state.tone.louder_db + command.steps * hush.STEP_DB
    level = max(-hush.MOST_DB, min(hush.MOST_DB, wanted))
    key = "louder" if command.steps > 0 else "softer"
    if level == state.tone.louder_db:
        return refusal(state, wording.say(f"{key}.most"))
    return _with(state, replace(state.tone, louder_db=level), wording.say(key))


def whisper(state: DinnerState, command: Whisper, now: Now) -> Outcome:
    """Whisper, or speak up again, until the quiet hours begin or end."""
    is_hour = hush.is_quiet_hour(state, now)
    tone = replace(state.tone, whispers=command.is_on, is_hour=is_hour)
    if not command.is_on and state.tone.is_quiet_at(now.instant):
        tone = replace(tone, quiet_until=now.instant)
    return _with(state, tone, wording.say("whisper" if command.is_on else "whisper.off"))


def quiet_for(state: DinnerState, command: QuietFor, now: Now) -> Outcome:
    """No calls for so long but *careful*; what falls due is kept."""
    tone = replace(state.tone, quiet_until=now.instant + command.seconds)
    return _with(state, tone, wording_calls.quiet_for(command.seconds))


def _with(state: DinnerState, tone: Tone, reply: str) -> Outcome:
    return Outcome(state=replace(state, tone=tone), reply=reply, what=reply)
