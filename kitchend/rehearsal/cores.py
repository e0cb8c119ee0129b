"""How the core of a made-up roast rises: by the model of `doneness`, for the piece and oven of the plan.

Lived once from the fridge to the target and stretched to the time that the world has drawn for it. Where the
model does not get there (a target too near the oven's heat), or nothing warms, there is no such curve.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from kitchend.core.food_places import is_cold_work, warmest_c
from kitchend.core.plan import Shape, Step, StepId
from kitchend.rehearsal.world import Curve, start_c

MIDDLING_OVEN_C = 175.0
"""Where nobody says how hot it is (common practice)."""
SHARES = 240
SHARE = 0.01
"""Of the diffusion time: so many steps of that are lived at most."""
PAST = 1.15
"""The curve goes on so far beyond the target, for a piece that is left in."""


def curves_of(steps: Iterable[Step]) -> dict[StepId, Curve]:
    """The curve of every step whose core warms until a reading."""
    found = {step.id: _curve_of(step) for step in steps}
    return {step: curve for step, curve in found.items() if curve is not None}


def _curve_of(step: Step) -> Curve | None:
    if step.until is None or is_cold_work(step) or start_c(step.until) >= step.until.celsius:
        return None
    piece, oven_c = step.piece, warmest_c(step)
    return _lived(
        piece.shape,
        piece.weight_kg,
        piece.thickness_m,
        MIDDLING_OVEN_C if oven_c is None else oven_c,
        start_c(step.until),
        step.until.celsius,
    )


@lru_cache(maxsize=64)
def _lived(
    shape: Shape | None,
    weight_kg: float | None,
    thickness_m: float | None,
    oven_c: float,
    begins_c: float,
    target_c: float,
) -> Curve | None:
    # numpy and scipy cost half a second, so they are loaded only where something warms
    import numpy as np

    from kitchend.doneness.core_model import LOG_TD, START, air_of, at_start, lived
    from kitchend.doneness.fit import prior_for
    from kitchend.doneness.forecast import half_length_m
    from kitchend.service.forecasting import SHAPES

    body = SHAPES[shape]
    theta = prior_for(half_length_m(body, weight_kg, thickness_m), begins_c, oven_c).middle[np.newaxis].copy()
    theta[0, START] = begins_c
    air = air_of(theta)
    step_s = SHARE * float(np.exp(theta[0, LOG_TD]))
    pieces = at_start(theta, air)
    course = lived(body, theta, air, pieces, step_s, SHARES, fine=2)
    cores = np.maximum.accumulate(np.concatenate([[begins_c], course.cores[:, 0]]))
    moments = np.arange(len(cores), dtype=np.float64)
    if not np.isfinite(cores).all() or cores[-1] <= target_c:
        return None
    there = float(np.interp(target_c, cores, moments))
    kept = moments <= PAST * there + 1
    shares, temps = moments[kept] / there, cores[kept]
    return lambda share: float(np.interp(share, shares, temps))
