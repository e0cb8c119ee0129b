"""The rest of a dinner: what happened is a fact, what was called stays, what need not move does not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core import moves
from kitchend.core.clock import Now, WallTime
from kitchend.core.plan import Plan, Step, StepId
from kitchend.core.state import DinnerState
from kitchend.core.timeline import Timeline
from kitchend.planning import PlanningSettings, plan_dinner, plan_rest
from tests.planning.dinners import HOUR, MIN, NOON, NOW, dinner, harbour_supper, on, oven, step

GAP = PlanningSettings().answer_s


class Evening:
    """A dinner in the middle: moves steps by hand and plans the rest."""

    def __init__(self, plan: Plan, serve_s: int) -> None:
        timeline = plan_dinner(plan, now=NOW, serve=NOON + serve_s)
        self.begun = timeline
        self.state = DinnerState(plan=plan, serve=NOON + serve_s, timeline=timeline)
        self.now = NOW

    def at(self, seconds: float) -> Evening:
        self.now = NOW.after(seconds)
        return self

    def call(self, name: str) -> Evening:
        return self._moved(moves.call(self.state, self.step(name), self.now))

    def start(self, name: str) -> Evening:
        return self._moved(moves.start(self.state, self.step(name), self.now))

    def finish(self, name: str) -> Evening:
        return self._moved(moves.finish(self.state, self.step(name).id, self.now))

    def drop(self, name: str) -> Evening:
        return self._moved(moves.drop(self.state, self.step(name).id, self.now))

    def hold(self, name: str) -> Evening:
        return self._moved(moves.hold(self.state, self.step(name).id, self.now))

    def give(self, name: str, seconds: int) -> Evening:
        return self._moved(moves.give(self.state, self.step(name), seconds, self.now))

    def do(self, name: str, seconds: float) -> Evening:
        self.at(seconds).call(name).start(name)
        return self

    def step(self, name: str) -> Step:
        return next(step for step in self.state.steps if step.name == name)

    def rest(self) -> Timeline:
        return plan_rest(self.state, now=self.now)

    def planned(self) -> Evening:
        self.state = replace(self.state, timeline=self.rest())
        return self

    def starts(self, name: str) -> float:
        found = self.rest().of(self.step(name).id)
        assert found is not None
        return found.start - NOON

    def ends(self, name: str) -> float:
        found = self.rest().of(self.step(name).id)
        assert found is not None
        return found.end - NOON

    def given_s(self, name: str) -> float:
        """What the timeline the dinner began with gives a step."""
        planned = self.begun.of(self.step(name).id)
        assert planned is not None
        return planned.end - planned.start

    def _moved(self, state: DinnerState | None) -> Evening:
        assert state is not None
        self.state = state
        return self


def duck() -> Plan:
    return dinner(
        step("brown the duck", hands=10 * MIN, keeps=HOUR),
        step(
            "braise the duck", (60 * MIN, 80 * MIN), hands=2 * MIN, after=["brown the duck"], keeps=20 * MIN
        ),
        step("glaze the duck", hands=5 * MIN, after=["braise the duck"], keeps=5 * MIN),
        step("dress the salad", hands=4 * MIN, keeps=10 * MIN),
    )


def test_nothing_has_happened_and_nothing_moves() -> None:
    evening = Evening(harbour_supper(), 5 * HOUR)
    before = evening.state.timeline
    after = evening.at(5 * MIN).rest()
    assert before is not None
    assert [(p.step, p.start, p.end) for p in after.planned] == [
        (p.step, p.start, p.end) for p in before.planned
    ]


def test_what_is_done_is_gone_from_the_timeline() -> None:
    rest = Evening(duck(), 3 * HOUR).do("brown the duck", 0).at(9 * MIN).finish("brown the duck").rest()
    assert rest.of(StepId("brown-the-duck")) is None
    assert len(rest.planned) == 3


def test_a_step_that_is_on_ends_by_its_timer_counting_what_it_is_given() -> None:
    evening = Evening(duck(), 3 * HOUR).do("brown the duck", 0).at(10 * MIN).finish("brown the duck")
    evening.do("braise the duck", 12 * MIN).at(30 * MIN)
    assert evening.ends("braise the duck") == 12 * MIN + evening.given_s("braise the duck")
    assert evening.starts("braise the duck") == 12 * MIN


def test_more_time_moves_its_end_and_what_follows() -> None:
    evening = Evening(duck(), 3 * HOUR).do("brown the duck", 0).at(10 * MIN).finish("brown the duck")
    evening.do("braise the duck", 90 * MIN).at(100 * MIN)
    end = 90 * MIN + evening.given_s("braise the duck")
    assert evening.starts("glaze the duck") >= end + GAP
    evening.give("braise the duck", 20 * MIN)
    assert evening.ends("braise the duck") == end + 20 * MIN
    assert evening.starts("glaze the duck") == end + 20 * MIN + GAP
    assert evening.rest().late_by_s == end + 25 * MIN + GAP - 3 * HOUR


def test_a_held_step_ends_when_what_is_left_has_run_from_now() -> None:
    evening = Evening(duck(), 4 * HOUR).do("brown the duck", 0).at(10 * MIN).finish("brown the duck")
    evening.do("braise the duck", 20 * MIN).at(50 * MIN).hold("braise the duck").at(80 * MIN)
    assert evening.ends("braise the duck") == 80 * MIN + evening.given_s("braise the duck") - 30 * MIN


def test_a_called_step_is_not_put_back() -> None:
    evening = Evening(duck(), 6 * HOUR).at(HOUR).call("brown the duck").at(HOUR + 60)
    assert evening.starts("brown the duck") == HOUR + 60
    assert evening.ends("brown the duck") == HOUR + 11 * MIN


def test_two_called_steps_end_one_after_the_other() -> None:
    evening = Evening(duck(), 6 * HOUR).at(HOUR).call("brown the duck").at(HOUR + 1).call("dress the salad")
    ends = sorted([evening.ends("brown the duck"), evening.ends("dress the salad")])
    assert ends == [HOUR + 1 + 10 * MIN, HOUR + 1 + 14 * MIN + GAP]


def test_hands_busy_with_what_is_on_are_not_planned_elsewhere() -> None:
    evening = Evening(duck(), 100 * MIN).do("brown the duck", 0).at(4 * MIN)
    evening.state = replace(evening.state, serve=NOON + 30 * MIN)
    assert evening.starts("dress the salad") >= 10 * MIN


def test_what_runs_over_its_hands_ends_soon() -> None:
    evening = Evening(duck(), 4 * HOUR).do("brown the duck", 0).at(25 * MIN)
    assert evening.ends("brown the duck") == 25 * MIN + PlanningSettings().soon_s


def test_a_dropped_step_is_gone_and_its_followers_follow_its_predecessors() -> None:
    evening = Evening(duck(), 4 * HOUR).do("brown the duck", 0).at(2 * MIN).drop("braise the duck")
    assert evening.rest().of(StepId("braise-the-duck")) is None
    evening.state = replace(evening.state, serve=NOON + 5 * MIN)
    assert evening.starts("glaze the duck") >= 10 * MIN + GAP


def test_a_reminder_goes_with_its_dropped_step() -> None:
    plan = dinner(
        step("simmer the stock", HOUR),
        step("skim the stock", hands=MIN, during="simmer the stock", at=20 * MIN),
    )
    assert Evening(plan, 2 * HOUR).drop("simmer the stock").rest().planned == ()


def test_a_reminder_counts_from_when_its_step_went_on() -> None:
    plan = dinner(
        step("simmer the stock", HOUR, hands=MIN),
        step("skim the stock", hands=MIN, during="simmer the stock", at=20 * MIN),
    )
    evening = Evening(plan, 2 * HOUR).do("simmer the stock", 50 * MIN).at(55 * MIN)
    assert evening.starts("skim the stock") == 70 * MIN


def test_a_later_pass_moves_what_has_to_be_fresh_and_nothing_called() -> None:
    plan = dinner(step("braise the duck", 80 * MIN), step("set the jelly", 4 * HOUR, keeps=None))
    evening = Evening(plan, 5 * HOUR).do("set the jelly", HOUR).at(HOUR + MIN)
    before = evening.starts("braise the duck")
    evening.state = replace(evening.state, serve=NOON + 5 * HOUR + 15 * MIN)
    assert evening.starts("braise the duck") == before + 15 * MIN
    assert evening.starts("set the jelly") == HOUR


def test_a_called_heating_is_not_called_again_and_its_oven_is_waited_for() -> None:
    plan = dinner(step("bake the bread", 30 * MIN, hands=MIN, uses=[oven(220)]))
    evening = Evening(plan, HOUR).at(10 * MIN).call("heat the oven to 220").planned()
    assert [step.id for step in evening.rest().added] == ["oven/heat to 220 before bake-the-bread"]
    assert evening.starts("bake the bread") >= 25 * MIN


@pytest.mark.parametrize("waits_s", [0, 2 * HOUR], ids=["at once", "two hours on"])
def test_an_oven_heated_on_purpose_is_hot_until_it_is_used(waits_s: int) -> None:
    plan = dinner(step("bake the bread", 30 * MIN, hands=MIN, uses=[oven(220)]))
    evening = Evening(plan, HOUR).do("heat the oven to 220", 10 * MIN).at(25 * MIN)
    evening.finish("heat the oven to 220").planned().at(25 * MIN + waits_s)
    assert evening.rest().added == ()


def test_an_oven_heated_on_purpose_cools_after_its_first_use_like_any_other() -> None:
    plan = dinner(
        step("bake the custard", 50 * MIN, hands=MIN, uses=[oven(160)], keeps=None),
        step("chill the custard", 2 * HOUR, after=["bake the custard"]),
        step("bake the pie", 40 * MIN, hands=MIN, uses=[oven(200)]),
    )
    evening = Evening(plan, 4 * HOUR).do("heat the oven to 160", 30 * MIN).at(45 * MIN)
    evening.finish("heat the oven to 160").planned()
    assert [(step.name, step.takes.high_s) for step in evening.rest().added] == [
        ("heat the oven to 200", PlanningSettings().preheat_s)
    ]


def test_an_oven_in_use_at_the_temperature_needs_no_heating() -> None:
    plan = dinner(
        step("bake the pie", HOUR, hands=MIN, uses=[oven(200)], keeps=HOUR),
        step("bake the bread", 30 * MIN, hands=MIN, uses=[oven(200)]),
    )
    evening = Evening(plan, 100 * MIN).do("bake the pie", 20 * MIN).at(30 * MIN)
    assert evening.rest().added == ()


def test_an_oven_in_use_at_another_temperature_is_turned_when_it_is_free() -> None:
    plan = dinner(
        step("bake the pie", HOUR, hands=MIN, uses=[oven(200)], keeps=HOUR),
        step("dry the meringue", 30 * MIN, hands=MIN, uses=[oven(120)], keeps=HOUR),
    )
    evening = Evening(plan, 3 * HOUR).do("bake the pie", 20 * MIN).at(30 * MIN)
    evening.state = replace(evening.state, serve=NOON + 2 * HOUR)
    assert [step.name for step in evening.rest().added] == ["turn the oven to 120"]
    assert evening.starts("turn the oven to 120") >= 80 * MIN


def test_an_oven_turned_away_and_back_is_called_under_a_new_name() -> None:
    plan = dinner(
        step("bake the pie", 40 * MIN, hands=MIN, uses=[oven(200)], keeps=None),
        step("dry the meringue", 30 * MIN, hands=MIN, uses=[oven(120)], keeps=None),
    )
    evening = (
        Evening(plan, 6 * HOUR).do("heat the oven to 200", 0).at(15 * MIN).finish("heat the oven to 200")
    )
    evening.do("dry the meringue", 20 * MIN).at(50 * MIN).finish("dry the meringue").planned()
    (turned,) = evening.rest().added
    assert turned.id == "oven/heat to 200 before bake-the-pie again"


def test_an_oven_heated_for_what_was_then_dropped_is_turned_and_not_heated_from_cold() -> None:
    plan = dinner(
        step("bake the bread", 30 * MIN, hands=MIN, uses=[oven(220)], keeps=None),
        step("dry the meringue", 30 * MIN, hands=MIN, uses=[oven(120)], after=["bake the bread"]),
    )
    evening = Evening(plan, 4 * HOUR).do("heat the oven to 220", 0).at(15 * MIN)
    evening.finish("heat the oven to 220").drop("bake the bread").planned()
    assert [step.name for step in evening.at(HOUR).rest().added] == ["turn the oven to 120"]


def test_a_step_called_before_its_turn_waits_for_what_comes_before() -> None:
    evening = Evening(duck(), 4 * HOUR).at(MIN).call("glaze the duck")
    assert evening.starts("glaze the duck") >= evening.ends("braise the duck") + GAP


def test_a_fact_that_breaks_every_rule_still_gets_a_rest() -> None:
    plan = dinner(
        step("steam the fish", 20 * MIN, hands=10 * MIN, uses=[on("steamer")]),
        step("steam the buns", 20 * MIN, hands=10 * MIN, uses=[on("steamer")]),
        step("bake the pie", HOUR, hands=10 * MIN, uses=[oven(200)]),
        step("dry the meringue", HOUR, hands=10 * MIN, uses=[oven(120)]),
        step("whip the cream", hands=5 * MIN),
        step("warm the plates", 10 * MIN, uses=[oven(80)]),
        step("bake the bread", 20 * MIN, uses=[oven(200)]),
    )
    evening = Evening(plan, 4 * HOUR)
    for name in ("steam the fish", "steam the buns", "bake the pie", "dry the meringue"):
        evening.do(name, 10 * MIN)
    rest = evening.at(11 * MIN).rest()
    assert len(rest.planned) == 7 + len(rest.added)


def test_when_the_search_finds_nothing_one_thing_follows_the_other() -> None:
    nothing = PlanningSettings(effort=0.0, first_effort=0.0, seconds_limit=0.0)
    timeline = plan_dinner(harbour_supper(), now=NOW, serve=None, settings=nothing)
    assert len(timeline.planned) == 20 + len(timeline.added)


def test_no_dinner_on_gives_an_empty_timeline() -> None:
    rest = plan_rest(DinnerState(), now=NOW)
    assert rest.planned == ()


def test_a_fraction_of_a_second_never_plans_into_the_past() -> None:
    now = Now(NOW.instant + 0.4, WallTime(NOON.epoch_s + 0.4, NOON.offset_s))
    timeline = plan_dinner(duck(), now=now, serve=None)
    assert all(now.wall <= planned.start for planned in timeline.planned)
