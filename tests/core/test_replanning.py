"""Planned again: what is said about a late and an early centrepiece, once; what the cook answers to it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.early import centrepiece
from kitchend.core.phrases import sayable
from kitchend.core.plan import Dish, DishId, EquipmentId, Plan, Step, StepId, Use
from kitchend.core.quantities import Scale, Temperature
from kitchend.core.steps import StepState
from kitchend.doneness.guidance import Jurisdiction
from kitchend.doneness.rules import rules_for
from tests.core.evening import (
    CARVE,
    PLAN,
    REST,
    ROAST,
    SEVEN,
    START,
    STEAM,
    TIMES_MIN,
    TRIM,
    Evening,
    a_step,
    minutes,
    timeline,
)

Times = dict[StepId, tuple[float, float]]


def roasting(*, plan: Plan = PLAN, times: Times | None = None) -> Evening:
    """A quarter past six: the chicken is on and basted, the rest is to come."""
    evening = Evening(plan, timeline(times))
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.at_minute(15)
    evening.hear("chicken basted")
    return evening


def put_back(by: float) -> Times:
    """The times with the roast ending later and everything after it put back."""
    moved = {ROAST.id: (5.0, 35.0 + by)}
    return {
        step: moved.get(step, (low, high) if low <= 15 else (low + by, high + by))
        for step, (low, high) in TIMES_MIN.items()
    }


# --- late ---


def test_a_late_centrepiece_is_named_with_what_is_put_back_for_it_in_one_sentence() -> None:
    evening = roasting()
    evening.timeline = timeline(put_back(12), late_s=720)
    assert evening.hear("twelve more minutes on the chicken") == [
        "Chicken: twenty two to thirty two minutes to go.",
        "The chicken is late: dinner at seven twelve, twelve minutes late. Greens moved back.",
    ]


def test_a_late_centrepiece_with_nothing_to_put_back_is_named_alone() -> None:
    times = {ROAST.id: (5.0, 35.0), CARVE.id: (45.0, 51.0)}
    evening = roasting(times=times)
    evening.timeline = timeline({**times, ROAST.id: (5, 47)}, late_s=720)
    assert evening.hear("twelve more minutes on the chicken")[-1].endswith(
        "The chicken is late: dinner at seven twelve, twelve minutes late."
    )


def test_many_dishes_put_back_are_not_listed() -> None:
    sides = [
        a_step(f"dress the {name}", name, minutes(2), hands_s=120) for name in ("leeks", "plums", "rice")
    ]
    dishes = tuple(Dish(id=side.dish, name=str(side.dish), steps=(side,)) for side in sides)
    times: Times = {**TIMES_MIN, **{side.id: (50.0 + i, 52.0 + i) for i, side in enumerate(sides)}}
    evening = roasting(plan=replace(PLAN, dishes=PLAN.dishes + dishes), times=times)
    late = {**put_back(12), **{side.id: (62.0 + i, 64.0 + i) for i, side in enumerate(sides)}}
    evening.timeline = timeline(late, late_s=720)
    evening.hear("twelve more minutes on the chicken")
    assert evening.said[-1].startswith("The chicken is late: dinner at seven twelve")
    assert evening.said[-1].endswith("Everything not yet on moved back.")


def test_lateness_that_nobody_going_causes_is_told_without_a_name() -> None:
    evening = roasting()
    evening.timeline = timeline(late_s=720)
    assert evening.hear("one more minute on the chicken")[-1].endswith(
        "Dinner will be twelve minutes late: seven twelve."
    )


def test_what_the_new_timeline_does_not_hold_is_not_named() -> None:
    evening = roasting()
    evening.timeline = timeline({CARVE.id: (57, 63)}, late_s=720)
    assert evening.hear("one more minute on the chicken")[-1].endswith(
        "Dinner will be twelve minutes late: seven twelve."
    )


def test_after_being_back_on_time_a_little_lateness_is_not_told_again() -> None:
    evening = roasting()
    told = []
    for late_min in (3, 0, 3, 0, 4, 6):
        evening.timeline = timeline(late_s=late_min * 60)
        said = evening.hear("one more minute on the chicken")[-1]
        told.append("minutes late" in said or "Back on time" in said)
    assert told == [True, True, False, False, False, True]


@pytest.mark.parametrize(
    ("minutes_late", "told"),
    [
        ((10, 15, 19, 20, 29, 30), (10, 20, 30)),
        ((30, 44, 45, 60, 67, 68), (30, 45, 68)),
        ((45, 60, 30, 23, 22, 12, 11), (45, 22, 11)),
        ((12, 11, 3, 2), (12, 2)),
        ((12, 21, 13, 4, 12), (12,)),
    ],
    ids=["ten minutes more", "half as much again", "half as much", "nearly on time", "to and fro"],
)
def test_lateness_is_told_again_only_when_what_was_told_no_longer_holds(
    minutes_late: tuple[int, ...], told: tuple[int, ...]
) -> None:
    """By ten minutes and by half of what was told: a table that was told of it would have to be told anew."""
    evening, said = roasting(), []
    for late in minutes_late:
        evening.timeline = timeline(late_s=late * 60)
        if "minutes late" in evening.hear("one more minute on the chicken")[-1]:
            said.append(late)
    assert tuple(said) == told


def test_less_lateness_is_told_without_naming_what_made_it() -> None:
    evening = roasting()
    evening.timeline = timeline(put_back(30), late_s=1800)
    assert "The chicken is late" in evening.hear("thirty more minutes on the chicken")[-1]
    evening.timeline = timeline(put_back(32), late_s=900)
    assert evening.hear("two more minutes on the chicken")[-1].endswith(
        "Dinner will be fifteen minutes late: seven fifteen."
    )


def test_being_back_on_time_is_told_once_though_some_seconds_are_left() -> None:
    evening = roasting()
    told = []
    for late in (900, 30, 45, 20, 0, 30):
        evening.timeline = timeline(late_s=late)
        told.append("Back on time" in evening.hear("one more minute on the chicken")[-1])
    assert told == [False, True, False, False, False, False]


def test_a_little_lateness_is_not_told_while_the_pass_is_far_off() -> None:
    evening = roasting()
    evening.now = START
    evening.state = replace(evening.state, serve=SEVEN + 7 * 3600)
    evening.timeline = replace(timeline(late_s=900), serve=SEVEN + 7 * 3600)
    assert "late" not in evening.hear("one more minute on the chicken")[-1]
    evening.timeline = replace(timeline(late_s=1800), serve=SEVEN + 7 * 3600)
    assert "thirty minutes late" in evening.hear("one more minute on the chicken")[-1]


# --- early ---

EARLY: Times = {
    ROAST.id: (5, 45),
    TRIM.id: (33, 39),
    REST.id: (45, 55),
    CARVE.id: (55, 60),
    STEAM.id: (55, 59),
}
"""The roast ends at a quarter to seven and is there at twenty past six."""


def early_at(minute: float, *, plan: Plan = PLAN, times: Times | None = None) -> tuple[Evening, str]:
    evening = roasting(plan=plan, times=EARLY if times is None else times)
    evening.at_minute(minute)
    return evening, evening.hear("roast the chicken done")[-1].partition("ten minutes, starting now. ")[2]


def test_an_early_centrepiece_is_told_with_what_to_do_about_it_and_asked() -> None:
    evening, said = early_at(20)
    assert said == "The chicken is twenty five minutes early and can wait. Serve at six forty five instead?"
    assert evening.state.serve == SEVEN


@pytest.mark.parametrize("answer", ["serve earlier", "yes", "the first one", "hey kitchen serve earlier"])
def test_serving_earlier_moves_the_pass_and_can_be_taken_back(answer: str) -> None:
    evening, _ = early_at(20)
    assert evening.hear(answer) == ["The pass is at six forty five."]
    assert evening.state.serve == SEVEN + -900
    evening.hear("undo that")
    assert evening.state.serve == SEVEN


def test_a_question_that_had_to_wait_for_the_end_of_a_quiet_can_still_be_answered() -> None:
    evening = roasting(plan=PLAN, times=EARLY)
    evening.at_minute(20)
    evening.hear("heard")
    evening.hear("quiet for four minutes")
    evening.hear("roast the chicken done")
    evening.at_minute(23.9)
    [said] = evening.at_minute(24.3)
    assert said == "The chicken is twenty five minutes early and can wait. Serve at six forty five instead?"
    assert evening.hear("yes") == ["The pass is at six forty five."]


@pytest.mark.parametrize("answer", ["rest it", "no", "the second one", "leave it"])
def test_letting_it_rest_changes_nothing(answer: str) -> None:
    evening, _ = early_at(20)
    before = evening.state
    assert evening.hear(answer) == ["All right."]
    assert evening.state.asked is None
    assert evening.state.serve == SEVEN
    assert evening.state.records == before.records


def test_both_answers_can_be_heard_while_it_is_asked_and_not_before() -> None:
    evening, _ = early_at(20)
    can_be_said = sayable(evening.state, evening.now.instant)
    assert can_be_said.accepts("serve earlier")
    assert can_be_said.accepts("rest it")
    assert not sayable(roasting().state, evening.now.instant).accepts("serve earlier")


def test_an_unanswered_question_lapses_and_changes_nothing() -> None:
    evening, _ = early_at(20)
    evening.at_minute(22.1)
    assert evening.state.asked is None
    assert evening.hear("yes") == ["Nothing was asked."]
    assert evening.state.serve == SEVEN


def test_other_words_in_between_leave_the_question_open() -> None:
    evening, _ = early_at(20)
    evening.hear("what's next")
    assert evening.hear("yes") == ["The pass is at six forty five."]


def test_taking_back_that_it_is_done_takes_back_the_question() -> None:
    evening, _ = early_at(20)
    evening.hear("undo that")
    assert evening.state.asked is None
    assert evening.where(ROAST) is StepState.ON
    assert "Serve at six forty five instead?" in evening.hear("roast the chicken done")[-1]


def test_it_is_asked_once() -> None:
    evening, _ = early_at(20)
    evening.hear("no")
    assert not any("early" in text for text in evening.at_minute(32))


def test_of_a_dinner_that_is_late_no_earlier_pass_is_offered() -> None:
    evening, said = early_at(20)
    assert "Serve at" in said
    late = Evening(times=replace(evening.timeline, ready=SEVEN + 3600, late_by_s=3600))
    late.at_minute(5)
    late.hear("chicken is in")
    late.at_minute(20)
    assert not any("Serve at" in text for text in late.hear("roast the chicken is done"))


def test_a_little_early_is_not_spoken_of() -> None:
    assert early_at(36)[1] == ""


def test_what_cannot_be_served_earlier_is_left_to_wait() -> None:
    _, said = early_at(20, times={**EARLY, STEAM.id: (21, 60)})
    assert said == "The chicken is twenty five minutes early and can wait."


def with_keeps(keeps_s: int | None) -> Plan:
    steps = tuple(replace(step, keeps_s=keeps_s) for step in PLAN.dishes[0].steps)
    return replace(PLAN, dishes=(replace(PLAN.dishes[0], steps=steps), PLAN.dishes[1]))


def test_what_would_stand_too_long_is_offered_earlier() -> None:
    _, said = early_at(20, plan=with_keeps(60))
    assert said == "The chicken is twenty five minutes early, too long to stand. Serve at six forty five?"


def test_what_would_stand_too_long_and_cannot_be_served_earlier_is_kept_hot() -> None:
    _, said = early_at(20, plan=with_keeps(60), times={**EARLY, STEAM.id: (21, 60)})
    assert said == (
        "The chicken is twenty five minutes early, too long to stand: keep hot, sixty degrees or more."
    )


def test_how_hot_it_is_kept_is_said_by_the_guidance_and_in_the_degrees_of_the_plan() -> None:
    """63 C is 145 F (UK Food Standards Agency, hot holding); sixty Fahrenheit would be a cool room."""
    hot = replace(
        PLAN.steps[0],
        keeps_s=60,
        until=Temperature(degrees=165, scale=Scale.FAHRENHEIT),
        uses=(Use(equipment=EquipmentId("oven"), at=Temperature(degrees=400, scale=Scale.FAHRENHEIT)),),
    )
    rest, *others = with_keeps(60).dishes
    plan = replace(PLAN, dishes=(replace(rest, steps=(hot, *rest.steps[1:])), *others))
    evening = roasting(plan=plan, times={**EARLY, STEAM.id: (21, 60)})
    manners = replace(evening.state.manners, rules=rules_for(Jurisdiction.UK_FSA))
    evening.state = replace(evening.state, manners=manners)
    evening.at_minute(20)
    said = evening.hear("roast the chicken done")[-1]
    assert said.endswith("too long to stand: keep hot, one hundred and forty five degrees or more.")


def test_what_keeps_all_day_is_not_spoken_of_when_it_is_early() -> None:
    assert early_at(20, plan=with_keeps(None))[1] == ""


def test_dinner_is_not_offered_before_what_is_going_can_be_there() -> None:
    evening = roasting(times=EARLY)
    evening.at_minute(17)
    evening.hear("trim the greens")
    evening.hear("greens trimmed")
    evening.at_minute(19)
    evening.hear("greens are on")
    evening.hear("thirty five more minutes on the greens")
    evening.hear("yes")
    evening.at_minute(20)
    said = evening.hear("roast the chicken done")[-1]
    assert "Serve at" not in said


def a_plan(*steps: Step) -> Plan:
    return Plan(name="Supper", dishes=(Dish(id=DishId("chicken"), name="chicken", steps=steps),))


@pytest.mark.parametrize(
    ("steps", "chosen"),
    [
        ((ROAST, STEAM), ROAST),
        ((ROAST, replace(ROAST, id=StepId("x"), takes=minutes(90))), replace(ROAST, takes=minutes(90))),
        ((replace(ROAST, until=None), replace(STEAM, takes=minutes(200))), replace(ROAST, until=None)),
        ((STEAM, TRIM), None),
    ],
    ids=["ends by reading", "the longest such", "else the longest guess", "none"],
)
def test_the_centrepiece_is_what_everything_hangs_on(steps: tuple[Step, ...], chosen: Step | None) -> None:
    found = centrepiece(a_plan(*steps))
    assert (found and replace(found, id=StepId(""))) == (chosen and replace(chosen, id=StepId("")))


def test_a_plan_without_a_guess_has_nothing_that_could_be_early() -> None:
    evening = Evening(a_plan(TRIM), timeline({TRIM.id: (20, 26)}))
    evening.at_minute(20)
    assert evening.hear("greens trimmed") == [
        "Greens trimmed. That was the last step. The pass is at seven o'clock."
    ]
