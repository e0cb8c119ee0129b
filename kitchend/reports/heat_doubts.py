"""Where a plan heats, holds, cools or reheats food less than published guidance asks.

What is cooked is told by `raw`, and else by the names of dish and steps. A low target that the plan holds
long enough by a published table is no doubt.
"""

from __future__ import annotations

from collections.abc import Iterator

from kitchend.core.food_places import (
    Place,
    all_after,
    all_before,
    cooked_to,
    cools,
    dish_name,
    is_cold_work,
    is_in_oven,
    is_perishable,
    place_of,
    reheats,
    room_c,
    row_of,
    warmest_c,
)
from kitchend.core.papers import written_duration
from kitchend.core.plan import Plan, Step
from kitchend.core.quantities import show_temperature
from kitchend.core.safety_rules import ROUNDING_C, SafetyRules, words_in
from kitchend.core.time_at_heat import hold_s
from kitchend.core.wording import clause
from kitchend.errors import Problem
from kitchend.files.complaints import echo
from kitchend.files.plan_yaml import Checked
from kitchend.reports.guidance_words import cited, shown_degrees, shown_least

ROOM_C = 45.0
"""Up to here a place with a temperature may be a hot day; above it somebody means to keep food warm."""
ROASTS = ("whole cuts of meat", "fresh ham")


def heat_doubts(checked: Checked, plan: Plan, step: Step, rules: SafetyRules) -> Iterator[Problem]:
    """Every doubt about the temperatures of one step."""
    yield from _target(checked, plan, step, rules)
    yield from _unmeasured(checked, plan, step, rules)
    yield from _holding(checked, plan, step, rules)
    yield from _cooling(checked, plan, step, rules)
    yield from _reheating(checked, plan, step, rules)
    yield from _roast_oven(checked, plan, step, rules)


def held_s(plan: Plan, step: Step) -> int:
    """How long the plan keeps what a reading ended at that temperature or above, in the steps right after."""
    held, last = 0, step
    while step.until is not None:
        following = [one for one in plan.iter_steps() if last.id in one.after and one.dish == step.dish]
        heat = warmest_c(following[0]) if len(following) == 1 else None
        if heat is None or heat < step.until.celsius - ROUNDING_C:
            break
        last = following[0]
        held += last.takes.low_s
    return held


def _target(checked: Checked, plan: Plan, step: Step, rules: SafetyRules) -> Iterator[Problem]:
    row = cooked_to(plan, step, rules)
    if row is None or step.until is None or row.is_met_by(step.until.celsius):
        return
    later = (one.until for one in all_after(plan, step) if cooked_to(plan, one, rules) is not None)
    if any(until is not None and row.is_met_by(until.celsius) for until in later):
        return
    needed, held = hold_s(row.holds, step.until.celsius), held_s(plan, step)
    if needed is not None and held >= needed:
        return
    message = clause(
        "doubt.under",
        degrees=show_temperature(step.until),
        least=shown_least(row),
        source=cited(row.source),
    )
    hint = _beside(plan, step, rules) if reheats(step) else clause("doubt.local")
    if needed is not None:
        hint = clause(
            "doubt.worth.held" if held else "doubt.worth",
            needed=written_duration(needed),
            held=written_duration(held),
            source=cited(row.holds_source),
        )
    yield checked.doubt(step.id, "until", message, hint)


def _unmeasured(checked: Checked, plan: Plan, step: Step, rules: SafetyRules) -> Iterator[Problem]:
    row = row_of(plan, step, rules) if step.raw else None
    later = (step, *all_after(plan, step))
    if row is None or any(one.until and not is_cold_work(one) for one in later):
        return
    message = clause("doubt.unmeasured", raw=echo(step.raw or ""))
    hint = clause("doubt.until", least=shown_least(row), source=cited(row.source))
    yield checked.doubt(step.id, "raw", message, hint)


