"""What the listener made of recordings, for people and for programs: the words and what they mean here.

The keys of the JSON are relied on by other programs: more may be added, none removed. Nothing is listened to
here.
"""

from __future__ import annotations

from typing import Any

from kitchend.core.clock import Now
from kitchend.core.commands import Command, NumberSaid, Unclear
from kitchend.core.dinner import step
from kitchend.core.events import PhraseHeard
from kitchend.core.intents import intent_name, understand
from kitchend.core.numbers import number_of
from kitchend.core.resolve import steps_named
from kitchend.core.state import DinnerState
from kitchend.hearing.ports import Heard

DIGITS = 3


def hear_json(file: str, heard: Heard, state: DinnerState, now: Now) -> dict[str, Any]:
    """One recording, heard in the dinner `state`; `asks` is the question it would be answered with."""
    command = understand(heard.text, state).command if heard.accepted else Unclear(text=heard.text)
    is_command = not isinstance(command, Unclear)
    return {
        "file": file,
        "text": heard.text,
        "accepted": heard.accepted,
        "asks": _question(heard, state, now) if heard.accepted else None,
        "reason": heard.reason,
        "intent": intent_name(command) if is_command else None,
        "step": _step(command, state),
        "minutes": _minutes(command),
        "degrees": getattr(command, "degrees", None),
        "number": _number(command),
        "doubts": list(heard.doubts),
        "free_text": heard.free_text,
        "took_s": round(heard.took_s, DIGITS),
        "audio_s": round(heard.audio_s, DIGITS),
    }


def hear_line(result: dict[str, Any]) -> str:
    """The same as one line for people."""
    took = f"({result['audio_s']:.1f} s of sound, {result['took_s']:.1f} s of work)"
    if not result["accepted"]:
        return f"{result['file']}: nothing, {result['reason']} {took}"
    asks = f" - asks: {result['asks']}" if result["asks"] else ""
    return f"{result['file']}: {result['text']} [{result['intent'] or 'unclear'}]{asks} {took}"


def _question(heard: Heard, state: DinnerState, now: Now) -> str | None:
    event = PhraseHeard(text=heard.text, started=now.instant, doubts=heard.doubts, is_typed=True)
    after, _ = step(state, event, now)
    asked = after.asked
    # One that waited meanwhile is asked again, whatever was said.
    is_new = asked is not None and asked is not state.asked and not asked.is_again
    return asked.text if asked is not None and is_new else None


def _step(command: Command | Unclear, state: DinnerState) -> str | None:
    """The name of the step that is meant; what was said if it fits several or none."""
    name = getattr(command, "name", None)
    if name is None:
        return None
    found = steps_named(state, name)
    return found[0].name if len(found) == 1 else str(name)


def _number(command: Command | Unclear) -> int | None:
    """The number said on its own; None of a time of day, or where no question is answered."""
    return number_of(command.words) if isinstance(command, NumberSaid) else None


def _minutes(command: Command | Unclear) -> float | None:
    seconds = getattr(command, "seconds", None)
    return None if seconds is None else round(seconds / 60, DIGITS)
