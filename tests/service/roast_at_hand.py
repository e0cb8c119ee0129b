"""A roast of the finite-volume oven in a small plan, with a probe in it: the service, in memory."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from kitchend.core.events import ReadingTaken
from kitchend.core.plan import StepId
from kitchend.core.steps import StepState
from kitchend.files.plan_yaml import read_plan
from tests.doneness.oven import SHAPES, roasts
from tests.service.kitchen import Kitchen, plan_in

ROAST = StepId("duck/roast-the-duck")
PLAN = """
plan: Lantern night
equipment:
  oven: {{shelves: 2, preheat: 10 min}}
  hob: {{rings: 2}}
dishes:
  - dish: duck
    steps:
      - step: roast the duck
        hands: 1 min
        takes: {low} to {high} min
        until: {until} C {where}
        in: oven at {oven} C
        thickness: {cm:.1f} cm
        shape: {shape}
        keeps: 30 min
      - step: carve the duck
        hands: 5 min
        keeps: 5 min
  - dish: leeks
    steps:
      - step: braise the leeks
        hands: 2 min
        takes: 12 min
        on: hob
        keeps: 4 min
"""


@dataclass(frozen=True, kw_only=True)
class Truth:
    """One roast: its plan's facts, and what its core really does."""

    text: str
    times_s: Any
    probe_c: Any
    target_c: float

    def core_c(self, seconds: float) -> float:
        return float(np.interp(seconds, self.times_s, self.probe_c))

    @property
    def there_s(self) -> float:
        return float(np.interp(self.target_c, self.probe_c, self.times_s))


def truths(seed: int, count: int, where: str = "inside") -> list[Truth]:
    """Roasts that get to their targets, with plans whose ranges know little."""
    batch = roasts(count, seed)
    found = []
    for one in range(count):
        times, probe = batch.times_s[one], np.maximum.accumulate(batch.probe_c[one])
        target = round(float(batch.target_c[one]))
        if probe[-1] < target + 1:
            continue
        text = PLAN.format(
            low=round(float(np.interp(target, probe, times)) / 60 * 0.8),
            high=round(float(np.interp(target, probe, times)) / 60 * 1.3),
            until=target,
            where=where,
            oven=round(float(batch.dial_c[one])),
            cm=200 * float(batch.half_m[one]),
            shape={"slab": "flat", "cylinder": "long", "sphere": "round"}[SHAPES[batch.shape[one]]],
        )
        found.append(Truth(text=text, times_s=times, probe_c=probe, target_c=target))
    return found


def begun(truth: Truth, folder: Path, **more: Any) -> Kitchen:
    """The dinner with the duck in the oven just now."""
    kitchen = Kitchen(read_plan(plan_in(folder, truth.text)), **more)
    kitchen.begin()
    kitchen.type("the oven is on")
    kitchen.wait(12)
    kitchen.type("the duck is on")
    assert kitchen.runner.state.state_of(ROAST) is StepState.ON
    return kitchen


def probe(
    kitchen: Kitchen, truth: Truth, until_s: float, every_s: float = 10.0, noise_c: float = 0.5, seed: int = 1
) -> None:
    """Let the probe send readings until so long after it went in."""
    rng = np.random.default_rng(seed)
    on_at = kitchen.runner.state.record_of(ROAST).on_at
    assert on_at is not None
    while (gone := kitchen.clock.now().instant - on_at) < until_s:
        if kitchen.runner.state.state_of(ROAST) is not StepState.ON:
            return
        kitchen.put(ReadingTaken(of="duck", celsius=truth.core_c(gone) + float(rng.normal(0, noise_c))))
        kitchen.wait(every_s / 60)
