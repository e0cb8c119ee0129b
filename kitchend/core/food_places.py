"""Where food is during a step, by the plan alone: in the heat, kept hot or cold, or out in the danger zone.

Asked by the check of a plan and by the dinner, so that both judge alike. A plan's words for places and for
cooking are looked up here; what none of them fits is out in the room.
The words of every language count: what a word means does not depend on who asks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from enum import Enum

from kitchend.core.food_words import sets_for, words_for
from kitchend.core.plan import Plan, Step, StepId
from kitchend.core.safety_rules import ROUNDING_C, HeatRow, SafetyRules, words_in

HEATERS = frozenset(words_for("heaters"))
KEEPERS = frozenset(words_for("keepers"))
COOKING = frozenset(words_for("cooking"))
CHILLING = frozenset(words_for("chilling"))
COOLING = frozenset(words_for("cooling"))
REHEATING = frozenset(words_for("reheating"))
NOT_BY_NAME = frozenset(words_for("not by name"))
"""Kinds that a dish's name alone does not make."""
NOT_BY_STEP = frozenset(words_for("not by step"))
"""Kinds that a step's name alone does not make."""
BAKED = frozenset(words_for("baked"))
"""What may stand though it was cooked by a reading."""
PERISHABLE = frozenset(words_for("perishable"))
"""Cooked food that does not keep in the warmth though no raw meat is in it (FDA Food Code 1-201.10)."""


class Place(Enum):
    """Where food is while a step goes on."""

    HEAT = "heat"
    KEPT = "kept"
    OUT = "out"


def place_of(step: Step, rules: SafetyRules) -> Place:
    """Where the food of a step is."""
    first, degrees = first_word(step), warmest_c(step)
    if degrees is not None and degrees <= rules.cold_c + ROUNDING_C:
        return Place.KEPT
    if first in COOLING:
        return Place.KEPT if first in CHILLING or _is_in(step, KEEPERS) else Place.OUT
    if step.until is not None:
        return Place.HEAT
    if degrees is not None:
        return Place.OUT if room_c(step, rules) is not None else Place.HEAT
    if _is_in(step, KEEPERS):
        return Place.KEPT
    return Place.HEAT if _is_in(step, HEATERS) or (not step.uses and first in COOKING) else Place.OUT


def first_word(step: Step) -> str:
    """The word of a step's name that is what to do, its first, in Hangul its last; empty for no word."""
    words = step.name.casefold().split()
    if not words:
        return ""
    return words[-1] if "가" <= words[-1][-1] <= "힣" else words[0]


def warmest_c(step: Step) -> float | None:
    """The temperature of the place a step is in, where the plan tells it."""
    return max((use.at.celsius for use in step.uses if use.at is not None), default=None)


def room_c(step: Step, rules: SafetyRules) -> float | None:
    """The same where it is in the danger zone, and nothing is being cooked there until a reading."""
    degrees = warmest_c(step)
    is_there = degrees is not None and rules.cold_c + ROUNDING_C < degrees < rules.hot_c - ROUNDING_C
    return degrees if is_there and step.until is None else None


def _is_in(step: Step, places: frozenset[str]) -> bool:
    return any(words_in(str(use.equipment)) & places for use in step.uses)


def all_after(plan: Plan, step: Step) -> tuple[Step, ...]:
    """What follows a step, directly or not."""
    return _reached(step, lambda one: (other for other in plan.iter_steps() if one.id in other.after))


def all_before(plan: Plan, step: Step) -> tuple[Step, ...]:
    """What a step follows, directly or not."""
    return _reached(step, lambda one: map(plan.step, one.after))


def _reached(step: Step, ways: Callable[[Step], Iterable[Step]]) -> tuple[Step, ...]:
    found: dict[StepId, Step] = {}
    open_ends = [step]
    while open_ends:
        for one in ways(open_ends.pop()):
            if one.id not in found:
                found[one.id] = one
                open_ends.append(one)
    return tuple(found.values())


def row_of(plan: Plan, step: Step, rules: SafetyRules) -> HeatRow | None:
    """The guidance for what a step cooks, by what is raw in it and else by its dish's name; None: none fits.

    Of several kinds in one dish the strictest counts.
    """
    line = (step, *all_before(plan, step))
    dishes = words_in(*(dish_name(plan, one) for one in line))
    hints = dishes | (words_in(*(one.name for one in line)) - NOT_BY_STEP)
    hints &= {*rules.minced.words, *rules.stuffed.words}
    raws = [words_in(one.raw) for one in line if one.raw]
    rows = [row for raw in raws if rules.rows_of(raw) for row in rules.rows_of(raw | hints)]
    if not raws:
        rows = list(rules.rows_of((words_in(dish_name(plan, step)) | hints) - NOT_BY_NAME))
    return max(rows, key=lambda row: row.celsius, default=None)


def dish_name(plan: Plan, step: Step) -> str:
    """The name of the dish a step belongs to; for what kitchend added, the equipment's."""
    return next((dish.name for dish in plan.dishes if dish.id == step.dish), str(step.dish))


def is_perishable(plan: Plan, step: Step, rules: SafetyRules) -> bool:
    """Whether what a step handles spoils in the warmth: cooked by a reading, raw, or known by its name."""
    line = (step, *all_before(plan, step))
    words = words_in(dish_name(plan, step))
    if any(one.until is not None for one in line):
        return row_of(plan, step, rules) is not None or not words & BAKED
    return row_of(plan, step, rules) is not None or bool(words & PERISHABLE)


def touches_ready(plan: Plan, step: Step, rules: SafetyRules) -> bool:
    """Whether hands touch something that is eaten as it is: nothing raw in it, and no heat to come."""
    if step.hands_s == 0 or step.raw or step.added or step.during or washes_hands(step):
        return False
    return all(place_of(one, rules) is not Place.HEAT for one in (step, *all_after(plan, step)))


def raw_reach(plan: Plan, step: Step, rules: SafetyRules) -> frozenset[StepId]:
    """A raw step and what follows it as far as the first heat, which is put on with raw hands too.

    What follows it in another dish counts only where it is cooked itself.
    """
    found = {step.id}
    for one in all_after(plan, step):
        between = (other for other in all_before(plan, one) if other.id in found)
        is_same = one.dish == step.dish or not touches_ready(plan, one, rules)
        if is_same and all(place_of(other, rules) is not Place.HEAT for other in between):
            found.add(one.id)
    return frozenset(found)


WASHING = sets_for("washing hands")


def washes_hands(step: Step) -> bool:
    """Whether a step is the washing of hands itself."""
    return any(words <= words_in(step.name) for words in WASHING)
