"""The real planner behind its port, with the settings' assumptions. It loads what it needs when asked."""

from __future__ import annotations

from dataclasses import replace

from kitchend.core.clock import Now, WallTime
from kitchend.core.forecasts import Forecast
from kitchend.core.plan import Plan, StepId
from kitchend.core.state import DinnerState
from kitchend.core.timeline import Timeline
from kitchend.planning import PlanningSettings, plan_dinner, plan_rest


class SolvingPlanner:
    """Plans with CP-SAT. `preheat_s` is how long a cold oven takes and `chance` how sure to be of the pass,
    where a plan does not say.
    """

    def __init__(self, preheat_s: int | None = None, chance: float | None = None) -> None:
        self._preheat_s = preheat_s
        self._chance = chance

    def first(self, plan: Plan, serve: WallTime | None, now: Now) -> Timeline:
        """The whole dinner for a pass at `serve`; None: as early as it can be."""
        return plan_dinner(plan, now=now, serve=serve, settings=self._settings())

    def rest(self, state: DinnerState, now: Now) -> Timeline:
        """What is left of the dinner that is on."""
        return plan_rest(state, now=now, settings=self._settings())

    def forecast(self, state: DinnerState, step: StepId, now: Now) -> Forecast:
        """When the core of a step that ends by a reading is expected to be there."""
        from kitchend.service.forecasting import forecast_of

        return forecast_of(state, step, now)

    def _settings(self) -> PlanningSettings:
        usual = PlanningSettings()
        return replace(
            usual,
            preheat_s=usual.preheat_s if self._preheat_s is None else self._preheat_s,
            chance=usual.chance if self._chance is None else self._chance,
        )
