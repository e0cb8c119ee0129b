"""How long planning takes and what it costs in memory, on this machine, now. Prints; asserts nothing.

A dinner of twenty steps is planned at three serving times, then planned again minute by minute. The solver's
door is set against OR-Tools' own modelling layer, each in a process of its own. Then whole evenings with a
slow cook, who is behind all the time: the hardest rests of a dinner there are.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from kitchend.core.state import DinnerState
from kitchend.files.plan_yaml import read_plan
from kitchend.planning import plan_dinner, plan_rest
from tests.planning.dinners import HOUR, MIN, NOON, NOW, harbour_supper
from tests.planning.evening import Evening
from tests.planning.test_evenings import IN_MIN, PLANS

OUR_DOOR = "from kitchend.planning.solver import Model; Model()"
THEIR_LAYER = "from ortools.sat.python import cp_model; cp_model.CpModel()"
MEASURE = """
import time
def resident_mb():
    return int(open("/proc/self/statm").read().split()[1]) * 4 / 1024
before, began = resident_mb(), time.perf_counter()
{code}
print(f"{{time.perf_counter() - began:.2f}} {{resident_mb() - before:.0f}}")
"""


def main() -> None:
    """Print the figures."""
    for name, code in (("the solver's door", OUR_DOOR), ("OR-Tools' own layer", THEIR_LAYER)):
        seconds, grown_mb = loaded(code)
        print(f"load {name:24} {seconds:>6} s   +{grown_mb} MB")
    plan = harbour_supper()
    for name, serve in (("early", 6 * HOUR), ("just in time", 4 * HOUR), ("too late to be had", 2 * HOUR)):
        took = best_of(3, partial(plan_dinner, plan, now=NOW, serve=NOON + serve))
        print(f"plan 20 steps, {name:18} {took:6.2f} s")
    timeline = plan_dinner(plan, now=NOW, serve=NOON + 6 * HOUR)
    state = DinnerState(plan=plan, serve=NOON + 6 * HOUR, timeline=timeline)
    times = [best_of(1, partial(plan_rest, state, now=NOW.after(at))) for at in range(0, 20 * MIN, MIN)]
    print(f"plan the rest, 20 times        {sorted(times)[10]:6.2f} s median, {max(times):.2f} s longest")
    for path in sorted(PLANS.glob("*.yaml")):
        rests = evening_of(path)
        middle = statistics.median(rests)
        print(f"rests of {path.stem:21} {middle:6.2f} s median, {max(rests):.2f} s longest of {len(rests)}")


def evening_of(path: Path) -> list[float]:
    """Seconds for each rest of a dinner, looked at every minute while a slow cook lives through it."""
    times: list[float] = []

    def look(evening: Evening) -> None:
        times.append(best_of(1, partial(plan_rest, evening.state, now=evening.now)))

    Evening(read_plan(path), serve_s=IN_MIN[path.stem] * MIN, answer_s=200).live(look)
    return times


def loaded(code: str) -> tuple[str, str]:
    """Seconds and megabytes that running `code` in a fresh process takes."""
    command = [sys.executable, "-c", MEASURE.format(code=code)]
    out = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
    return out[0], out[1]


def best_of(tries: int, what: Callable[[], object]) -> float:
    """The shortest of a few runs, in seconds."""
    times = []
    for _ in range(tries):
        began = time.perf_counter()
        what()
        times.append(time.perf_counter() - began)
    return min(times)


if __name__ == "__main__":
    main()
