"""Where a plan lets food that spoils be out in the danger zone for longer than published guidance allows.

From where it is cooked, or handled raw, to the next heat or the pass, the longest the plan allows is counted:
what steps take and how long their results keep. What is kept hot or cold meanwhile does not count.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from kitchend.core.food_places import Place, all_before, is_perishable, place_of, room_c, row_of
from kitchend.core.papers import written_duration
from kitchend.core.plan import GRACE_S, Plan, Step, StepId
from kitchend.core.safety_rules import SafetyRules
from kitchend.core.wording import clause
from kitchend.errors import Problem
from kitchend.files.plan_yaml import Checked
from kitchend.reports.guidance_words import cited, shown_degrees


@dataclass(frozen=True, slots=True, kw_only=True)
class _Out:
    """The longest way on from a step: seconds out, the most of it in one step, whether any of it is warm."""

    seconds: float
    most: float
    step: Step
    is_warm: bool


class _Ways:
    """Looks along the ways from each step; each is looked at once."""

    def __init__(self, plan: Plan, rules: SafetyRules) -> None:
        self._rules = rules
        self._next: dict[StepId, list[Step]] = {}
        for step in plan.iter_steps():
            for before in step.after:
                self._next.setdefault(before, []).append(step)
        self._known: dict[StepId, _Out] = {}

    def out(self, step: Step, *, is_start: bool = False) -> _Out:
        """How long what a step handles may be out from its beginning on; not at all where that is heat."""
        if step.id not in self._known:
            self._known[step.id] = self._out(step)
        known = self._known[step.id]
        is_heat = place_of(step, self._rules) is Place.HEAT
        return known if is_start or not is_heat else _Out(seconds=0, most=0, step=step, is_warm=False)

    def _out(self, step: Step) -> _Out:
        place, keeps_s = place_of(step, self._rules), _keeps_s(step)
        own = 0.0 if place is Place.KEPT else keeps_s + (step.takes.high_s if place is Place.OUT else 0)
        ways = [self.out(one) for one in self._next.get(step.id, ())]
        on = max(ways, key=lambda one: one.seconds, default=None)
        is_warm = own > 0 and (room_c(step, self._rules) or 0.0) > self._rules.warm_c
        if on is None:
            return _Out(seconds=own, most=own, step=step, is_warm=is_warm)
        most, at = max((own, step), (on.most, on.step), key=lambda one: one[0])
        return _Out(seconds=own + on.seconds, most=most, step=at, is_warm=is_warm or on.is_warm)


def standing_doubts(checked: Checked, plan: Plan, rules: SafetyRules) -> Iterator[Problem]:
    """A doubt for each place where food would be out too long."""
    ways = _Ways(plan, rules)
    said: set[StepId] = set()
    for step in plan.iter_steps():
        if step.during is not None or not _begins(plan, step, rules):
            continue
        out = ways.out(step, is_start=True)
        limit_s = rules.stand_warm_s if out.is_warm else rules.stand_s
        if out.seconds > limit_s and out.step.id not in said:
            said.add(out.step.id)
            yield _doubt(checked, out, limit_s, rules)


def _keeps_s(step: Step) -> float:
    """How long its result may stand; the grace of a plan that says nothing is no standing."""
    if step.keeps_s is None:
        return math.inf
    return 0.0 if step.keeps_s == GRACE_S else step.keeps_s


def _begins(plan: Plan, step: Step, rules: SafetyRules) -> bool:
    """Whether food that spoils is out from this step on: it was cooked in it, or is raw and first handled."""
    if not is_perishable(plan, step, rules):
        return False
    if place_of(step, rules) is Place.HEAT:
        return True
    is_raw = step.raw is not None and row_of(plan, step, rules) is not None
    return is_raw and all(place_of(one, rules) is not Place.HEAT for one in all_before(plan, step))


def _doubt(checked: Checked, out: _Out, limit_s: int, rules: SafetyRules) -> Problem:
    is_endless = math.isinf(out.seconds)
    message = clause(
        f"doubt.out{'.warm' * out.is_warm}{'.day' * is_endless}",
        time="" if is_endless else written_duration(round(out.seconds)),
        limit=written_duration(limit_s),
        warm=shown_degrees(rules.warm_c),
        source=cited(rules.stand_source),
    )
    key = (
        "keeps"
        if _keeps_s(out.step) >= out.step.takes.high_s or place_of(out.step, rules) is Place.HEAT
        else "takes"
    )
    hint = clause("doubt.out.hint", hot=shown_degrees(rules.hot_c))
    if rules.time_only is not None:
        marked = rules.time_only
        only = clause(
            "doubt.out.marked",
            time=written_duration(marked.any_s),
            longer=written_duration(marked.cold_s),
            cold=shown_degrees(marked.cold_c),
            source=cited(marked.source),
        )
        hint = f"{hint}; {only}"
    return checked.doubt(out.step.id, key, message, hint)
