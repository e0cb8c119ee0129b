"""How thickly calls fall, against the published rule for alarm floods.

More than ten alarms in ten minutes begin a flood, fewer than five end it (EEMUA 191 and ISA-18.2, as given at
https://www.prosys.com/services/alarm-management/eliminate-alarm-floods ).
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core.floods import Rush, busiest, joinable, planned_calls, rushes
from tests.core.evening import CARVE, PLAN, REST, ROAST, STEAM, TRIM, a_step, minutes, timeline


def test_eleven_calls_in_ten_minutes_are_a_flood_and_ten_are_none() -> None:
    eleven = [50.0 * n for n in range(11)]
    assert rushes(eleven[:10]) == ()
    assert busiest(eleven) == 11
    # After 500 s nothing comes in; the seventh call drops out of the window at 900 s, leaving four.
    assert rushes(eleven) == (Rush(start_s=500.0, end_s=900.0, most=11),)


def test_a_flood_goes_on_while_five_calls_stay_within_ten_minutes() -> None:
    dense = [10.0 * n for n in range(12)]
    kept_up = [110.0 + 120.0 * n for n in range(1, 21)]
    # The last falls at 2510 s; at 2630 s four are left of ten minutes.
    assert rushes([*dense, *kept_up]) == (Rush(start_s=100.0, end_s=2630.0, most=16),)


def test_no_calls_are_no_flood() -> None:
    assert rushes([]) == ()
    assert busiest([]) == 0


def test_planned_calls_are_what_is_due_and_what_is_up_and_those_close_together_are_one() -> None:
    close = timeline({TRIM.id: (20, 26), STEAM.id: (26.2, 30.2), ROAST.id: (30.5, 50), CARVE.id: (60, 66)})
    heat = a_step("heat the oven", "oven", minutes(15), added=True)
    planned = replace(close, added=(heat,))
    assert list(planned_calls(PLAN, planned).values()) == [
        (TRIM,),
        (STEAM,),
        (STEAM, ROAST),
        (ROAST,),
        (CARVE,),
    ]


def test_two_steps_of_hands_in_a_row_can_be_joined() -> None:
    slice_it = replace(TRIM, after=())
    toss = a_step("toss the greens", "greens", minutes(2), hands_s=120, after=(TRIM.id,))
    greens = replace(PLAN.dishes[1], steps=(slice_it, toss))
    plan = replace(PLAN, dishes=(greens,))
    assert joinable(plan, (slice_it, toss)) == (slice_it, toss)
    assert joinable(plan, (slice_it,)) is None
    assert joinable(PLAN, (TRIM, STEAM, REST, CARVE)) is None
