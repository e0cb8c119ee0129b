"""Where a cook goes from raw poultry, meat or fish straight to food that is eaten as it is.

Read from a timeline, for only that tells whose hands do what next. During the dinner kitchend says so aloud;
a step for the washing gives it time.
"""

from __future__ import annotations

from collections.abc import Iterator

from kitchend.core.food_places import raw_reach, row_of, touches_ready, washes_hands
from kitchend.core.plan import Plan, Step, StepId
from kitchend.core.safety_rules import SafetyRules
from kitchend.core.timeline import Timeline
from kitchend.core.wording import clause
from kitchend.errors import Problem
from kitchend.files.complaints import echo
from kitchend.files.plan_yaml import Checked
from kitchend.reports.guidance_words import cited

HANDS_SOURCE = "USDA: wash hands after raw meat"
"""USDA FSIS, Clean: from memory; twenty seconds with soap."""


SOON_S = 600.0
"""A longer pause than this is time to wash without a step for it: kitchend reminds of it aloud."""


def needs_timeline(plan: Plan, rules: SafetyRules) -> bool:
    """Whether there is raw flesh in a plan and something eaten as it is, so that the order matters."""
    steps = plan.steps
    is_raw = any(_is_flesh(plan, step, rules) for step in steps)
    return is_raw and any(touches_ready(plan, step, rules) for step in steps)


def hands_doubts(checked: Checked, plan: Plan, timeline: Timeline, rules: SafetyRules) -> Iterator[Problem]:
    """A doubt for each raw step that such a step of the same cook follows."""
    for step in plan.iter_steps():
        following = _next(plan, timeline, step, rules) if _is_flesh(plan, step, rules) else None
        if following is None or washes_hands(following) or not touches_ready(plan, following, rules):
            continue
        message = clause("doubt.hands", step=echo(following.name), raw=echo(step.raw or ""))
        hint = clause("doubt.hands.hint", source=cited(HANDS_SOURCE))
        yield checked.doubt(step.id, "raw", message, hint)


def _is_flesh(plan: Plan, step: Step, rules: SafetyRules) -> bool:
    row = row_of(plan, step, rules) if step.raw else None
    return row is not None and row.is_flesh


def _next(plan: Plan, timeline: Timeline, raw: Step, rules: SafetyRules) -> Step | None:
    """The first step after a raw one that is the same cook's and not with the raw food itself."""
    begun = timeline.of(raw.id)
    own = raw_reach(plan, raw, rules)
    found: list[tuple[float, Step]] = []
    for step in plan.iter_steps():
        planned = timeline.of(step.id)
        if begun is None or planned is None or step.hands_s == 0 or step.during or step.id in own:
            continue
        if planned.cook == begun.cook and planned.start.epoch_s > begun.start.epoch_s:
            found.append((planned.start.epoch_s, step))
    first = min(found, key=lambda one: one[0], default=None)
    return first[1] if first is not None and first[0] - _raw_until(plan, timeline, own) < SOON_S else None


def _raw_until(plan: Plan, timeline: Timeline, own: frozenset[StepId]) -> float:
    """When the last hands are off the raw food, in seconds since 1970."""
    begun = ((step, timeline.of(step.id)) for step in plan.iter_steps() if step.id in own)
    return max(planned.start.epoch_s + step.hands_s for step, planned in begun if planned is not None)
