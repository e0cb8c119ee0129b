"""What to be careful of in a plan: raw food, the temperatures that published guidance gives, standing, fire.

Guidance with its source, never a guarantee; local rules come first. Nothing here forbids or changes anything.
"""

from __future__ import annotations

from dataclasses import dataclass

from kitchend.core.food_places import cooked_to, dish_name, row_of
from kitchend.core.food_words import food_words
from kitchend.core.papers import written_duration
from kitchend.core.plan import Plan, Step
from kitchend.core.quantities import show_temperature
from kitchend.core.safety_rules import HeatRow, SafetyRules, words_in
from kitchend.core.time_at_heat import hold_s
from kitchend.core.tongue import of_state
from kitchend.core.wording import clause
from kitchend.doneness.guidance import Jurisdiction
from kitchend.doneness.rules import rules_for
from kitchend.reports.guidance_words import cited, shown_degrees, shown_least
from kitchend.reports.heat_doubts import held_s

USUAL = rules_for(Jurisdiction.US_FSIS)


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


@of_state
def cautions(plan: Plan, rules: SafetyRules = USUAL) -> tuple[str, ...]:
    """Every caution as a sentence or two, those of raw food first."""
    foods = raw_foods(plan, rules)
    found = [_raw(food) for food in foods]
    found += filter(None, (_low(plan, step, rules) for step in plan.iter_steps()))
    stand, hot = written_duration(rules.stand_s), shown_degrees(rules.hot_c)
    sources = [food.least.source for food in foods if food.least is not None]
    sources += [rules.keeping_source, rules.stand_source]
    named = "; ".join(dict.fromkeys(map(cited, sources)))
    found += [
        clause("mind.measure"),
        clause("mind.hot", hot=hot, stand=stand),
        clause("mind.sources", caution=clause("caution.guidance"), sources=named),
    ]
    if _has_fire(plan):
        found.append(clause("mind.fire"))
    found.append(clause("mind.alone"))
    return tuple(found)


def _raw(food: RawFood) -> str:
    told = clause("mind.raw", raw=food.raw, dishes=", ".join(food.dishes))
    return clause("mind.raw.least", raw=told, least=shown_least(food.least)) if food.least else told


def _low(plan: Plan, step: Step, rules: SafetyRules) -> str:
    """What makes up for a target below the guidance: how long to hold it, and how long the plan does."""
    row = cooked_to(plan, step, rules)
    if row is None or step.until is None or row.is_met_by(step.until.celsius):
        return ""
    needed = hold_s(row.holds, step.until.celsius)
    if needed is None:
        return ""
    return clause(
        "mind.low",
        step=step.name,
        least=shown_least(row),
        degrees=show_temperature(step.until),
        needed=written_duration(needed),
        source=cited(row.holds_source),
        held=written_duration(held_s(plan, step)),
    )


def _has_fire(plan: Plan) -> bool:
    names = [item.name for item in plan.equipment] + [step.name for step in plan.iter_steps()]
    return bool(words_in(*names) & food_words("fires"))
