"""A question that waits while the cook says something else: kept and asked once more, or let go.

It is kept where what was said is about something else, so that a later "yes" is for the question last heard.
What was done to the very thing it asked about has answered it. It is asked again once; who passes over it
twice does not want it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from kitchend.core.clock import Now
from kitchend.core.commands import Command, HeardIt, No, NumberSaid, Pick, Quiet, SayAgain, Undo, Yes
from kitchend.core.obey_steps import LAPSE_S
from kitchend.core.outcome import Outcome
from kitchend.core.state import DinnerState

OF_THE_TALK = Yes | No | Pick | NumberSaid | HeardIt | Quiet | Undo
"""What is about the question itself, or about what was said before it."""

Do = Callable[[DinnerState, Command], Outcome]


def kept(before: DinnerState, command: Command, outcome: Outcome, now: Now, do: Do) -> Outcome:
    """The outcome of a command said while a question was open, with the question asked again if it matters.

    `do` carries out a command as if it had been asked for surely.
    """
    asked = before.asked
    if asked is None or asked.stays or outcome.state.asked is not None:
        return outcome
    if asked.is_again and not isinstance(command, SayAgain):
        return outcome
    if isinstance(command, OF_THE_TALK):
        return outcome
    choices = asked.choices if asked.yes is None else (*asked.choices, asked.yes)
    would_touch = [_touched(before, do(before, choice.command).state) for choice in choices]
    touched = _touched(before, outcome.state)
    if any(not one or one & touched for one in would_touch):
        return outcome
    again = replace(asked, lapses=now.instant + LAPSE_S, is_again=True)
    reply = outcome.reply if asked.text in outcome.reply else f"{outcome.reply} {asked.text}".strip()
    return replace(outcome, state=replace(outcome.state, asked=again), reply=reply)


def _touched(before: DinnerState, after: DinnerState) -> frozenset[str]:
    """What of a dinner another state has otherwise: steps, timers, what was read, and the pass."""
    steps = {one for one in after.records if after.records[one] != before.records.get(one)}
    was, now = ({timer.id: timer for timer in state.timers} for state in (before, after))
    timers = {str(one) for one in was.keys() | now.keys() if was.get(one) != now.get(one)}
    read = {str(one.of) for one in set(before.readings) ^ set(after.readings)}
    serve = {"the pass"} if before.serve != after.serve else set()
    return frozenset({*map(str, steps), *timers, *read, *serve})
