"""What to be careful of in a plan: raw food, the temperatures that published guidance gives, standing, fire.

Guidance with its source, never a guarantee; local rules come first. Nothing here forbids or changes anything.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kitchend.core.food_places import dish_name, row_of
from kitchend.core.plan import Plan, Step
from kitchend.core.quantities import show_duration, show_temperature
from kitchend.core.safety_rules import HeatRow, SafetyRules
from kitchend.core.time_at_heat import hold_s
from kitchend.doneness.guidance import CAUTION, Jurisdiction
from kitchend.doneness.rules import rules_for
from kitchend.reports.guidance_words import shown_degrees, shown_least
from kitchend.reports.heat_doubts import cooked_to, held_s

USUAL = rules_for(Jurisdiction.US_FSIS)
WASH = "Wash hands, board and knife after it, before anything that is eaten as it is."
_FIRE = re.compile(r"\b(charcoal|fire|coals?|embers?|smoker|barbecue)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class RawFood:
    """Something the plan calls raw, in which dishes, and the guidance for its kind, if any."""

    raw: str
    dishes: tuple[str, ...]
    least: HeatRow | None


def raw_foods(plan: Plan, rules: SafetyRules) -> tuple[RawFood, ...]:
    """What the plan calls raw, in its order."""
    dishes: dict[str, dict[str, None]] = {}
    rows: dict[str, HeatRow | None] = {}
    for step in plan.iter_steps():
        if step.raw:
            dishes.setdefault(step.raw, {})[dish_name(plan, step)] = None
            rows[step.raw] = row_of(plan, step, rules)
    return tuple(RawFood(raw=raw, dishes=tuple(found), least=rows[raw]) for raw, found in dishes.items())


def cautions(plan: Plan, rules: SafetyRules = USUAL) -> tuple[str, ...]:
    """Every caution as a sentence or two, those of raw food first."""
    foods = raw_foods(plan, rules)
    found = [_raw(food) for food in foods]
    found += filter(None, (_low(plan, step, rules) for step in plan.iter_steps()))
    stand, hot = show_duration(rules.stand_s), shown_degrees(rules.hot_c)
    sources = [food.least.source for food in foods if food.least is not None]
    sources += [rules.keeping_source, rules.stand_source]
    found += [
        "Measure in the thickest part, away from bone and tin, with a thermometer you trust.",
        f"Hot food stays hot, {hot} or more, and is off the heat for {stand} at most.",
        f"{CAUTION} Sources: {'; '.join(dict.fromkeys(sources))}.",
    ]
    if _has_fire(plan):
        found.append("Burn charcoal in the open air only: carbon monoxide has no smell and kills.")
    found.append("Never leave fire or hot fat alone because a timer is running.")
    return tuple(found)


def _raw(food: RawFood) -> str:
    advice = f" Advice is {shown_least(food.least)}." if food.least else ""
    return f"Raw {food.raw} ({', '.join(food.dishes)}). {WASH}{advice}"


def _low(plan: Plan, step: Step, rules: SafetyRules) -> str:
    """What makes up for a target below the guidance: how long to hold it, and how long the plan does."""
    row = cooked_to(plan, step, rules)
    if row is None or step.until is None or row.is_met_by(step.until.celsius):
        return ""
    needed = hold_s(row.holds, step.until.celsius)
    if needed is None:
        return ""
    target, held = show_temperature(step.until), show_duration(held_s(plan, step))
    worth = f"{target} held for {show_duration(needed)} is worth as much, {row.holds_source}"
    return f"{step.name}: guidance is {shown_least(row)}; {worth}. The plan holds it for {held}."


def _has_fire(plan: Plan) -> bool:
    names = [item.name for item in plan.equipment] + [step.name for step in plan.iter_steps()]
    return any(_FIRE.search(name) for name in names)
