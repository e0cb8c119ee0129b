"""Cooked food that waits: what readings show of it, and a call where it is kept less hot than guidance asks.

A thermometer that stays in a piece while it rests or is kept knows better than a plan's words whether it is
in the danger zone. What is heated or cooled on purpose says nothing of that. Guidance, no promise.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from kitchend.core import calls, wording
from kitchend.core.clock import Instant, Now
from kitchend.core.effects import CallKind
from kitchend.core.food_places import (
    Place,
    all_after,
    all_before,
    cooked_to,
    is_kept_hot,
    is_perishable,
    place_of,
    row_of,
)
from kitchend.core.names import scale_of, short_name
from kitchend.core.plan import Plan, Step
from kitchend.core.progress import steps_in
from kitchend.core.safety_rules import ROUNDING_C, SafetyRules
from kitchend.core.state import Call, DinnerState
from kitchend.core.steps import StepState

FRESH_S = 1800.0
"""What a reading shows of waiting food holds so long; after that the plan's words decide again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What readings show of food that was cooked: whether it is in the danger zone now, and since when."""

    is_in_zone: bool
    since: Instant


def seen(state: DinnerState, plan: Plan, cooked: Step, rules: SafetyRules, now: Now) -> Seen | None:
    """What the readings since a step ended show of what it cooked; None where there is none.

    It counts as in the zone since it was last read outside it, or since that step ended. A reading outside
    that is old only moves that moment.
    """
    ended = state.record_of(cooked.id).ended_at
    waits = {one.id for one in all_after(plan, cooked) if one.dish == cooked.dish and one.until is None}
    read = [one for one in state.readings if one.of in waits and ended is not None and one.at >= ended]
    if ended is None or not read:
        return None
    is_roast = _is_roast(plan, cooked, rules)
    outside = [one.at for one in read if not rules.is_in_danger_zone(one.celsius, is_roast=is_roast)]
    since = outside[-1] if outside else ended
    last = read[-1]
    is_in_zone = rules.is_in_danger_zone(last.celsius, is_roast=is_roast)
    return Seen(is_in_zone=is_in_zone or now.instant - last.at > FRESH_S, since=since)


def mind_kept(state: DinnerState, plan: Plan, rules: SafetyRules, now: Now) -> DinnerState:
    """The same state with a call for each step that is to keep food hot and is read too cool, once."""
    for step in steps_in(state, StepState.ON, StepState.UP):
        if step.id in state.minded.kept or not is_kept_hot(step, rules):
            continue
        last = next((one for one in reversed(state.readings) if one.of == step.id), None)
        least = _least_c(plan, step, rules)
        if last is None or least is None or not rules.cold_c < last.celsius < least - ROUNDING_C:
            continue
        minded = replace(state.minded, kept=(*state.minded.kept, step.id))
        text = wording.say(
            "kept",
            thing=short_name(step, plan),
            degrees=wording.said_celsius(last.celsius, scale_of(plan)),
            least=wording.said_celsius(least, scale_of(plan)),
            source=wording.clause(f"source.{rules.spoken}"),
        )
        call = Call(kind=CallKind.CAREFUL, text=text, at=now.instant)
        state = calls.add(replace(state, minded=minded), call)
    return state


def _least_c(plan: Plan, step: Step, rules: SafetyRules) -> float | None:
    """How hot a step is to keep its food; None where nothing that spoils was cooked before it.

    The hold of a low target is no colder than that target.
    """
    befores = [one for one in all_before(plan, step) if place_of(one, rules) is Place.HEAT]
    if not befores or not is_perishable(plan, step, rules):
        return None
    targets = [
        one.until.celsius
        for one in befores
        if one.until is not None and (row := cooked_to(plan, one, rules)) is not None and row.holds
    ]
    least = rules.keeps_hot_c(is_roast=_is_roast(plan, step, rules))
    return min([least, *targets])


def _is_roast(plan: Plan, step: Step, rules: SafetyRules) -> bool:
    row = row_of(plan, step, rules)
    return row is not None and bool(row.holds)
