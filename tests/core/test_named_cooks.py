"""Calls to one of several cooks begin with the name; where there is nobody to tell apart they do not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from kitchend.core.plan import Step
from kitchend.core.progress import cook_of
from tests.core.evening import BASTE, PLAN, REST, ROAST, STEAM, TRIM, Evening, timeline

NAMED = replace(PLAN, cooks=2, cook_names=("Mira", "Jonas"))


def with_hands(*second: object) -> Evening:
    """An evening of two named cooks; the steps of `second` are the second's."""
    times = timeline()
    planned = tuple(replace(one, cook=1) if one.step in second else one for one in times.planned)
    return Evening(plan=NAMED, times=replace(times, planned=planned))


def said(evening: Evening, words: str) -> Sequence[str]:
    return [line for line in evening.said if words in line]


def test_each_cook_is_called_by_name() -> None:
    evening = with_hands(TRIM.id)
    evening.at_minute(5.1)
    evening.hear("chicken is in")
    evening.at_minute(20.1)
    assert said(evening, "Mira: roast the chicken now, oven at two hundred")
    assert said(evening, "rim the greens") == ["Jonas: trim the greens now. Six minutes."]


def test_an_unanswered_call_comes_back_with_the_name() -> None:
    evening = with_hands(TRIM.id)
    evening.at_minute(5.1)
    evening.at_minute(6)
    assert "Mira: roast the chicken." in evening.said


def test_what_is_up_is_told_to_whose_it_is() -> None:
    evening = with_hands(TRIM.id, STEAM.id)
    for minute, words in ((20.1, "trim the greens"), (26, "greens trimmed"), (56.1, "steam the greens")):
        evening.at_minute(minute)
        evening.hear(words)
    evening.at_minute(60.2)
    assert said(evening, "Up, Jonas: the greens.")


@pytest.mark.parametrize(
    ("evening", "step"),
    [
        (Evening(), ROAST),
        (Evening(plan=replace(PLAN, cooks=2)), ROAST),
        (Evening(plan=replace(PLAN, cook_names=("Mira",))), ROAST),
        (with_hands(), REST),
        (Evening(plan=NAMED, times=timeline({TRIM.id: (20, 26)})), BASTE),
        (
            Evening(
                plan=NAMED,
                times=replace(timeline(), planned=tuple(replace(p, cook=2) for p in timeline().planned)),
            ),
            ROAST,
        ),
    ],
    ids=["one cook", "no names", "one name", "no hands", "not in the timeline", "a third pair of hands"],
)
def test_nobody_is_named_where_there_is_nobody_to_tell_apart(evening: Evening, step: Step) -> None:
    assert step in evening.state.steps
    assert cook_of(evening.state, step) == ""


def test_without_a_dinner_nobody_is_named() -> None:
    evening = Evening()
    assert cook_of(replace(evening.state, plan=None), ROAST) == ""


@pytest.mark.parametrize(("second", "minute"), [((), 23.6), ((BASTE.id,), 22.1)], ids=["hers", "his"])
def test_a_cook_at_work_is_given_a_moment_while_the_other_is_called_at_once(
    second: tuple[object, ...], minute: float
) -> None:
    times = timeline({ROAST.id: (1, 30), TRIM.id: (20, 26), BASTE.id: (22, 24)})
    planned = tuple(replace(one, cook=1) if one.step in second else one for one in times.planned)
    evening = Evening(plan=NAMED, times=replace(times, planned=planned))
    evening.timeline = evening.state.timeline or times
    for moment, words in ((1.1, "chicken is in"), (20.1, "trim the greens")):
        evening.at_minute(moment)
        evening.hear(words)
    evening.at_minute(minute - 0.2)
    assert not said(evening, "baste the chicken now")
    evening.at_minute(minute)
    assert len(said(evening, "baste the chicken now")) == 1
