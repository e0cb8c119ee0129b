"""The chance of a dinner against sums done another way, and against evenings lived in the real core."""

from __future__ import annotations

from random import Random
from statistics import NormalDist

import numpy as np
import pytest

from kitchend.core.plan import Plan, Step
from kitchend.core.timeline import Timeline
from kitchend.planning import PlanningSettings, plan_dinner
from kitchend.planning import chance_sampler as sampler
from kitchend.planning.chance_rows import TOO_LATE_S, Rows, rows_of
from kitchend.planning.chance_spread import spread_of
from kitchend.planning.margin import planned_surely
from kitchend.planning.tasks import problem_of_plan
from tests.planning.chance_by_hand import ready_by_hand
from tests.planning.chance_dinners import DrawnEvening, Nature, family
from tests.planning.dinners import HOUR, MIN, NOW, dinner, harbour_supper, on, oven, step

SERVE = NOW.wall + 5 * HOUR
ROAST = step("roast the duck", (70 * MIN, 85 * MIN), uses=[oven(180)], until=74, keeps=HOUR)
BROWN = step("brown the duck", (8 * MIN, 14 * MIN), uses=[on("hob")], after=["roast the duck"], keeps=HOUR)


def planned(plan: Plan, chance: float = 0.9) -> Timeline:
    return plan_dinner(plan, now=NOW, serve=SERVE, settings=PlanningSettings(chance=chance))


def rows_for(plan: Plan, chance: float = 0.9) -> Rows:
    problem = problem_of_plan(plan, 5 * HOUR, PlanningSettings())
    return rows_of(planned_surely(problem, chance).outcome)


def start_s(timeline: Timeline, of: Step) -> float:
    place = timeline.of(of.id)
    assert place is not None
    return place.start - NOW.wall


def test_one_guess_on_its_own_has_the_chance_its_distribution_gives() -> None:
    """One answer when it is called, one when it is done: 24 s in all, give or take."""
    timeline = planned(dinner(ROAST), 0.6)
    spread = spread_of(ROAST)
    assert spread is not None
    room = 5 * HOUR + TOO_LATE_S - start_s(timeline, ROAST) - 24
    assert timeline.on_time_probability == pytest.approx(NormalDist().cdf(spread.z_of(room)), abs=0.005)


def test_two_guesses_in_a_row_have_the_chance_of_their_sum() -> None:
    """The sum of two log-normal lengths and the answers, drawn a million times by numpy's own lognormal."""
    rows = rows_for(dinner(ROAST, BROWN))
    rng = np.random.default_rng(5)
    many = 1_000_000
    roast, brown = (row for row in rows.rows if row.spread is not None)
    assert roast.spread is not None
    assert brown.spread is not None
    answers = rng.uniform(4, 20, (4, many))
    first = rng.lognormal(np.log(roast.spread.middle_s), roast.spread.sigma, many)
    second = rng.lognormal(np.log(brown.spread.middle_s), brown.spread.sigma, many)
    called = np.maximum(brown.release_s, roast.release_s + answers[0] + first + answers[1] + 1)
    known = (called + answers[2] + second + answers[3] <= rows.serve_s + TOO_LATE_S).mean()
    ready = sampler.ready(rows, sampler.draw(rows, 10_000))
    assert (ready <= rows.serve_s + TOO_LATE_S).mean() == pytest.approx(known, abs=0.015)


@pytest.mark.parametrize("plan", [harbour_supper(), family(41), family(44)], ids=["harbour", "41", "44"])
def test_thousands_at_once_end_when_each_on_its_own_does(plan: Plan) -> None:
    """The same drawn lengths and answers through plain Python, one dinner after the other.

    Only the first guess is drawn: putting back what is uncertain as well is the sampler's own.
    """
    rows = rows_for(plan)
    drawn = sampler.draw(rows, 40)
    for place in rows.uncertain[1:]:
        drawn = drawn.with_each({place: rows.rows[place].length_s * 0.5})
    together = sampler.ready(rows, drawn)
    for each in range(40):
        lengths = {place: float(length[each]) for place, length in drawn.lengths.items()}
        answers = [(float(a[each]), float(b[each])) for a, b in drawn.answers]
        assert together[each] == pytest.approx(ready_by_hand(rows, lengths, answers), abs=1.0)


def test_the_same_dinner_always_has_the_same_chance() -> None:
    first, again = planned(harbour_supper()), planned(harbour_supper())
    assert first.on_time_probability == again.on_time_probability
    assert (first.margin_s, first.spoiler) == (again.margin_s, again.spoiler)


def test_a_dinner_without_a_guess_is_sure_and_nothing_can_spoil_it() -> None:
    timeline = planned(dinner(step("boil the barley", 30 * MIN, uses=[on("hob")])))
    assert (timeline.on_time_probability, timeline.spoiler, timeline.margin_s) == (1.0, None, 0)


def test_a_dinner_that_cannot_be_in_time_has_no_chance() -> None:
    plan = dinner(step("boil the barley", 30 * MIN, uses=[on("hob")]))
    late = plan_dinner(plan, now=NOW, serve=NOW.wall + 10 * MIN)
    assert late.on_time_probability == 0.0


def test_the_most_uncertain_step_on_the_way_to_the_pass_is_the_spoiler() -> None:
    shaky = step("bake the custard", (30 * MIN, 60 * MIN), uses=[on("hob")], until=80, keeps=HOUR)
    steady = step("stew the plums", (30 * MIN, 32 * MIN), uses=[on("hob")], keeps=HOUR)
    assert planned(dinner(steady, shaky)).spoiler == shaky.id


def late_pairs(seeds: range, chance: float) -> list[tuple[float, float]]:
    """How late evenings were in the real core, and what the sampler says of the same lengths."""
    pairs = []
    for seed in seeds:
        plan = family(seed)
        rows, timeline = rows_for(plan, chance), planned(plan, chance)
        nature = Nature.drawn(plan, seed)
        drawn = sampler.draw(rows, 50)
        for place in rows.uncertain:
            drawn = drawn.with_each({place: nature.lengths_s[rows.rows[place].step]})
        evening = DrawnEvening(plan, nature, SERVE, timeline).live()
        pairs.append((evening.late_s, float(sampler.ready(rows, drawn).mean()) - 5 * HOUR))
    return pairs


def test_the_sampler_knows_when_a_real_evening_ends() -> None:
    pairs = late_pairs(range(80, 88), 0.75)
    off = sorted(abs(lived - sampled) for lived, sampled in pairs)
    assert off[len(off) * 3 // 4] < 60, pairs
    assert any(lived > TOO_LATE_S / 2 for lived, _ in pairs), "all of them were easy"


@pytest.mark.slow
def test_forty_dinners_promised_nine_in_ten_are_mostly_on_time() -> None:
    """Of 40 at 90 %, 30 to 40 are on time in all but two of a thousand runs (binomial distribution)."""
    rng = Random(3)
    on_time = 0
    for seed in rng.sample(range(100, 900), 20):
        plan = family(seed)
        timeline = planned(plan)
        promised = timeline.on_time_probability or 0.0
        assert promised > 0.7
        natures = [Nature.drawn(plan, seed * 10 + number) for number in range(2)]
        on_time += sum(DrawnEvening(plan, nature, SERVE, timeline).live().is_on_time for nature in natures)
    assert 30 <= on_time <= 40
