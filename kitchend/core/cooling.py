"""Cooked food that is getting cold: judged by its readings against published limits, and called in time.

What cools in several steps of one dish (on the table, then in the fridge) is one cooling. Without readings
nothing is known and nothing said here; that food has been out is called by `safety`. Guidance, no promise.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from kitchend.core import calls, wording
from kitchend.core.clock import Instant, Now
from kitchend.core.effects import CallKind
from kitchend.core.food_places import all_before, cools, is_perishable
from kitchend.core.names import scale_of, short_name
from kitchend.core.plan import Plan, Step, StepId
from kitchend.core.progress import steps_in
from kitchend.core.safety_rules import ROUNDING_C, CoolingLimits, SafetyRules
from kitchend.core.state import Call, DinnerState
from kitchend.core.steps import StepState

AHEAD_S = 900.0
"""How long before a limit the cook is told: time enough to spread it out or put it on ice."""
JUST_AFTER_S = 1.0


class Cooling(Enum):
    """Where a cooling food is. The value names its call."""

    ON_COURSE = "cooling.soon"
    DONE = "cooling.done"
    LATE_FIRST = "cooling.late"
    LATE = "cooling.late.total"


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolingState:
    """What is known of a cooling: where it is, the line to be passed next and how long until then.

    `left_s` is None where nothing is to come; `limit_s` is the time that this line has in all.
    """

    state: Cooling
    aim_c: float
    limit_s: int
    left_s: float | None = None


def cooling_of(
    limits: CoolingLimits, times_s: Sequence[float], temps_c: Sequence[float], now_s: float
) -> CoolingState:
    """Judge a cooling by its readings; it began when the food was last at `first_c` or more.

    Without any such reading it began at the first. A crossing counts when a reading shows it, not before.
    Raises ValueError for no readings, for what is no finite number, and for times that do not pair.
    """
    if not times_s:
        raise ValueError("no readings of a cooling")
    if len(times_s) != len(temps_c) or not all(map(math.isfinite, (*times_s, *temps_c, now_s))):
        raise ValueError("a cooling needs as many finite times as temperatures, and when it is")
    pairs = sorted(zip(times_s, temps_c, strict=True))
    hot = [place for place, (_, temp) in enumerate(pairs) if temp >= limits.first_c - ROUNDING_C]
    pairs = pairs[hot[-1] :] if hot else pairs
    began = pairs[0][0]
    middle = _first_at_or_below(pairs, limits.middle_c)
    last = _first_at_or_below(pairs, limits.last_c)
    if (now_s if middle is None else middle) - began > limits.first_s:
        return CoolingState(state=Cooling.LATE_FIRST, aim_c=limits.middle_c, limit_s=limits.first_s)
    if (now_s if last is None else last) - began > limits.total_s:
        return CoolingState(state=Cooling.LATE, aim_c=limits.last_c, limit_s=limits.total_s)
    if last is not None:
        return CoolingState(state=Cooling.DONE, aim_c=limits.last_c, limit_s=limits.total_s)
    aim, limit = (limits.middle_c, limits.first_s) if middle is None else (limits.last_c, limits.total_s)
    return CoolingState(state=Cooling.ON_COURSE, aim_c=aim, limit_s=limit, left_s=began + limit - now_s)


def _first_at_or_below(pairs: list[tuple[float, float]], limit_c: float) -> float | None:
    return next((moment for moment, temp in pairs if temp <= limit_c + ROUNDING_C), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Going:
    """A cooling that goes on: its first step, its present one, its last reading, the judgement."""

    first: Step
    step: Step
    last_c: float
    judged: CoolingState

    @property
    def mark(self) -> tuple[StepId, str]:
        """What is kept so that one call is made once."""
        return self.first.id, f"{self.judged.state.value} {self.judged.limit_s}"


def mind_cooling(state: DinnerState, plan: Plan, rules: SafetyRules, now: Now) -> DinnerState:
    """The same state with every call about a cooling that is due by now, each once."""
    limits = rules.cooling
    if limits is None:
        return state
    for going in _goings(state, plan, rules, limits, now):
        judged = going.judged
        is_due = judged.left_s is None or judged.left_s <= AHEAD_S
        if judged.state is Cooling.DONE or not is_due or going.mark in state.minded.cooled:
            continue
        minded = replace(state.minded, cooled=(*state.minded.cooled, going.mark))
        text = wording.say(
            judged.state.value,
            thing=short_name(going.step, plan),
            degrees=wording.said_celsius(going.last_c, scale_of(plan)),
            aim=wording.said_celsius(judged.aim_c, scale_of(plan)),
            limit=wording.said_duration(judged.limit_s),
            left=wording.said_duration(max(60.0, judged.left_s or 0.0)),
            source=wording.clause(f"source.{limits.spoken}"),
        )
        call = Call(kind=CallKind.CAREFUL, text=text, at=now.instant)
        state = calls.add(replace(state, minded=minded), call)
    return state


def cooling_moments(state: DinnerState, plan: Plan, rules: SafetyRules, now: Now) -> Iterator[Instant]:
    """When time alone will bring such a call."""
    for going in () if rules.cooling is None else _goings(state, plan, rules, rules.cooling, now):
        if going.judged.left_s is not None:
            yield now.instant + (going.judged.left_s - AHEAD_S)
            yield now.instant + (going.judged.left_s + JUST_AFTER_S)


def _goings(
    state: DinnerState, plan: Plan, rules: SafetyRules, limits: CoolingLimits, now: Now
) -> Iterator[_Going]:
    """What is cooling just now and was read."""
    for step in steps_in(state, StepState.ON, StepState.UP, StepState.HELD):
        if not cools(step) or not is_perishable(plan, step, rules):
            continue
        line = [one for one in all_before(plan, step) if one.dish == step.dish and cools(one)] + [step]
        own = {one.id for one in line}
        read = [one for one in state.readings if one.of in own]
        if read:
            times, temps = [one.at.s for one in read], [one.celsius for one in read]
            judged = cooling_of(limits, times, temps, now.instant.s)
            yield _Going(first=line[0], step=step, last_c=read[-1].celsius, judged=judged)
