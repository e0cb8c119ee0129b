"""How good the forecast of a core temperature is, on simulated roasts. Prints; asserts nothing.

At several shares of the rise to the target: the error of the remaining time, beside a straight line through
the last twenty minutes and the plain exponential towards the oven's temperature, on the same readings; how
often the range holds; how much processor time one forecast takes. ROASTS=100
for fewer than 500, SEED for others: tune on seeds other than 7.
"""

from __future__ import annotations

import math
import os
import time

import numpy as np

from kitchend.doneness.conduction import Shape
from kitchend.doneness.forecast import Forecast, Outlook, Reading, forecast
from tests.doneness.oven import SHAPES, Floats, Roasts, probed, roasts

COUNT = int(os.environ.get("ROASTS", "500"))
SEED = int(os.environ.get("SEED", "7"))
SHARES = (0.15, 0.25, 0.5, 0.75)


def straight_line(times: Floats, temps: Floats, until: float) -> float:
    late = times >= times[-1] - 1200
    if late.sum() < 2:
        return math.inf
    slope, level = np.polyfit(times[late] - times[-1], temps[late], 1)
    return max((until - level) / slope, 0.0) if slope > 0 else math.inf


def exponential(times: Floats, temps: Floats, until: float, oven: float) -> float:
    """ln(oven - T) as a straight line through what has risen by a tenth or more."""
    risen = temps > temps[0] + 3
    if risen.sum() < 3:
        return math.inf
    slope, level = np.polyfit(times[risen] - times[-1], np.log(oven - temps[risen]), 1)
    return max((math.log(oven - until) - level) / slope, 0.0) if slope < 0 else math.inf


def one(all_of: Roasts, place: int, share: float) -> tuple[float, list[float], Forecast, float, float] | None:
    """True remaining time, the references' answers, the forecast, what it took, the last reading's moment."""
    times, probe, until = all_of.times_s[place], all_of.probe_c[place], float(all_of.target_c[place])
    if probe.max() < until:
        return None
    done = float(np.interp(until, probe, times))
    now = float(np.interp(probe[0] + share * (until - probe[0]), probe, times))
    rng = np.random.default_rng([SEED, place])
    moments, temps = probed(times, probe, now, rng)
    oven = float(all_of.dial_c[place])
    readings = [Reading(at_s=a, celsius=b) for a, b in zip(moments, temps, strict=True)]
    began = time.process_time()
    found = forecast(readings, until, oven_c=oven, shape=Shape(SHAPES[all_of.shape[place]]))
    took = time.process_time() - began
    last = float(moments[-1])
    others = [straight_line(moments, temps, until), exponential(moments, temps, until, oven)]
    return done - last, others, found, took, last


def row(name: str, errors: list[float], given: int, of: int, inside: str = "") -> None:
    if not errors:
        print(f"  {name:<12} no forecast given")
        return
    median, ninth = np.percentile(errors, [50, 90])
    bad = sum(error > 0.5 for error in errors)
    print(
        f"  {name:<12} median {median:6.1%}  90th {ninth:6.1%}  over 50 % wrong: {bad:3d}  "
        f"given {given}/{of} {inside}"
    )


def main() -> None:
    all_of = roasts(COUNT, SEED)
    for share in SHARES:
        lived = [found for place in range(COUNT) if (found := one(all_of, place, share))]
        given = [each for each in lived if each[2].at_s is not None]
        mine = [abs(f.at_s - last - true) / true for true, _, f, _, last in given if f.at_s is not None]
        bias = [(f.at_s - last - true) / true for true, _, f, _, last in given if f.at_s is not None]
        covered = [
            f.low_s <= true + last <= f.high_s
            for true, _, f, _, last in given
            if f.low_s is not None and f.high_s is not None
        ]
        kinds = {kind.value: sum(each[2].outlook is kind for each in lived) for kind in Outlook}
        print(f"{share:.0%} of the rise, {len(lived)} roasts that reach their target: {kinds}")
        inside = f"80 % range covers {np.mean(covered):.1%}, bias {np.median(bias):+.1%}" if covered else ""
        row("forecast", mine, len(mine), len(lived), inside)
        for index, name in enumerate(("straight", "exponential")):
            errors = [abs(each[1][index] - each[0]) / each[0] for each in given]
            row(name, errors, len(errors), len(lived))
        took = np.percentile([each[3] * 1e3 for each in given], [50, 90])
        print(f"  one forecast: median {took[0]:.1f} ms of processor time, 90th {took[1]:.1f} ms")


if __name__ == "__main__":
    main()
