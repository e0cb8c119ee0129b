"""A forecast of a core from the dinner's state: what the plan and the readings say, put to the model.

Needs numpy and scipy, so whoever asks imports it only then. Decides nothing of the dinner.
"""

from __future__ import annotations

from statistics import median

from kitchend.core.clock import Instant, Now
from kitchend.core.forecasting import readings_of
from kitchend.core.forecasts import Forecast, Outlook
from kitchend.core.plan import Shape, Step, StepId
from kitchend.core.state import DinnerState
from kitchend.doneness import conduction
from kitchend.doneness import forecast as model

MIDDLING_OVEN_C = 175.0
"""Where nobody says how hot it is (common practice)."""
OVEN_READINGS, OVEN_READ_S = 3, 3600.0
"""So many readings of an oven within so long are believed before its dial."""

SHAPES = {
    None: conduction.Shape.CYLINDER,
    Shape.FLAT: conduction.Shape.SLAB,
    Shape.LONG: conduction.Shape.CYLINDER,
    Shape.ROUND: conduction.Shape.SPHERE,
}


def forecast_of(state: DinnerState, step_id: StepId, now: Now) -> Forecast:
    """What to expect of a step's core. ValueError for a step that does not end by a reading.

    Where the plan's number is for the table, the moments are those of the temperature from which resting
    brings it.
    """
    step = state.step(step_id)
    if step.until is None:
        raise ValueError(f"{step.name} does not end by a reading")
    target_c = step.until.celsius
    found = _asked(state, step, target_c, now)
    pull_c, carry_c = found.pull_c, found.carry_c
    if step.is_for_table and pull_c is not None:
        found = _asked(state, step, pull_c, now)
    is_told = found.outlook is Outlook.RISING
    return Forecast(
        step=step_id,
        outlook=found.outlook,
        at=now.instant,
        low=_instant(found.low_s) if is_told else None,
        middle=_instant(found.at_s) if is_told else None,
        high=_instant(found.high_s) if is_told else None,
        pull_c=pull_c,
        carry_c=carry_c,
    )


def _asked(state: DinnerState, step: Step, until_c: float, now: Now) -> model.Forecast:
    on_at = state.record_of(step.id).on_at
    return model.forecast(
        [model.Reading(at_s=one.at.s, celsius=one.celsius) for one in readings_of(state, step.id)],
        until_c,
        oven_c=oven_c(state, step, now),
        shape=SHAPES[step.piece.shape],
        weight_kg=step.piece.weight_kg,
        thickness_m=step.piece.thickness_m,
        put_in_s=None if on_at is None else on_at.s,
    )


def oven_c(state: DinnerState, step: Step, now: Now) -> float:
    """How hot it is round the piece: as the oven was read lately, else as the plan wants it."""
    for use in step.uses:
        read = [
            one.celsius
            for one in state.readings
            if one.of == use.equipment and now.instant - one.at <= OVEN_READ_S
        ]
        if len(read) >= OVEN_READINGS or (read and use.at is None):
            return median(read)
        if use.at is not None:
            return use.at.celsius
    return MIDDLING_OVEN_C


def _instant(seconds: float | None) -> Instant | None:
    return None if seconds is None else Instant(seconds)