def _holding(checked: Checked, plan: Plan, step: Step, rules: SafetyRules) -> Iterator[Problem]:
    heat = room_c(step, rules)
    if heat is None or heat <= ROOM_C or is_cold_work(step):
        return
    befores = all_before(plan, step)
    is_cooked = any(place_of(one, rules) is Place.HEAT for one in befores)
    if not is_cooked or not is_perishable(plan, step, rules) or _still_cooks(plan, step, rules):
        return
    row = row_of(plan, step, rules)
    is_roast = row is not None and row.holds and rules.roast_hot_c is not None
    least = rules.roast_hot_c if is_roast and rules.roast_hot_c is not None else rules.hot_c
    if heat >= least - ROUNDING_C:
        return
    message = clause(
        "doubt.holding",
        degrees=f"{heat:.0f}",
        least=shown_degrees(least),
        source=cited(rules.keeping_source),
    )
    key = "in" if checked.linked.written[step.id].section.has("in") else "on"
    yield checked.doubt(step.id, key, message, clause("doubt.holding.hint"))


def _still_cooks(plan: Plan, step: Step, rules: SafetyRules) -> bool:
    """Whether it is the hold of a low target, which is judged with that target."""
    heat = warmest_c(step)
    for before in (plan.step(one) for one in step.after):
        row = cooked_to(plan, before, rules)
        if row is not None and before.until is not None and heat is not None:
            return bool(row.holds) and heat >= before.until.celsius - ROUNDING_C
    return False


def _cooling(checked: Checked, plan: Plan, step: Step, rules: SafetyRules) -> Iterator[Problem]:
    limits = rules.cooling
    if step.until is None or not cools(step) or not is_perishable(plan, step, rules) or limits is None:
        return
    until = step.until.celsius
    is_whole = until <= limits.last_c + ROUNDING_C
    was_hot = any(place_of(one, rules) is Place.HEAT for one in all_before(plan, step))
    limit_s = limits.first_s if not is_whole else limits.total_s if was_hot else limits.ambient_s
    if until > limits.middle_c + ROUNDING_C or step.takes.high_s <= limit_s:
        return
    message = clause(
        "doubt.cooling",
        time=written_duration(step.takes.high_s),
        degrees=show_temperature(step.until),
        limit=written_duration(limit_s),
        source=cited(limits.source),
    )
    yield checked.doubt(step.id, "takes", message, clause("doubt.cooling.hint"))


def _beside(plan: Plan, step: Step, rules: SafetyRules) -> str:
    """What the same guidance has besides for what is reheated; else that local rules come first."""
    beside = rules.reheated_beside
    if beside is None or (beside.words and not words_in(dish_name(plan, step)) & set(beside.words)):
        return clause("doubt.local")
    return clause(beside.key, degrees=shown_degrees(beside.celsius), source=cited(beside.source))


def _roast_oven(checked: Checked, plan: Plan, step: Step, rules: SafetyRules) -> Iterator[Problem]:
    """A roast that ends by the table for low targets, in too cool an oven."""
    row, limits = cooked_to(plan, step, rules), rules.roast_oven
    heat = max((use.at for use in step.uses if use.at is not None), key=lambda at: at.celsius, default=None)
    if row is None or step.until is None or limits is None or heat is None or not is_in_oven(step):
        return
    least = limits.least_c(step.piece.weight_kg)
    is_by_table = hold_s(row.holds, step.until.celsius) is not None and not row.is_met_by(step.until.celsius)
    if row.kind not in ROASTS or not is_by_table or heat.celsius >= least - ROUNDING_C:
        return
    message = clause(
        "doubt.roast.oven",
        degrees=show_temperature(heat),
        least=shown_degrees(least),
        until=show_temperature(step.until),
        source=cited(limits.source),
    )
    key = "doubt.roast.oven.small" if least > limits.large_c else "doubt.roast.oven.hint"
    hint = clause(key, still=shown_degrees(limits.small_c), moist=shown_degrees(limits.moist_c))
    yield checked.doubt(step.id, "in", message, hint)


def _reheating(checked: Checked, plan: Plan, step: Step, rules: SafetyRules) -> Iterator[Problem]:
    if not reheats(step):
        return
    least = shown_least(rules.reheated)
    if step.until is None:
        hint = clause("doubt.until", least=least, source=cited(rules.reheated.source))
        if (beside := _beside(plan, step, rules)) != clause("doubt.local"):
            hint = f"{hint}; {beside}"
        yield checked.doubt(step.id, "step", clause("doubt.reheats"), hint)
    limits = rules.reheating
    if limits is not None and step.takes.high_s > limits.within_s:
        message = clause(
            "doubt.reheating",
            time=written_duration(step.takes.high_s),
            limit=written_duration(limits.within_s),
            source=cited(limits.source),
        )
        yield checked.doubt(step.id, "takes", message, clause("doubt.reheating.hint"))
