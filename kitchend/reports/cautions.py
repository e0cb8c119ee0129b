"""What to be careful of in a plan: raw food, the temperatures that published guidance gives, standing, fire.

Guidance with its source, never a guarantee; local rules come first. Nothing here forbids or changes anything.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kitchend.core.plan import Plan
from kitchend.core.quantities import show_duration
from kitchend.files.safe import SOURCE, STANDING_S, SafeMinimum, minimum_for

GUIDANCE = f"Temperatures are guidance, not a guarantee; local rules come first. Source: {SOURCE}."
WASH = "Wash hands, board and knife after it, before anything that is eaten as it is."
_FIRE = re.compile(r"\b(charcoal|fire|coals?|embers?|smoker|barbecue)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class RawFood:
    """Something the plan calls raw, in which dishes, and the published minimum for its kind, if any."""

    raw: str
    dishes: tuple[str, ...]
    minimum: SafeMinimum | None


def raw_foods(plan: Plan) -> tuple[RawFood, ...]:
    """What the plan calls raw, in its order."""
    dishes: dict[str, dict[str, None]] = {}
    for dish in plan.dishes:
        for step in dish.steps:
            if step.raw:
                dishes.setdefault(step.raw, {})[dish.name] = None
    return tuple(
        RawFood(raw=raw, dishes=tuple(found), minimum=minimum_for(raw)) for raw, found in dishes.items()
    )


def said_minimum(minimum: SafeMinimum) -> str:
    """ "74 C (165 F) inside for poultry", with the rest it needs."""
    rest = f", then {show_duration(minimum.rest_s)} of rest" if minimum.rest_s else ""
    return f"{minimum.celsius:.0f} C ({minimum.fahrenheit} F) inside for {minimum.kind}{rest}"


def cautions(plan: Plan) -> tuple[str, ...]:
    """Every caution as a sentence or two, those of raw food first."""
    found = [_raw(food) for food in raw_foods(plan)]
    found += [
        "Measure in the thickest part, away from bone and tin, with a thermometer you trust.",
        f"Hot food stays hot, 60 C or more, and is off the heat for {show_duration(STANDING_S)} at most.",
        GUIDANCE,
    ]
    if _has_fire(plan):
        found.append("Burn charcoal in the open air only: carbon monoxide has no smell and kills.")
    found.append("Never leave fire or hot fat alone because a timer is running.")
    return tuple(found)


def _raw(food: RawFood) -> str:
    advice = f" Advice is {said_minimum(food.minimum)}." if food.minimum else ""
    return f"Raw {food.raw} ({', '.join(food.dishes)}). {WASH}{advice}"


def _has_fire(plan: Plan) -> bool:
    names = [item.name for item in plan.equipment] + [step.name for step in plan.iter_steps()]
    return any(_FIRE.search(name) for name in names)
