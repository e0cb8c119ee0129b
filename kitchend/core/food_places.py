"""Where food is during a step, by the plan alone: in the heat, kept hot or cold, or out in the danger zone.

Asked by the check of a plan and by the dinner, so that both judge alike. A plan's words for places and for
cooking are looked up in `food_words`; what none of them fits is out in the room.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from enum import Enum

from kitchend.core.food_words import food_word_groups, food_words
from kitchend.core.plan import Plan, Step, StepId
from kitchend.core.safety_rules import ROUNDING_C, HeatRow, SafetyRules, words_in


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
    if is_cold_work(step):
        is_kept = first in food_words("chilling") or _is_in(step, "keepers", "cold keepers")
        return Place.KEPT if is_kept else Place.OUT
    if step.until is not None:
        return Place.HEAT
    if degrees is not None:
        return Place.OUT if room_c(step, rules) is not None else Place.HEAT
    if _is_in(step, "keepers", "cold keepers"):
        return Place.KEPT
    is_cooked = not step.uses and first in food_words("cooking")
    return Place.HEAT if is_cooked or _is_in(step, "heaters") else Place.OUT


def is_kept_hot(step: Step, rules: SafetyRules) -> bool:
    """Whether a step keeps hot what others cooked: no reading ends it, and nothing there is cold."""
    is_cooking = first_word(step) in food_words("cooking") | food_words("reheating")
    if step.until is not None or is_cooking or _is_in(step, "cold keepers") or is_cold_work(step):
        return False
    degrees = warmest_c(step)
    if degrees is not None:
        return degrees > rules.warm_c
    return place_of(step, rules) is not Place.OUT


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


def is_cold_work(step: Step) -> bool:
    """Whether a step cools or thaws food: what it reads then is not what it was cooked to."""
    return first_word(step) in food_words("cooling") | food_words("thawing")


def cools(step: Step) -> bool:
    """Whether a step is to make food colder, so that a reading which ends it has to fall to its number."""
    return first_word(step) in food_words("cooling")


def reheats(step: Step) -> bool:
    """Whether a step heats what was cooked before."""
    return first_word(step) in food_words("reheating")


def is_in_oven(step: Step) -> bool:
    """Whether a step roasts in hot air."""
    return _is_in(step, "ovens")


def _is_in(step: Step, *places: str) -> bool:
    known = frozenset[str]().union(*map(food_words, places))
    return any(words_in(str(use.equipment)) & known for use in step.uses)


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
    hints = dishes | (words_in(*(one.name for one in line)) - food_words("also.plants"))
    hints &= {*rules.minced.words, *rules.stuffed.words}
    raws = [words_in(one.raw) for one in line if one.raw]
    rows = [row for raw in raws if rules.rows_of(raw) for row in rules.rows_of(raw | hints)]
    if not raws:
        rows = list(rules.rows_of((words_in(dish_name(plan, step)) | hints) - food_words("unsure")))
    return max(rows, key=lambda row: row.celsius, default=None)


def cooked_to(plan: Plan, step: Step, rules: SafetyRules) -> HeatRow | None:
    """The guidance for the reading that ends a step; None where none ends it, or it cools or thaws."""
    if step.until is None or is_cold_work(step):
        return None
    return rules.reheated if reheats(step) else row_of(plan, step, rules)


def dish_name(plan: Plan, step: Step) -> str:
    """The name of the dish a step belongs to; for what kitchend added, the equipment's."""
    return next((dish.name for dish in plan.dishes if dish.id == step.dish), str(step.dish))


def is_perishable(plan: Plan, step: Step, rules: SafetyRules) -> bool:
    """Whether what a step handles spoils in the warmth: cooked by a reading, raw, or known by its name."""
    line = (step, *all_before(plan, step))
    words = words_in(dish_name(plan, step))
    if any(one.until is not None for one in line):
        return row_of(plan, step, rules) is not None or not words & food_words("baked")
    return row_of(plan, step, rules) is not None or bool(words & food_words("perishable"))


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


def washes_hands(step: Step) -> bool:
    """Whether a step is the washing of hands itself."""
    return any(words <= words_in(step.name) for words in food_word_groups("washing"))
