"""Many dinners of a long plan whose centrepiece is a simulated roast: is what was promised kept?

The core rises as in the finite-volume oven of the tests, stretched to a length drawn from the plan's range
(80 % of dinners within it, log-normal). A made-up probe reads it. A promise is kept when everything was at
the pass within ten minutes of the pass last promised an hour before it. Ends with 1 below nine in ten.

    PYTHONPATH=. python tests/soak/roasts.py [--dinners 200] [--from 1] [--plan plans/riverside-smoke.yaml]
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

import numpy as np

from kitchend.core.clock import WallTime
from kitchend.core.early import centrepiece
from kitchend.core.plan import Plan, Step
from kitchend.files.plan_yaml import read_plan
from kitchend.planning.chance_spread import spread_of
from kitchend.rehearsal.character import CHARACTERS
from kitchend.rehearsal.ears import TypedEars
from kitchend.rehearsal.production import Production, Roast
from kitchend.rehearsal.world import Curve
from kitchend.service.runner import Stepped
from tests.doneness.oven import Roasts, roasts

POOL, POOL_SEED = 600, 11
OVEN_C = 12.0
"""Roasts of ovens so near to the plan's are taken."""
HOUR_S = 3600.0
KEPT_S = 600.0
WANTED = 0.9


@dataclass(slots=True)
class Promise:
    """Watches a dinner: the pass as it stood when that was an hour away, and when all was there."""

    promised: WallTime | None = None
    planned: WallTime | None = None
    served: WallTime | None = None
    said: list[str] = field(default_factory=list)

    def watch(self, stepped: Stepped) -> None:
        state, now = stepped.state, stepped.now
        if state.serve is None or state.timeline is None:
            return
        self.planned = self.planned or state.serve
        self.served = state.served_at or self.served
        stands = max(state.serve, state.timeline.ready, key=lambda wall: wall.epoch_s)
        if stands - now.wall >= HOUR_S or self.promised is None:
            self.promised = stands

    @property
    def off_s(self) -> float | None:
        """How far from the promise, below zero where sooner; None for a dinner that never was served."""
        return None if self.served is None or self.promised is None else self.served - self.promised


def curves(pool: Roasts, step: Step) -> list[Curve]:
    """Every simulated roast of an oven like the step's that gets to its target, by its share of the time."""
    oven = next((use.at.celsius for use in step.uses if use.at is not None), 120.0)
    target = step.until.celsius if step.until is not None else 0.0
    found: list[Curve] = []
    for one in range(len(pool.oven_c)):
        core = np.maximum.accumulate(pool.probe_c[one])
        if abs(pool.oven_c[one] - oven) > OVEN_C or core[-1] < target + 0.5:
            continue
        there = float(np.interp(target, core, pool.times_s[one]))
        found.append(_curve(pool.times_s[one] / there, pool.probe_c[one]))
    return found


def _curve(shares: np.ndarray, celsius: np.ndarray) -> Curve:
    return lambda share: float(np.interp(share, shares, celsius))


def play(plan: Plan, cook: str, seed: int, cores: Sequence[Curve], every_s: float) -> Promise:
    """One dinner with one drawn roast."""
    step = centrepiece(plan)
    spread = None if step is None else spread_of(step)
    if step is None or spread is None:
        raise SystemExit(f"{plan.name} has nothing that ends by reading")
    rng = Random(seed)
    roast = Roast(takes_s=spread.at(rng.gauss(0.0, 1.0)), curve=rng.choice(cores))
    promise = Promise()
    production = Production(
        plan,
        CHARACTERS[cook],
        seed,
        ears=TypedEars(),
        on_line=promise.said.append,
        probe_every_s=every_s,
        roasts={step.id: roast},
    )
    score = production.play(plan.serve, "typed", promise.watch)
    off = "never served" if promise.off_s is None else f"{promise.off_s / 60:+5.1f} min of the promise"
    moved = 0.0 if promise.promised is None or promise.planned is None else promise.promised - promise.planned
    faults = [line.strip() for line in promise.said if line.strip().startswith("!")]
    print(
        f"{seed:5d}  takes {roast.takes_s / 60:4.0f} min  promise moved {moved / 60:+4.0f}  {off}  "
        f"{score.calls} calls  done {score.steps_done}/{score.steps}",
        *faults,
        flush=True,
    )
    return promise


def main() -> int:
    """Play them all; 1 when fewer than nine in ten promises were kept."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--dinners", type=int, default=200)
    parser.add_argument("--from", type=int, default=1, dest="first")
    parser.add_argument("--cook", default="steady", choices=list(CHARACTERS))
    parser.add_argument("--every", type=float, default=30.0, help="seconds between readings")
    parser.add_argument("--plan", type=Path, default=Path(__file__).parents[2] / "plans/riverside-smoke.yaml")
    asked = parser.parse_args()
    plan = read_plan(asked.plan)
    step = centrepiece(plan)
    cores = [] if step is None else curves(roasts(POOL, POOL_SEED), step)
    print(f"{plan.name}: {len(cores)} simulated roasts, {asked.dinners} dinners, a {asked.cook} cook")
    seeds = range(asked.first, asked.first + asked.dinners)
    offs = [play(plan, asked.cook, seed, cores, asked.every).off_s for seed in seeds]
    kept = sum(off is not None and abs(off) <= KEPT_S for off in offs)
    print(f"{kept} of {len(offs)} within ten minutes of the pass promised an hour before")
    return 0 if kept >= WANTED * len(offs) else 1


if __name__ == "__main__":
    sys.exit(main())
