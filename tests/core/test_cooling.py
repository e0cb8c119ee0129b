"""Food that is cooled, kept hot or reheated, by its readings: calls in time, each once; sentences as spoken.

Figures: FDA Food Code 3-501.14 (135 to 70 F in two hours, to 41 F in six in all), 3-403.11 (165 F within two
hours), USDA (kept hot at 140 F or more; two hours in the danger zone).
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from kitchend.core.cooling import cooling_of
from kitchend.core.events import ReadingTaken
from kitchend.core.food_places import is_kept_hot
from kitchend.core.phrases import sayable
from kitchend.core.plan import EquipmentId, Plan, Step, Use
from kitchend.core.quantities import Temperature
from kitchend.core.safety_rules import CoolingLimits, ReheatingLimits
from kitchend.core.state import Manners
from kitchend.core.steps import StepState
from tests.core.evening import Evening, a_step, minutes, timeline
from tests.core.test_safety import RULES, plan_of


def c(degrees_f: float) -> float:
    return (degrees_f - 32) / 1.8


LIMITS = CoolingLimits(
    first_c=c(135),
    middle_c=c(70),
    last_c=c(41),
    first_s=7200,
    total_s=21600,
    ambient_s=14400,
    source="FDA Food Code 3-501.14",
    spoken="the Food Code",
)
REHEATING = ReheatingLimits(within_s=7200, source="FDA Food Code 3-403.11", spoken="the Food Code")
COLD = replace(RULES, cooling=LIMITS, reheating=REHEATING)
FRIDGE = Use(equipment=EquipmentId("fridge"))
COOL = a_step("cool the stew", "stew", minutes(60, 90), hands_s=60, until=Temperature(degrees=21))
CHILL = a_step(
    "chill the stew",
    "stew",
    minutes(180),
    hands_s=60,
    until=Temperature(degrees=5),
    uses=(FRIDGE,),
    after=(COOL.id,),
)
REHEAT = a_step("reheat the stew", "stew", minutes(20, 30), hands_s=60, until=Temperature(degrees=74))


def evening_of(*steps: Step, first: str) -> Evening:
    """The first step on since five past six; nothing is planned again."""
    times = {step.id: (5.0 + 10 * place, 10.0 + 10 * place) for place, step in enumerate(steps)}
    evening = Evening(plan_of(*steps), timeline(times), manners=Manners(rules=COLD))
    evening.at_minute(5)
    evening.hear(first)
    evening.replies_to_replans = False
    return evening


def probe(evening: Evening, minute: float, celsius: float, of: str = "stew") -> list[str]:
    evening.at_minute(minute)
    before = len(evening.said)
    evening.feed(ReadingTaken(of=of, celsius=celsius))
    return evening.said[before:]


def carefuls(evening: Evening, first: int, last: int, what: str) -> dict[int, str]:
    """What was said of `what`, by the minute."""
    found: dict[int, str] = {}
    for minute in range(first, last):
        for text in evening.at_minute(minute):
            if what in text:
                found.setdefault(minute, text)
    return found


def test_what_cools_is_there_when_it_has_fallen_to_its_number_and_not_before() -> None:
    evening = evening_of(COOL, first="cool the stew is on")
    evening.at_minute(10)
    assert evening.hear("the stew is at eighty") == ["Eighty: fifty nine degrees to go down."]
    assert evening.where(COOL) is StepState.ON
    assert probe(evening, 40, 40.0) == []
    assert "read forty, and twenty one is the target" in evening.hear("stew done")[0]
    evening.hear("no")
    evening.at_minute(80)
    assert evening.hear("the stew is at twenty one") == ["Twenty one, that is it. Up: the stew."]
    assert evening.where(COOL) is StepState.UP


def test_a_probe_says_that_it_has_cooled() -> None:
    evening = evening_of(COOL, first="cool the stew is on")
    probe(evening, 10, 60.0)
    probe(evening, 60, 22.0)
    assert probe(evening, 70, 21.0) == ["Stew at twenty one, that is it. Up: the stew."]


def test_what_a_cooling_stew_cannot_read_is_asked_back() -> None:
    evening = evening_of(COOL, first="cool the stew is on")
    evening.at_minute(8)
    assert evening.hear("the stew is at nineteen")[0].endswith("?")
    evening.hear("no")
    evening.hear("the stew is at eighty")
    evening.at_minute(10)
    assert evening.hear("the stew is at ninety")[0].endswith("?"), "it does not rise"


def test_a_slow_cooling_is_called_a_quarter_of_an_hour_before_its_two_hours_and_when_they_are_over() -> None:
    evening = evening_of(COOL, first="cool the stew is on")
    probe(evening, 10, 60.0)
    probe(evening, 60, 40.0)
    told = carefuls(evening, 61, 200, "of leaving the heat")
    first, second = sorted(told)[:2]
    soon, late = told[first], told[second]
    assert first == 115
    assert "Careful: the stew read forty. The Food Code says twenty one within two hours of leaving" in soon
    assert "fifteen minutes to go" in soon
    assert 130 <= second <= 131
    assert "was not read at twenty one within two hours of leaving the heat" in late
    assert late.endswith("The Food Code says reheat it or throw it away.")
    assert [mark for _, mark in evening.state.minded.cooled] == ["cooling.soon 7200", "cooling.late 7200"]


def test_one_cooling_goes_on_from_the_table_to_the_fridge() -> None:
    evening = evening_of(COOL, CHILL, first="cool the stew is on")
    probe(evening, 10, 60.0)
    probe(evening, 70, 21.0)
    evening.hear("chill the stew is on")
    probe(evening, 100, 15.0)
    told = carefuls(evening, 101, 372, "of leaving the heat")
    first, second = sorted(told)[:2]
    assert first == 10 + 360 - 15
    assert "says five within six hours" in told[first]
    assert told[second].endswith("The Food Code says throw it away.")


def test_a_cooling_in_time_is_not_called() -> None:
    evening = evening_of(COOL, CHILL, first="cool the stew is on")
    probe(evening, 10, 60.0)
    probe(evening, 70, 21.0)
    evening.hear("chill the stew is on")
    probe(evening, 200, 4.5)
    assert carefuls(evening, 201, 400, "of leaving the heat") == {}


def test_no_cooling_is_judged_by_nothing() -> None:
    with pytest.raises(ValueError, match="no readings"):
        cooling_of(LIMITS, [], [], 0.0)
    for times, now_s in (([0.0, 9.0], 9.0), ([0.0], math.inf)):
        with pytest.raises(ValueError, match="finite times"):
            cooling_of(LIMITS, times, [60.0], now_s)


def test_without_limits_or_readings_no_cooling_is_judged() -> None:
    evening = evening_of(COOL, first="cool the stew is on")
    assert carefuls(evening, 6, 200, "of leaving the heat") == {}
    bare = evening_of(COOL, first="cool the stew is on")
    bare.state = replace(bare.state, manners=Manners(rules=RULES))
    probe(bare, 10, 60.0)
    assert carefuls(bare, 11, 200, "of leaving the heat") == {}


def test_reheating_that_takes_long_is_called_before_its_two_hours() -> None:
    evening = evening_of(REHEAT, first="reheat the stew is on")
    told = carefuls(evening, 6, 200, "reheating for")
    assert min(told) == 110
    fact = "Careful: the stew has been reheating for an hour and forty five minutes."
    assert f"{fact} The Food Code says seventy four within two hours." in told[110]
    bare = evening_of(REHEAT, first="reheat the stew is on")
    bare.state = replace(bare.state, manners=Manners(rules=RULES))
    assert carefuls(bare, 6, 200, "reheating for") == {}


def test_reheated_food_is_held_to_the_number_for_leftovers() -> None:
    evening = evening_of(replace(REHEAT, until=Temperature(degrees=65)), first="reheat the stew is on")
    evening.at_minute(30)
    evening.hear("the stew is at sixty five")
    assert "gives seventy four for poultry" in evening.hear("stew done")[0]


OVEN = Use(equipment=EquipmentId("oven"), at=Temperature(degrees=180))
BRAISE = a_step(
    "braise the beef", "beef", minutes(20, 30), hands_s=60, until=Temperature(degrees=90), uses=(OVEN,)
)
DRAWER = Use(equipment=EquipmentId("drawer"), at=Temperature(degrees=65))
KEEP = a_step("keep the beef", "beef", minutes(60), hands_s=60, uses=(DRAWER,), after=(BRAISE.id,))


def kept(step: Step = KEEP, braise: Step = BRAISE) -> Evening:
    """The beef is done at half past six and put by at twenty five to seven."""
    evening = evening_of(braise, step, first="braise the beef is on")
    evening.at_minute(30)
    evening.hear(f"the beef is at {'ninety' if braise.until == BRAISE.until else 'fifty six'}")
    evening.hear("braise the beef is done")
    evening.hear("yes")
    evening.at_minute(35)
    evening.hear(f"{step.name} is on")
    return evening


def test_food_that_is_kept_too_cool_is_called_once() -> None:
    evening = kept()
    assert not any("kept hot" in text for text in probe(evening, 40, 63.0, "beef"))
    said = probe(evening, 45, 58.0, "beef")
    assert any(
        "Careful: the beef reads fifty eight where it is kept hot. The USDA says sixty or more." in text
        for text in said
    )
    assert not any("reads fifty" in text for text in probe(evening, 50, 57.0, "beef"))


def test_the_hold_of_a_low_target_may_be_as_cool_as_that_target() -> None:
    low = replace(BRAISE, until=Temperature(degrees=56), raw="beef")
    evening = kept(braise=low)
    assert not any("kept hot" in text for text in probe(evening, 40, 57.0, "beef"))
    assert any("fifty six or more" in text for text in probe(evening, 45, 54.0, "beef"))


def test_what_was_not_cooked_before_is_not_kept_hot() -> None:
    evening = evening_of(replace(KEEP, after=()), first="keep the beef is on")
    assert not any("kept hot" in text for text in probe(evening, 10, 30.0, "beef"))


@pytest.mark.parametrize(
    ("step", "keeps"),
    [
        (KEEP, True),
        (replace(KEEP, uses=(Use(equipment=EquipmentId("cool box")),)), True),
        (replace(KEEP, uses=(FRIDGE,)), False),
        (replace(KEEP, uses=()), False),
        (replace(KEEP, name="simmer the beef"), False),
        (replace(KEEP, name="cool the beef"), False),
        (replace(KEEP, uses=(replace(DRAWER, at=Temperature(degrees=4)),)), False),
        (replace(KEEP, until=Temperature(degrees=70)), False),
    ],
)
def test_which_step_keeps_food_hot(step: Step, keeps: bool) -> None:
    assert is_kept_hot(step, COLD) is keeps


REST = replace(KEEP, name="rest the beef", uses=())


def stood(evening: Evening, first: int, last: int) -> list[int]:
    return sorted(carefuls(evening, first, last, "out for"))[:1]


def test_a_reading_knows_better_than_the_plan_whether_food_is_in_the_danger_zone() -> None:
    # Put by on the table at 6:30; by the plan alone it is called at 8:15.
    assert stood(kept(REST), 36, 200) == [135]
    hot = kept(REST)
    for minute in range(40, 200, 10):
        said = probe(hot, minute, 64.0, "beef")
        assert not any("out for" in text for text in said)
    # Kept in the heat by the plan, and read in the zone since 6:40: called a quarter before 8:40.
    cool = kept()
    probe(cool, 40, 61.0, "beef")
    probe(cool, 45, 58.0, "beef")
    told: list[int] = []
    for minute in range(46, 200):
        texts = cool.at_minute(minute)
        if minute % 10 == 0:
            texts += probe(cool, minute, 55.0, "beef")
        told += [minute for text in texts if "out for" in text]
    assert told[:1] == [145]


def test_an_old_hot_reading_only_moves_the_moment() -> None:
    evening = kept(REST)
    probe(evening, 60, 64.0, "beef")
    assert stood(evening, 61, 250) == [60 + 105]


def test_a_plan_of_other_dishes_says_nothing_of_this_one() -> None:
    other = a_step("rest the pie", "pie", minutes(30), hands_s=60, after=(BRAISE.id,))
    plan: Plan = plan_of(BRAISE, other)
    assert plan.step(other.id).dish != BRAISE.dish
    evening = evening_of(BRAISE, other, first="braise the beef is on")
    evening.at_minute(30)
    evening.hear("the beef is at ninety")
    evening.hear("braise the beef is done")
    evening.at_minute(35)
    evening.hear("rest the pie is on")
    probe(evening, 40, 70.0, "pie")
    assert stood(evening, 41, 200) == [135]


def test_what_rests_may_be_read_aloud_though_no_reading_ends_it() -> None:
    evening = kept(REST)
    evening.at_minute(40)
    assert evening.hear("the beef is at sixty eight") == ["Beef at sixty eight."]
    assert evening.state.readings[-1].of == REST.id
    evening.at_minute(42)
    assert evening.hear("the beef is at forty") == ["Beef at forty?"]
    evening.hear("yes")
    assert evening.state.readings[-1].celsius == 40
    impossible = evening.hear("the beef is at one hundred and twenty")
    assert impossible == ["Beef at one hundred and twenty cannot be; I leave it out. Look again."]
    offered = sayable(evening.state, evening.now.instant)
    assert offered.accepts("hey kitchen the beef is at sixty eight"), "it is listened for"
    assert not offered.accepts("hey kitchen the sauce is at sixty eight")
