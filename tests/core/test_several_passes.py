"""A dinner of two plans with a pass each: what is said of them, when each is called, how late each is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.clock import WallTime
from kitchend.core.effects import EndDinner
from kitchend.core.events import DinnerStarted
from kitchend.core.pass_talk import too_late
from kitchend.core.plan import Dish, DishId, StepId
from kitchend.core.status import status_of
from kitchend.core.timeline import Planned
from kitchend.core.wording import said_day
from tests.core.evening import (
    CARVE,
    PLAN,
    SEVEN,
    SIX,
    START,
    STEAM,
    TIMES_MIN,
    TRIM,
    Evening,
    a_step,
    minutes,
    timeline,
)

CHICKEN, GREENS = PLAN.dishes
TWO = replace(PLAN, dishes=(CHICKEN, replace(GREENS, before_pass_s=1800)))
"""The greens half an hour before the chicken, which is at seven."""

TIMES: dict[StepId, tuple[float, float]] = {**TIMES_MIN, TRIM.id: (6, 12), STEAM.id: (22, 26)}
LATE_GREENS: dict[StepId, tuple[float, float]] = {**TIMES, STEAM.id: (36, 40)}


def evening(times: dict[StepId, tuple[float, float]] | None = None) -> Evening:
    return Evening(plan=TWO, times=timeline(TIMES if times is None else times))


def asked(dinner: Evening, words: str) -> str:
    dinner.hear(words)
    return dinner.said[-1]


def test_the_greeting_names_both_passes() -> None:
    assert evening().said[0].startswith("Tuesday supper. The passes are at half past six and seven o'clock.")


def test_when_do_we_eat_names_the_passes_to_come() -> None:
    assert asked(evening(), "when do we eat") == "The passes are at half past six and seven o'clock."


def test_are_we_on_time_answers_for_every_pass() -> None:
    assert asked(evening(), "are we on time") == "On time: half past six and seven o'clock."


def test_a_late_pass_is_told_by_itself() -> None:
    late = evening(LATE_GREENS)
    assert late.said[0].startswith("Tuesday supper cannot be ready by half past six; I make it six forty.")
    told = "The pass of half past six will be ten minutes late: six forty."
    assert asked(late, "are we on time") == told
    assert asked(late, "when do we eat") == f"The passes are at half past six and seven o'clock. {told}"


def test_moving_the_pass_moves_all_and_says_so() -> None:
    dinner = evening()
    assert (
        asked(dinner, "serve fifteen minutes later") == "The passes are at six forty five and seven fifteen."
    )
    assert dinner.state.serve == SEVEN + 900


def test_a_replan_that_makes_a_pass_late_says_which() -> None:
    dinner = evening()
    dinner.timeline = timeline(LATE_GREENS)
    dinner.at_minute(5.1)
    dinner.hear("chicken is in")
    assert "The pass of half past six will be ten minutes late: six forty." in " ".join(dinner.said)
    dinner.timeline = timeline(TIMES)
    dinner.hear("five more minutes on the chicken")
    assert "Back on time: half past six and seven o'clock." in " ".join(dinner.said)


def test_the_earlier_pass_is_called_when_its_time_has_come() -> None:
    dinner = evening()
    finish_greens(dinner, 28)
    assert not any("to the table" in line for line in dinner.said)
    assert dinner.wake is not None
    assert dinner.wake <= START.after(1800).instant
    dinner.at_minute(30)
    assert said_last(dinner, "to the table") == "The pass, half past six. Greens to the table."
    assert EndDinner() not in dinner.effects
    assert asked(dinner, "when do we eat") == "The pass is at seven o'clock."


def test_an_earlier_pass_that_is_late_is_called_when_its_dishes_are_there() -> None:
    dinner = evening()
    finish_greens(dinner, 40)
    assert said_last(dinner, "to the table") == "Greens steamed. Greens to the table. Ten minutes late."


def test_after_a_late_pass_the_next_is_not_back_on_time_for_it_never_was_late() -> None:
    dinner = evening(LATE_GREENS)
    for minute, words in ((6.1, "trim the greens"), (12, "greens trimmed"), (36.1, "steam the greens")):
        dinner.at_minute(minute)
        dinner.hear(words)
    dinner.at_minute(40.2)
    dinner.timeline = timeline({step: times for step, times in TIMES.items() if step.startswith("chicken")})
    assert asked(dinner, "greens steamed") == "Greens steamed. Greens to the table. Ten minutes late."
    dinner.hear("chicken is in")
    assert not any("Back on time" in line for line in dinner.said)


def test_once_all_is_at_the_table_nothing_more_is_said_of_time() -> None:
    dinner = evening({**TIMES, CARVE.id: (64, 70)})
    finish_greens(dinner, 28)
    dinner.at_minute(69)
    dinner.timeline = timeline({})
    for words in ("drop the chicken", "yes"):
        dinner.hear(words)
    assert "Everything to the table. Nine minutes late." in dinner.said[-1]
    assert not any("Back on time" in line for line in dinner.said)


def test_each_pass_is_called_once() -> None:
    dinner = evening()
    finish_greens(dinner, 28)
    dinner.at_minute(50)
    assert sum("Greens to the table" in line for line in dinner.said) == 1


def test_a_pass_whose_dishes_were_dropped_is_not_called() -> None:
    dinner = evening()
    dinner.at_minute(2)
    for words in ("drop the greens", "yes"):
        dinner.hear(words)
    dinner.at_minute(31)
    assert not any("to the table" in line for line in dinner.said)
    assert asked(dinner, "when do we eat") == "The pass is at seven o'clock."


def test_many_dishes_are_everything() -> None:
    more = tuple(
        Dish(
            id=DishId(name),
            name=name,
            before_pass_s=1800,
            steps=(a_step(f"stir the {name}", name, minutes(1)),),
        )
        for name in ("barley", "fennel", "leeks", "squash")
    )
    plan = replace(TWO, dishes=(*TWO.dishes, *more))
    times = {**TIMES, **{dish.steps[0].id: (90, 91) for dish in more}}
    dinner = Evening(plan=plan, times=timeline(times))
    for dish in more:
        dinner.hear(f"drop the {dish.name}")
        dinner.hear("yes")
    finish_greens(dinner, 28)
    dinner.at_minute(30)
    assert said_last(dinner, "to the table") == "The pass, half past six. Everything for it to the table."


def test_the_last_pass_ends_the_dinner_as_ever() -> None:
    dinner = evening()
    finish_greens(dinner, 28)
    for words in ("drop the chicken", "yes"):
        dinner.hear(words)
    dinner.at_minute(60)
    assert said_last(dinner, "to the table") == "The pass, seven o'clock. Everything to the table."
    assert EndDinner() in dinner.effects


def test_the_status_has_the_passes_to_come_and_how_late_the_latest_is() -> None:
    late = evening(LATE_GREENS)
    status = status_of(late.state, late.now)
    assert (status.passes, status.late_by_s) == ((SEVEN - 1800, SEVEN), 600)


@pytest.mark.parametrize(
    ("at", "said"),
    [
        (SEVEN, "seven o'clock"),
        (SIX + 7 * 3600, "one o'clock"),
        (SEVEN + 24 * 3600, "seven o'clock tomorrow"),
        (SEVEN + 48 * 3600, "seven o'clock on Saturday"),
    ],
    ids=["today", "past midnight", "tomorrow", "later"],
)
def test_a_time_says_its_day_where_the_clock_alone_would_mislead(at: WallTime, said: str) -> None:
    assert said_day(at, SIX) == said


def test_a_pass_tomorrow_says_so_in_the_greeting() -> None:
    dinner = Evening()
    first = Planned(step=TRIM.id, start=SEVEN + 23 * 3600, end=SEVEN + 23 * 3600 + 360)
    times = replace(timeline(), serve=SEVEN + 24 * 3600, planned=(first,))
    dinner.feed(DinnerStarted(plan=PLAN, serve=times.serve, timeline=times))
    told = "The pass is at seven o'clock tomorrow. First: trim the greens, at six o'clock tomorrow."
    assert told in " ".join(dinner.said)


def finish_greens(dinner: Evening, minute: float) -> None:
    """Both steps of the greens done by that minute past six."""
    dinner.at_minute(6.1)
    dinner.hear("trim the greens")
    dinner.at_minute(12)
    dinner.hear("greens trimmed")
    dinner.at_minute(22.1)
    dinner.hear("steam the greens")
    dinner.at_minute(minute)
    dinner.hear("steam the greens done")


def said_last(dinner: Evening, words: str) -> str:
    return [line for line in dinner.said if words in line][-1]


def test_without_a_timeline_nothing_is_late() -> None:
    assert too_late(replace(evening(LATE_GREENS).state, timeline=None), 60) == ()
