"""Answers and refusals in the rarer states; status as facts. A refusal leaves the very same state."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core import moves, obey_steps, obey_time, wording
from kitchend.core.clock import TimeOfDay, WallTime
from kitchend.core.commands import (
    AskNext,
    AskOnTime,
    AskPass,
    AskTimeLeft,
    CarryOn,
    Command,
    Drop,
    GiveTime,
    Hold,
    MovePassBy,
    ReadingSaid,
    Said,
    StepSaid,
)
from kitchend.core.dinner import begin
from kitchend.core.effects import OpenPlan
from kitchend.core.events import MannersSet, PhraseHeard, PlansKnown
from kitchend.core.obey import obey
from kitchend.core.outcome import Outcome
from kitchend.core.plan import Dish, DishId, Plan, StepId
from kitchend.core.progress import expected_end
from kitchend.core.quantities import DurationRange, Scale, Temperature
from kitchend.core.state import DinnerState, Manners
from kitchend.core.status import status_of
from kitchend.core.steps import StepState
from kitchend.core.tongue import speaking
from tests.core.evening import (
    CARVE,
    PLAN,
    REST,
    ROAST,
    SEVEN,
    SIX,
    START,
    STEAM,
    TRIM,
    Evening,
    a_step,
    minutes,
    timeline,
)


def roasting(minute: float = 10) -> Evening:
    """The chicken went on at five past six."""
    evening = Evening()
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.at_minute(minute)
    return evening


def steaming(minute: float = 57) -> Evening:
    """The greens went on at six fifty six."""
    evening = Evening(times=timeline({TRIM.id: (20, 26), STEAM.id: (56, 60)}))
    evening.at_minute(20)
    evening.hear("greens trimmed")
    evening.at_minute(56)
    evening.hear("greens are on")
    evening.at_minute(minute)
    return evening


# --- questions with no dinner, and late ones ---


@pytest.mark.parametrize("command", [AskNext(), AskPass(), AskOnTime(), MovePassBy(seconds=900)])
def test_without_a_dinner_questions_about_it_say_so(command: Command) -> None:
    assert obey(begin(), command, START).reply == "No dinner is on."


def test_a_late_dinner_says_how_late_and_when() -> None:
    evening = Evening(times=timeline(late_s=720))
    assert evening.hear("when do we eat") == ["The pass is at seven twelve, twelve minutes late."]
    assert evening.hear("are we on time") == ["Dinner will be twelve minutes late: seven twelve."]


def test_with_everything_done_nothing_is_next() -> None:
    evening = Evening()
    for text in ("drop the chicken", "yes", "drop the greens", "yes"):
        evening.hear(text)
    assert evening.hear("what's next") == ["Nothing more to do."]


def test_time_left_of_work_in_hand_says_it_is_with_the_cook() -> None:
    evening = Evening()
    evening.at_minute(20)
    evening.hear("trim the greens")
    assert evening.hear("how long on the greens") == ["With you: greens."]


def test_time_left_of_what_is_done_says_it_is_not_on() -> None:
    evening = Evening()
    for text in ("drop the greens", "yes"):
        evening.hear(text)
    assert evening.hear("how long on the greens") == ["Not on: greens."]


def test_of_two_running_steps_of_a_dish_the_one_with_a_clock_is_told() -> None:
    evening = roasting(15)
    evening.hear("baste the chicken")
    assert evening.hear("how long on the chicken")[0].startswith("Chicken: ten to twenty minutes")


def test_of_two_clocks_in_one_dish_it_asks_which() -> None:
    soak = a_step("soak the beans", "beans", minutes(30), hands_s=60, after=())
    boil = a_step("boil the beans", "beans", minutes(40), hands_s=60, after=())
    plan = replace(PLAN, dishes=(Dish(id=DishId("beans"), name="beans", steps=(soak, boil)),))
    evening = Evening(plan=plan, times=timeline({soak.id: (1, 31), boil.id: (3, 43)}))
    evening.at_minute(1)
    evening.hear("soak the beans")
    evening.at_minute(3)
    evening.hear("boil the beans")
    evening.at_minute(4)
    for text in ("how long on the beans", "five more minutes on the beans", "hold the beans"):
        assert evening.hear(text) == ["Soak the beans, or boil the beans?"], text
    assert evening.hear("the second one") == ["Beans held, thirty nine minutes to go."]
    assert evening.where(boil) is StepState.HELD
    assert evening.hear("hold the beans") == ["Beans held, twenty seven minutes to go."]
    assert evening.hear("carry on with the beans") == ["Soak the beans, or boil the beans?"]


def test_hands_work_that_is_on_is_listed_with_what_is_running() -> None:
    evening = roasting(15)
    evening.hear("baste the chicken")
    assert evening.hear("what's on") == ["Chicken, ten to twenty minutes; baste the chicken."]


# --- refusals at the level of one move ---


def ended(step_id: StepId) -> Evening:
    evening = Evening()
    new = moves.finish(evening.state, step_id, evening.now)
    assert new is not None
    evening.state = new
    return evening


def test_a_step_that_has_ended_refuses_every_move() -> None:
    state = ended(ROAST.id).state
    assert moves.call(state, ROAST, START) is None
    assert moves.start(state, ROAST, START) is None
    assert moves.finish(state, ROAST.id, START) is None
    assert moves.drop(state, ROAST.id, START) is None
    assert moves.run_out(state, ROAST.id, START) is None
    assert moves.hold(state, ROAST.id, START) is None
    assert moves.carry_on(state, ROAST.id, START) is None
    assert moves.give(state, ROAST, 60, START) is None
    assert moves.look(state, ROAST, START) is state


@pytest.mark.parametrize(
    "refused",
    [
        lambda state: obey_steps.start_step(state, ROAST, START),
        lambda state: obey_steps.finish_step(state, ROAST, START),
        lambda state: obey_steps.advance(state, ROAST, Said.NAME, START),
        lambda state: obey_steps.say_step(state, StepSaid(name="no such thing"), START),
        lambda state: obey_steps.hold(state, Hold(name="no such thing"), START),
        lambda state: obey_steps.carry_on(state, CarryOn(name="no such thing"), START),
        lambda state: obey_steps.drop(state, Drop(name="no such thing"), START),
        lambda state: obey_time.give(state, GiveTime(name="no such thing", seconds=60), START),
        lambda state: obey_time.reading(state, ReadingSaid(name="no such thing", degrees=60), START),
        lambda state: obey(state, AskTimeLeft(name="no such thing"), START),
        lambda state: obey(state, StepSaid(name=None), START),
    ],
)
def test_a_refused_command_leaves_the_very_same_state(refused: object) -> None:
    state = ended(ROAST.id).state
    outcome = refused(state)  # type: ignore[operator]  # a table of functions
    assert isinstance(outcome, Outcome)
    assert outcome.state is state
    assert outcome.effects == ()


def test_a_timer_that_runs_is_not_carried_on() -> None:
    evening = Evening()
    evening.hear("time the eggs for nine minutes")
    outcome = obey(evening.state, CarryOn(name="eggs"), evening.now)
    assert outcome.state is evening.state


# --- added steps, early starts ---

HEAT = a_step("heat the oven to 200", "oven", minutes(15), hands_s=30, added=True)


def test_an_added_step_started_before_its_call_is_kept() -> None:
    evening = Evening(times=replace(timeline({HEAT.id: (3, 18), ROAST.id: (18, 48)}), added=(HEAT,)))
    new = moves.start(evening.state, HEAT, evening.now)
    assert new is not None
    assert new.added == (HEAT,)


def test_a_step_that_is_called_twice_is_called_once() -> None:
    evening = Evening(times=replace(timeline({HEAT.id: (1, 16), ROAST.id: (16, 46)}), added=(HEAT,)))
    evening.at_minute(1)
    assert moves.call(evening.state, HEAT, evening.now) is None


def test_a_timed_step_called_done_after_its_time_is_done() -> None:
    evening = Evening()
    evening.at_minute(20)
    evening.hear("greens trimmed")
    evening.at_minute(60.5)
    assert evening.where(STEAM) is StepState.CALLED
    assert evening.hear("greens are done")[0].startswith("Greens steamed.")


def test_a_held_roast_whose_reading_is_there_is_up() -> None:
    evening = roasting(20)
    evening.hear("hold the chicken")
    assert evening.where(ROAST) is StepState.HELD
    assert evening.hear("the chicken is at seventy")[0].startswith("Seventy: four")
    assert evening.hear("the chicken is at seventy four") == ["Seventy four, that is it. Up: the chicken."]
    assert evening.where(ROAST) is StepState.UP


def test_a_reading_without_a_name_is_of_the_one_that_ends_by_reading() -> None:
    evening = roasting(20)
    evening.state = replace(evening.state, last_called=(TRIM.id,))
    outcome = obey(evening.state, ReadingSaid(name=None, degrees=60), evening.now)
    assert outcome.reply == "Sixty: fourteen degrees to go. Too soon to say when."


def test_a_first_reading_that_is_there_far_too_early_is_asked_back() -> None:
    evening = roasting(10)
    assert evening.hear("the chicken is at ninety nine") == ["Chicken at ninety nine?"]
    assert evening.where(ROAST) is StepState.ON


@pytest.mark.parametrize(("degrees", "odd"), [(-5, True), (110, True), (20, False)])
def test_a_first_reading_outside_what_food_can_be_is_asked_back(degrees: float, odd: bool) -> None:
    evening = roasting(10)
    outcome = obey(evening.state, ReadingSaid(name="chicken", degrees=degrees), evening.now)
    assert (outcome.state.asked is not None) is odd


def test_a_dinner_named_without_a_time_takes_the_plans_own() -> None:
    evening = Evening()
    for text in ("drop the chicken", "yes", "drop the greens", "yes"):
        evening.hear(text)
    evening.at_minute(60)
    evening.feed(PlansKnown(names=("Pie night",)))
    effects = evening.feed(PhraseHeard(text="cook the pie night", started=evening.now.instant, is_typed=True))
    assert OpenPlan(name="Pie night", serve=None) in effects


@pytest.mark.parametrize(
    ("said", "hours_after_six"),
    [(TimeOfDay(7, 30), 1.5), (TimeOfDay(19, 30), 1.5), (TimeOfDay(5, 0), 11), (TimeOfDay(0, 15), 6.25)],
)
def test_a_said_time_is_the_next_such_moment(said: TimeOfDay, hours_after_six: float) -> None:
    assert obey_time.next_said(SIX, said) == SIX + hours_after_six * 3600


def test_the_scale_of_a_plan_without_temperatures_is_celsius() -> None:
    greens = replace(PLAN, dishes=(PLAN.dishes[1],))
    assert obey_time.plan_scale(replace(Evening().state, plan=greens)) is Scale.CELSIUS
    only_oven = replace(
        PLAN, dishes=(Dish(id=DishId("chicken"), name="chicken", steps=(replace(ROAST, until=None),)),)
    )
    assert obey_time.plan_scale(replace(Evening().state, plan=only_oven)) is Scale.CELSIUS
    assert obey_time.plan_scale(begin()) is Scale.CELSIUS


# --- when things will end ---


def test_expected_ends_follow_what_is_known() -> None:
    evening = roasting(10)
    assert expected_end(evening.state, ROAST, evening.now) == START.instant + 35 * 60
    evening.at_minute(40)
    assert expected_end(evening.state, ROAST, evening.now) == evening.now.instant + 120
    evening.hear("hold the chicken")
    evening = steaming(57)
    assert expected_end(evening.state, STEAM, evening.now) == START.instant + 60 * 60
    evening.hear("hold the greens")
    evening.at_minute(58)
    assert expected_end(evening.state, STEAM, evening.now) == evening.now.instant + 180
    assert expected_end(evening.state, CARVE, evening.now) == evening.now.instant
    evening = Evening()
    evening.at_minute(20)
    evening.hear("trim the greens")
    assert expected_end(evening.state, TRIM, evening.now) == START.instant + 26 * 60


# --- status ---


def test_status_tells_the_whole_picture() -> None:
    evening = roasting(15)
    evening.hear("time the eggs for nine minutes")
    status = status_of(evening.state, evening.now)
    assert (status.plan, status.serve, status.late_by_s, status.done, status.total) == (
        "Tuesday supper",
        SEVEN,
        0,
        0,
        6,
    )
    going = [(step.name, step.state, step.left_s) for step in status.going]
    assert going == [("roast the chicken", StepState.ON, 600), ("baste the chicken", StepState.CALLED, None)]
    assert [step.name for step in status.coming] == [TRIM.name, REST.name, CARVE.name, STEAM.name]
    assert status.coming[0].start == SIX + 20 * 60
    assert [(timer.name, timer.left_s, timer.is_held) for timer in status.timers] == [("eggs", 540, False)]
    assert status.asked is None
    assert status.last_words == "Eggs: nine minutes."


def test_status_without_a_dinner_is_empty() -> None:
    status = status_of(begin(), START)
    assert (status.plan, status.serve, status.ready, status.going, status.coming) == (
        None,
        None,
        None,
        (),
        (),
    )


def test_status_names_the_oven_for_what_kitchend_added() -> None:
    evening = Evening(times=replace(timeline({HEAT.id: (1, 16), ROAST.id: (16, 46)}), added=(HEAT,)))
    evening.at_minute(1)
    assert status_of(evening.state, evening.now).going[0].dish == "oven"


# --- words ---


@pytest.mark.parametrize(
    ("seconds", "said"),
    [
        (7, "seven seconds"),
        (34, "thirty seconds"),
        (60, "one minute"),
        (240, "four minutes"),
        (3600, "an hour"),
        (4800, "an hour and twenty minutes"),
        (7260, "two hours and one minute"),
        (-5, "zero seconds"),
    ],
)
def test_durations_are_said_as_a_cook_would(seconds: float, said: str) -> None:
    assert wording.said_duration(seconds) == said


@pytest.mark.parametrize(
    ("low_s", "high_s", "said"),
    [
        (600, 600, "ten minutes"),
        (600, 900, "ten to fifteen minutes"),
        (18_000, 25_200, "five to seven hours"),
        (45, 90, "forty seconds to two minutes"),
    ],
)
def test_guesses_are_said_with_both_ends(low_s: int, high_s: int, said: str) -> None:
    assert wording.said_range(DurationRange(low_s=low_s, high_s=high_s)) == said


def test_the_rest_of_a_guess_nearly_over_is_said_with_its_far_end() -> None:
    assert wording.said_left(20, 300) == "up to five minutes"


@pytest.mark.parametrize(
    ("low_min", "high_min", "english", "korean"),
    [
        (8, 13, "eight to thirteen minutes", "팔에서 십삼 분"),
        (58, 63, "fifty eight to sixty three minutes", "오십팔에서 육십삼 분"),
        (61, 66, "sixty to sixty five minutes", "육십에서 육십오 분"),
        (
            79,
            109,
            "an hour and twenty minutes to an hour and fifty minutes",
            "한 시간 이십 분에서 한 시간 오십 분",
        ),
        (119, 121, "two hours", "두 시간"),
    ],
)
def test_from_an_hour_on_what_is_left_is_said_to_five_minutes(
    low_min: int, high_min: int, english: str, korean: str
) -> None:
    assert wording.said_left(60 * low_min, 60 * high_min) == english
    with speaking("ko"):
        assert wording.said_left(60 * low_min, 60 * high_min) == korean


@pytest.mark.parametrize(
    ("time", "said"),
    [
        (TimeOfDay(19, 0), "seven o'clock"),
        (TimeOfDay(19, 30), "half past seven"),
        (TimeOfDay(0, 5), "twelve oh five"),
        (TimeOfDay(12, 45), "twelve forty five"),
    ],
)
def test_clock_times_are_said_on_a_twelve_hour_clock(time: TimeOfDay, said: str) -> None:
    assert wording.said_time(time) == said


def test_lists_and_choices() -> None:
    assert wording.said_list([]) == ""
    assert wording.said_list(["rice"]) == "rice"
    assert wording.said_list(["rice", "beans", "corn"]) == "rice, beans and corn"
    assert wording.said_choices(["rest the chicken"]) == "Rest the chicken"
    assert wording.said_choices(["a", "b", "c"]) == "A, b, or c"


def test_what_takes_no_time_is_called_without_one() -> None:
    ring = a_step("ring the bell", "greens", DurationRange(low_s=0, high_s=0))
    assert wording.now_call(ring) == "Ring the bell now."


def test_degrees_below_zero_are_said() -> None:
    assert wording.said_degrees(-3.2) == "minus three"
    assert (
        wording.said_temperature(Temperature(degrees=165, scale=Scale.FAHRENHEIT))
        == "one hundred and sixty five"
    )


def test_when_is_now_soon_or_at_a_time() -> None:
    assert wording.said_when(SIX + 10, SIX) == "now"
    assert wording.said_when(SIX + 300, SIX) == "in five minutes"
    assert wording.said_when(SEVEN, SIX) == "at seven o'clock"
    assert wording.said_wall(WallTime(SIX.epoch_s)) == "six o'clock"


def test_of_two_roasts_a_reading_asks_which() -> None:
    ham = a_step("roast the ham", "ham", minutes(60), hands_s=60, until=Temperature(degrees=63), after=())
    duck = a_step("roast the duck", "ham", minutes(60), hands_s=60, until=Temperature(degrees=74), after=())
    plan = replace(PLAN, dishes=(Dish(id=DishId("ham"), name="birds", steps=(ham, duck)),))
    evening = Evening(plan=plan, times=timeline({ham.id: (1, 61), duck.id: (3, 63)}))
    evening.at_minute(1)
    evening.hear("roast the ham")
    evening.at_minute(3)
    evening.hear("roast the duck")
    outcome = obey(evening.state, ReadingSaid(name="birds", degrees=50), evening.now)
    assert outcome.reply == "Roast the ham, or roast the duck?"


def test_manners_may_change_while_a_dinner_is_on() -> None:
    evening = Evening()
    evening.feed(MannersSet(manners=Manners(is_open=True)))
    assert evening.state.window_is_open(evening.now.instant)


def test_a_step_nobody_knows_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        Evening().state.step(StepId("no such step"))


@pytest.mark.parametrize(("late_s", "is_feasible"), [(0, True), (60, False)])
def test_a_timeline_is_feasible_when_nothing_is_late(late_s: int, is_feasible: bool) -> None:
    assert timeline(late_s=late_s).is_feasible is is_feasible


def test_a_timer_without_a_name_is_the_only_one_there_is() -> None:
    evening = Evening()
    evening.hear("time the eggs for nine minutes")
    assert obey(evening.state, Hold(name=None), evening.now).reply == "Eggs held, nine minutes to go."
    evening.hear("time the rice for ten minutes")
    assert obey(evening.state, Hold(name=None), evening.now).reply == "Not on: that."


def test_steps_that_look_after_themselves_follow_each_other_without_a_word() -> None:
    bake = a_step("bake the tart", "tart", minutes(5), hands_s=60, after=())
    cool = a_step("cool the tart", "tart", minutes(5), after=(bake.id,))
    chill = a_step("chill the tart", "tart", minutes(5), after=(cool.id,))
    plan = replace(PLAN, dishes=(Dish(id=DishId("tart"), name="tart", steps=(bake, cool, chill)),))
    evening = Evening(plan=plan, times=timeline({bake.id: (1, 6), cool.id: (6, 11), chill.id: (11, 16)}))
    evening.at_minute(1)
    evening.hear("tart is in")
    evening.at_minute(6)
    evening.hear("tart baked")
    evening.at_minute(12)
    assert (evening.where(cool), evening.where(chill)) == (StepState.DONE, StepState.ON)


def test_a_called_step_that_a_new_timeline_leaves_out_stays_called() -> None:
    evening = Evening()
    evening.at_minute(5)
    evening.timeline = timeline({TRIM.id: (20, 26)})
    evening.hear("serve five minutes later")
    assert evening.at_minute(9)
    assert evening.where(ROAST) is StepState.CALLED
    assert evening.hear("chicken is in")[0].startswith("Chicken on.")


def test_a_step_whose_name_has_no_verb_is_called_by_it() -> None:
    pudding = a_step("pudding", "pudding", minutes(5), hands_s=60)
    plan = Plan(name="Attic", dishes=(Dish(id=DishId("pudding"), name="pudding", steps=(pudding,)),))
    state = DinnerState(plan=plan)
    assert obey_steps.done_name(state, pudding) == "pudding done"
    assert obey_steps.doing_name(state, pudding) == "pudding"
