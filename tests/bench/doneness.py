"""How good the forecast of a core temperature is, on simulated roasts. Prints; asserts nothing.

At several shares of the rise to the target: the error of the remaining time, beside a straight line through
the last twenty minutes and the plain exponential towards the oven's temperature, on the same readings; how
often the range holds; how much processor time one forecast takes; and of all that was told at any of these
moments, how much was over 50 % wrong. Errors are shares of the true remaining time, however little that is.
ROASTS=100 for fewer than 500, SEED for others: tuned on 7, 41 and 101. The errors at half the rise are drawn
as `build/doneness.svg`: which share of the roasts is within which error, a line a way to tell.
"""

from __future__ import annotations

import math
import os
import time
from collections.abc import Mapping
from pathlib import Path

import numpy as np

from kitchend.core.forecasts import Outlook
from kitchend.doneness.conduction import Shape
from kitchend.doneness.forecast import Forecast, Reading, forecast
from tests.doneness.oven import SHAPES, Floats, Roasts, probed, roasts

COUNT = int(os.environ.get("ROASTS", "500"))
SEED = int(os.environ.get("SEED", "7"))
SHARES = (0.15, 0.25, 0.35, 0.5, 0.6, 0.75, 0.9, 0.95)
DRAWN_SHARE = 0.5
DRAWING = Path("build/doneness.svg")
LARGEST = 1.0
"""Errors beyond this are off the drawing."""
WIDTH, HEIGHT, EDGE = 640, 400, 50
STROKES = {"forecast": "", "straight": "8 4", "exponential": "2 4"}


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


def ratios(reference: list[float], mine: list[float]) -> str:
    """How many times larger its errors are, in the middle and at the 90th percentile."""
    if not mine:
        return "nothing to compare"
    of, ours = (np.percentile(errors, [50, 90]) for errors in (reference, mine))
    return f"{of[0] / ours[0]:.1f} times in the middle, {of[1] / ours[1]:.1f} times at the 90th"


def drawing(errors: Mapping[str, list[float]]) -> str:
    """The share of roasts over the error of the remaining time: a drawing in SVG, told apart by strokes."""

    def x(error: float) -> float:
        return EDGE + (WIDTH - 2 * EDGE) * min(error, LARGEST) / LARGEST

    def y(share: float) -> float:
        return HEIGHT - EDGE - (HEIGHT - 2 * EDGE) * share

    looks = 'font-family="sans-serif" font-size="12"'
    parts = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" {looks}>']
    parts.append('<rect width="100%" height="100%" fill="white"/>')
    parts.append(
        f'<text x="{WIDTH / 2}" y="20" text-anchor="middle" font-size="15">roasts within this error of the '
        f"remaining time, half of the rise done</text>"
    )
    for tick in (0, 0.2, 0.4, 0.6, 0.8, 1.0):
        parts.append(f'<path d="M{EDGE} {y(tick):.1f}H{WIDTH - EDGE}" stroke="#ccc"/>')
        parts.append(f'<text x="{EDGE - 8}" y="{y(tick) + 4:.1f}" text-anchor="end">{tick:.0%}</text>')
        parts.append(f'<text x="{x(tick):.1f}" y="{HEIGHT - 28}" text-anchor="middle">{tick:.0%}</text>')
    for number, (name, all_errors) in enumerate(errors.items()):
        steps = sorted(error for error in all_errors if error <= LARGEST)
        path = f"M{x(0):.1f} {y(0):.1f}" + "".join(
            f"L{x(error):.1f} {y((place + 1) / len(all_errors)):.1f}" for place, error in enumerate(steps)
        )
        stroke = f'stroke="black" stroke-width="1.5" fill="none" stroke-dasharray="{STROKES[name]}"'
        level = HEIGHT - EDGE - 60 + 18 * number
        parts.append(f'<path d="{path}" {stroke}/><path d="M400 {level}h40" {stroke}/>')
        parts.append(f'<text x="448" y="{level + 4}">{name}</text>')
    return "\n".join([*parts, "</svg>\n"])


def main() -> None:
    all_of = roasts(COUNT, SEED)
    told: list[tuple[float, float]] = []
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
        errors = {"forecast": mine}
        for index, name in enumerate(("straight", "exponential")):
            errors[name] = [abs(each[1][index] - each[0]) / each[0] for each in given]
            row(name, errors[name], len(errors[name]), len(lived))
        for name in ("straight", "exponential"):
            print(f"  {name} over forecast: {ratios(errors[name], mine)}")
        if share == DRAWN_SHARE:
            DRAWING.parent.mkdir(exist_ok=True)
            DRAWING.write_text(drawing(errors), "utf-8")
            print(f"  drawn: {DRAWING}")
        told += [(error, error * true) for error, (true, *_) in zip(mine, given, strict=True)]
        took = np.percentile([each[3] * 1e3 for each in given], [50, 90])
        print(f"  one forecast: median {took[0]:.1f} ms of processor time, 90th {took[1]:.1f} ms")
    wrong = sorted(by_s / 60 for error, by_s in told if error > 0.5)
    share = len(wrong) / max(1, len(told))
    print(f"told at all these moments: {len(told)}; over 50 % wrong: {len(wrong)} ({share:.2%})")
    print("  by so many minutes:", *(f"{minutes:.0f}" for minutes in wrong))


if __name__ == "__main__":
    main()
