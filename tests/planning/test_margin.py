"""How much more than their middle uncertain steps are given: for what chance, and within what they keep."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core import moves
from kitchend.core.plan import Plan, StepId
from kitchend.core.state import DinnerState
from kitchend.core.timeline import Timeline
from kitchend.planning import PlanningSettings, plan_dinner, plan_rest
from tests.planning.dinners import HOUR, MIN, NOON, NOW, dinner, on, oven, step

SERVE = NOON + 5 * HOUR
ROAST, REST, LEEKS = StepId("roast-the-venison"), StepId("rest-the-venison"), StepId("steam-the-leeks")


def venison(rests: int = 40 * MIN, keeps: int = 5 * MIN) -> Plan:
    return dinner(
        step("roast the venison", (50 * MIN, 75 * MIN), hands=MIN, uses=[oven(180)], until=58, keeps=keeps),
        step("rest the venison", 10 * MIN, after=["roast the venison"], keeps=rests),
        step("carve the venison", hands=5 * MIN, after=["rest the venison"], keeps=4 * MIN),
        step("steam the leeks", 8 * MIN, hands=MIN, uses=[on("steamer")], keeps=3 * MIN),
    )


def planned(plan: Plan, chance: float = 0.9, serve_s: float = 5 * HOUR) -> Timeline:
    return plan_dinner(plan, now=NOW, serve=NOON + serve_s, settings=PlanningSettings(chance=chance))


def start_s(timeline: Timeline, of: StepId) -> float:
    place = timeline.of(of)
    assert place is not None
    return place.start - NOON


def end_s(timeline: Timeline, of: StepId) -> float:
    place = timeline.of(of)
    assert place is not None
    return place.end - NOON


@pytest.mark.parametrize("chance", [0.5, 0.75, 0.9, 0.97])
def test_the_promised_chance_is_the_one_wanted(chance: float) -> None:
    assert planned(venison(), chance).on_time_probability == pytest.approx(chance, abs=0.015)


def test_more_chance_starts_the_roast_earlier_and_leaves_the_side_where_it_is() -> None:
    less, more = planned(venison(), 0.75), planned(venison(), 0.95)
    assert start_s(more, ROAST) < start_s(less, ROAST) - 4 * MIN
    assert more.margin_s - less.margin_s == pytest.approx(
        start_s(less, ROAST) - start_s(more, ROAST), abs=MIN
    )
    assert start_s(more, LEEKS) == pytest.approx(start_s(less, LEEKS), abs=2 * MIN)


def test_the_margin_is_what_the_roast_is_given_beyond_its_middle() -> None:
    timeline = planned(venison())
    middle = (50 * MIN * 75 * MIN) ** 0.5
    assert end_s(timeline, ROAST) - start_s(timeline, ROAST) == pytest.approx(
        middle + timeline.margin_s, abs=1
    )


def test_the_plan_says_what_chance_it_wants_before_the_settings_do() -> None:
    plan = replace(venison(), chance=0.6)
    assert planned(plan, 0.95).on_time_probability == pytest.approx(0.6, abs=0.015)


def test_where_nothing_keeps_there_is_no_cushion_and_the_chance_is_the_honest_one() -> None:
    hurried = planned(venison(rests=0, keeps=0), 0.97)
    assert hurried.margin_s <= 4 * MIN + 15
    assert hurried.on_time_probability is not None
    assert 0.5 < hurried.on_time_probability < 0.95


def test_where_now_is_too_late_for_the_margin_the_pass_is_still_planned_for() -> None:
    soon = planned(venison(), 0.97, serve_s=95 * MIN)
    assert soon.late_by_s == 0
    assert soon.on_time_probability is not None
    assert soon.on_time_probability < 0.95


def test_without_a_serving_time_the_pass_is_as_late_as_the_chance_wants() -> None:
    less, more = (
        plan_dinner(venison(), now=NOW, serve=None, settings=PlanningSettings(chance=chance))
        for chance in (0.6, 0.95)
    )
    assert more.serve - less.serve > 5 * MIN
    assert more.on_time_probability == pytest.approx(0.95, abs=0.015)


class Evening:
    """The venison in the oven, planned again from what is true."""

    def __init__(self, chance: float = 0.9) -> None:
        self.timeline = planned(venison(), chance)
        self.state = DinnerState(plan=venison(), serve=SERVE, timeline=self.timeline)
        self.begun_s = start_s(self.timeline, ROAST)
        self.now = NOW.after(self.begun_s)
        roast = self.state.step(ROAST)
        called = moves.call(self.state, roast, self.now)
        assert called is not None
        on_now = moves.start(called, roast, self.now)
        assert on_now is not None
        self.state = on_now

    def rest_after(self, seconds: float) -> Timeline:
        self.now = NOW.after(self.begun_s + seconds)
        return plan_rest(self.state, now=self.now)

    def chance_after(self, seconds: float) -> float:
        chance = self.rest_after(seconds).on_time_probability
        assert chance is not None
        return chance


def test_what_is_on_still_ends_when_it_was_planned_to() -> None:
    evening = Evening()
    rest = evening.rest_after(20 * MIN)
    assert end_s(rest, ROAST) == pytest.approx(end_s(evening.timeline, ROAST), abs=1)
    assert (rest.margin_s, rest.late_by_s) == (evening.timeline.margin_s, 0)


def test_the_chance_stays_while_nothing_is_known_and_falls_once_it_runs_over() -> None:
    evening = Evening()
    assert evening.chance_after(5 * MIN) == pytest.approx(0.9, abs=0.03)
    assert 0.3 < evening.chance_after(70 * MIN) < 0.85
    assert evening.chance_after(80 * MIN) < 0.2


def test_once_it_is_out_the_dinner_is_sure() -> None:
    evening = Evening()
    evening.now = NOW.after(evening.begun_s + 55 * MIN)
    done = moves.finish(evening.state, ROAST, evening.now)
    assert done is not None
    evening.state = done
    rest = evening.rest_after(55 * MIN)
    assert rest.on_time_probability == 1.0
    assert rest.spoiler is None


def test_an_early_roast_rests_longer_and_the_leeks_stay() -> None:
    evening = Evening()
    evening.now = NOW.after(evening.begun_s + 55 * MIN)
    done = moves.finish(evening.state, ROAST, evening.now)
    assert done is not None
    evening.state = done
    rest = evening.rest_after(55 * MIN)
    assert start_s(rest, REST) < evening.begun_s + 57 * MIN
    assert start_s(rest, LEEKS) == pytest.approx(start_s(evening.timeline, LEEKS), abs=MIN)


def test_time_given_moves_the_end_by_as_much_and_only_once() -> None:
    evening = Evening()
    before = end_s(evening.rest_after(10 * MIN), ROAST)
    given = moves.give(evening.state, evening.state.step(ROAST), 12 * MIN, evening.now)
    assert given is not None
    evening.state = replace(given, timeline=plan_rest(given, now=evening.now))
    assert end_s(evening.rest_after(15 * MIN), ROAST) == pytest.approx(before + 12 * MIN, abs=1)
