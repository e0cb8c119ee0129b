"""What published guidance makes doubtful in a plan that can be cooked, each doubt with its source and place.

Guidance, not a guarantee; local rules win. `kitchend check` and the board show these beside the reader's own.
"""

from __future__ import annotations

from kitchend.core.plan import Plan
from kitchend.core.safety_rules import SafetyRules
from kitchend.core.timeline import Timeline
from kitchend.core.tongue import speaking
from kitchend.errors import Problem
from kitchend.files.plan_yaml import Checked
from kitchend.reports.fire_doubts import fire_doubts
from kitchend.reports.hands_doubts import hands_doubts
from kitchend.reports.heat_doubts import heat_doubts
from kitchend.reports.standing_doubts import standing_doubts


def safety_doubts(
    checked: Checked, rules: SafetyRules, timeline: Timeline | None = None
) -> tuple[Problem, ...]:
    """Every such doubt, in the order of the file. Without a timeline nobody's next step is known."""
    plan = checked.plan
    if plan is None:
        return ()
    with speaking(plan.language):
        return _found(checked, plan, rules, timeline)


def _found(
    checked: Checked, plan: Plan, rules: SafetyRules, timeline: Timeline | None
) -> tuple[Problem, ...]:
    firsts = [step for step in plan.iter_steps() if step.every_s is None or step.at_s == step.every_s]
    found = [doubt for step in firsts for doubt in heat_doubts(checked, plan, step, rules)]
    places = {(one.line, one.column) for one in found}
    standing = standing_doubts(checked, plan, rules)
    found += (one for one in standing if (one.line, one.column) not in places)
    found += fire_doubts(checked, plan)
    if timeline is not None:
        found += hands_doubts(checked, plan, timeline, rules)
    return tuple(sorted(dict.fromkeys(found), key=lambda one: (one.line or 0, one.column or 0)))
