"""Time at temperature of what has a low target: what the readings so far are worth as a hold, by whose table.

Integrated from the readings of the dinner, never rounded in the cook's favour. A fact, with no promise in it;
whoever shows it puts the caution beside it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kitchend.core.food_places import cooked_to
from kitchend.core.papers import written_duration
from kitchend.core.plan import StepId
from kitchend.core.quantities import Scale, Temperature, in_scale, show_temperature
from kitchend.core.state import DinnerState
from kitchend.core.time_at_heat import hold_s
from kitchend.core.wording import clause
from kitchend.reports.guidance_words import cited

MINUTE_S = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What a step's readings are worth: `held_s` at a temperature, of the `needed_s` given there by `source`.

    That is the step's target, or where `source` has one temperature to which all others are reckoned, that.
    """

    step: StepId
    name: str
    at: Temperature
    held_s: int
    needed_s: int
    source: str

    @property
    def whole_s(self) -> tuple[int, int]:
        """Both in whole minutes where they are longer: what was held rounded down, what is needed up."""
        held = self.held_s if self.held_s < MINUTE_S else self.held_s - self.held_s % MINUTE_S
        return held, self.needed_s if self.needed_s < MINUTE_S else math.ceil(
            self.needed_s / MINUTE_S
        ) * MINUTE_S

    def shown(self) -> str:
        """ "worth 12 min of the 36 min at 57 C (FDA Food Code 3-401.11(B)(2))"."""
        held, needed = map(written_duration, self.whole_s)
        degrees, source = show_temperature(self.at), cited(self.source)
        return clause("status.worth", held=held, needed=needed, degrees=degrees, source=source)


def holds_of(state: DinnerState) -> tuple[Held, ...]:
    """Every piece whose target is below its guidance, has a published hold there, and has been measured."""
    plan, rules = state.plan, state.manners.rules
    if plan is None or rules is None:
        return ()
    found = []
    for step in plan.iter_steps():
        taken = [one for one in state.readings if one.of == step.id]
        row = cooked_to(plan, step, rules) if taken else None
        if row is None or step.until is None or row.is_met_by(step.until.celsius):
            continue
        at = step.until if row.z_c is None else _in_scale(row.celsius, step.until.scale)
        needed = hold_s(row.holds, at.celsius)
        if needed is None or hold_s(row.holds, step.until.celsius) is None:
            continue
        share = row.held_share([one.at.s for one in taken], [one.celsius for one in taken])
        held = Held(
            step=step.id,
            name=step.name,
            at=at,
            held_s=math.floor(share * needed),
            needed_s=needed,
            source=row.holds_source,
        )
        found.append(held)
    return tuple(found)


def _in_scale(celsius: float, scale: Scale) -> Temperature:
    degrees = in_scale(celsius, scale)
    return Temperature(degrees=degrees, scale=scale)
