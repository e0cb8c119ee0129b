"""What a cook has to mind beside what is on: careful calls, each pass of several, how kitchend keeps quiet.

Facts for the page to show, derived from the state; the words come from the table.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from kitchend.board.watch import Line
from kitchend.core.board_words import shown_span
from kitchend.core.clock import Now
from kitchend.core.effects import CallKind
from kitchend.core.hush import is_quiet, is_whispering
from kitchend.core.pass_talk import passes_to_come
from kitchend.core.passes import late_passes
from kitchend.core.plan import Step, StepId
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.reports.rows import cook_name

STANDS_S = 180.0
"""How long a careful call that asks for no answer stands on the page; common practice."""


def careful_steps(state: DinnerState) -> frozenset[StepId]:
    """The steps that a careful call is open or waiting for."""
    calls = (*state.open_calls, *state.saying, *state.waiting_calls)
    return frozenset(c.step for c in calls if c.kind is CallKind.CAREFUL and c.step is not None)


def careful_words(state: DinnerState, now: Now, lines: Iterable[Line]) -> list[str]:
    """What was said with care lately, the newest first; what stands on a step's card is left out."""
    calls = (*state.open_calls, *state.saying, *state.waiting_calls)
    on_cards = {c.text for c in calls if c.step is not None} | {c.short for c in calls if c.step is not None}
    since = now.wall.epoch_s - STANDS_S
    said = [one.text for one in lines if one.kind == CallKind.CAREFUL.value and one.at_s >= since]
    return [text for text in dict.fromkeys(reversed(said)) if text not in on_cards]


def cook_of_step(state: DinnerState, step: Step) -> str:
    """Whose hands a step is for, as the plan's papers name them; empty where there is one cook."""
    planned = state.timeline.of(step.id) if state.timeline is not None else None
    if state.plan is None or planned is None or step.hands_s == 0:
        return ""
    return cook_name(state.plan, planned.cook)


def several_passes(state: DinnerState, words: Mapping[str, str]) -> list[dict[str, Any]]:
    """Each pass to come with its dishes and how late it is; empty where there is but one."""
    if state.plan is None or state.serve is None:
        return []
    late = (
        {} if state.timeline is None else {p.one: p.late_s for p in late_passes(state.plan, state.timeline)}
    )
    ahead = passes_to_come(state)
    return [
        {
            "at": one.at(state.serve).epoch_s,
            "dishes": [dish.name for dish in one.dishes],
            "words": words["late"].format(time=shown_span(late[one], words))
            if late.get(one, 0) >= 60
            else words["on time"],
        }
        for one in (ahead if len(ahead) > 1 else ())
    ]


def tone_view(state: DinnerState, now: Now) -> dict[str, Any] | None:
    """That kitchend keeps quiet, until when, or whispers; None where it speaks as usual."""
    until = state.tone.quiet_until
    if is_quiet(state, now) and until is not None:
        return {"key": "tone.quiet", "until": now.wall_of(until).epoch_s}
    return {"key": "tone.whisper", "until": None} if is_whispering(state, now, CallKind.NOW) else None


def shows_safety_figures(state: DinnerState) -> bool:
    """Whether a temperature stands on the page that food has to reach: the note of guidance goes with it."""
    going = (StepState.CALLED, StepState.ON, StepState.UP, StepState.HELD)
    shown = (step for step in state.steps if state.state_of(step.id) in going)
    return bool(state.readings) or any(step.until is not None for step in shown)
