"""How long it takes to live ten thousand dinners for the chance, here and now. Prints; asserts nothing.

A dinner of thirty steps, seven of them guesses. The same rules in plain Python, one dinner after the other,
are timed on fewer dinners in the same run; the ratio is a dinner's.
"""

from __future__ import annotations

import platform
import random
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from kitchend.core.plan import Plan
from kitchend.core.state import DinnerState
from kitchend.files.plan_yaml import read_plan
from kitchend.planning import chance_sampler as sampler
from kitchend.planning import plan_dinner, plan_rest
from kitchend.planning.chance import DINNERS, DINNERS_OF_REST, chance_of_rows
from kitchend.planning.chance_rows import Rows, rows_of
from kitchend.planning.outcome import outcome_of
from kitchend.planning.settings import PlanningSettings
from kitchend.planning.solving import solved
from kitchend.planning.tasks import problem_of_plan
from tests.planning.chance_by_hand import ready_by_hand
from tests.planning.dinners import HOUR, MIN, NOON, NOW, dinner, on, oven, step

BY_HAND = 500
PLANS = Path(__file__).parents[2] / "plans"
SERVE = NOON + 10 * HOUR
NAMES = ("bream", "leeks", "polenta", "squash", "rice", "lentils", "plums", "buns", "chard", "onions")


def thirty_steps() -> Plan:
    """Ten dishes of three steps; seven of the middle ones are guesses, two end by a reading."""
    steps = []
    for place, name in enumerate(NAMES):
        low = (20 + 6 * place) * MIN
        takes = (low, low + (4 + place) * MIN) if place < 7 else low
        uses = [oven(180)] if place % 2 else [on("hob")]
        until = 63 if place in (1, 5) else None
        steps += [
            step(f"trim the {name}", hands=4 * MIN, keeps=3 * HOUR),
            step(
                f"cook the {name}",
                takes,
                hands=MIN,
                uses=uses,
                after=[f"trim the {name}"],
                until=until,
                keeps=HOUR,
            ),
            step(f"dress the {name}", hands=MIN, after=[f"cook the {name}"], keeps=40 * MIN),
        ]
    return dinner(*steps, places={"oven": 5, "hob": 5})


def by_hand(rows: Rows, dinners: int) -> float:
    """Seconds for so many dinners in plain Python, drawing included."""
    rng = random.Random(1)
    began = time.perf_counter()
    for _ in range(dinners):
        spreads = ((place, rows.rows[place].spread) for place in rows.uncertain)
        lengths = {place: spread.at(rng.gauss(0.0, 1.0)) for place, spread in spreads if spread}
        answers = [(rng.uniform(4, 20), rng.uniform(4, 20)) for _ in rows.rows]
        ready_by_hand(rows, lengths, answers)
    return time.perf_counter() - began


def best(tries: int, rows: Rows, dinners: int) -> float:
    """The shortest of a few runs, in seconds: draw and live so many dinners."""
    times = []
    for _ in range(tries):
        began = time.perf_counter()
        sampler.ready(rows, sampler.draw(rows, dinners))
        times.append(time.perf_counter() - began)
    return min(times)


def seconds(what: Callable[[], object]) -> float:
    """How long something takes once."""
    began = time.perf_counter()
    what()
    return time.perf_counter() - began


def main() -> None:
    """Print the figures."""
    plan = thirty_steps()
    problem = problem_of_plan(plan, 6 * HOUR, PlanningSettings())
    rows = rows_of(outcome_of(problem, solved(problem)))
    print(f"{platform.machine()}, {len(rows.rows)} steps with heating, {len(rows.uncertain)} of them guesses")
    ours = best(5, rows, DINNERS)
    theirs = by_hand(rows, BY_HAND) / BY_HAND * DINNERS
    print(f"{DINNERS} dinners              {ours:6.3f} s")
    print(f"the same in plain Python    {theirs:6.2f} s    {theirs / ours:.0f} times as long")
    print(f"chance and who may spoil it {seconds(partial(chance_of_rows, rows, DINNERS)):6.3f} s")
    print(f"{DINNERS_OF_REST} dinners of a rest       {best(5, rows, DINNERS_OF_REST):6.3f} s")
    for path in sorted(PLANS.glob("*.yaml")):
        told = read_plan(path)
        timeline = plan_dinner(told, now=NOW, serve=SERVE)
        state = DinnerState(plan=told, serve=SERVE, timeline=timeline)
        first = seconds(partial(plan_dinner, told, now=NOW, serve=SERVE))
        again = seconds(partial(plan_rest, state, now=NOW))
        print(f"{path.stem:27} {first:6.2f} s     planned again {again:.2f} s")


if __name__ == "__main__":
    main()
