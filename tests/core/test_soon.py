"""Warnings: when the cook is told to get ready, in which words, and what an answer does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.effects import CallKind, Speak
from kitchend.core.plan import EquipmentId, Step, StepId, Use
from kitchend.core.steps import StepState
from tests.core.evening import PLAN, STEAM, TRIM, Evening, a_step, minutes, timeline
from tests.core.test_calls import BASTE, LEEKS, RICE, TURN, in_a_rush, kitchen

CORN = a_step("grill the corn", "corn", minutes(12), hands_s=120, ready_s=120)
WARNING = "Get ready: grill the corn in two minutes."


def corn(*more: Step, at: dict[StepId, tuple[float, float]] | None = None, **facts: int) -> Evening:
    return kitchen({CORN.id: (10, 22), **(at or {})}, replace(CORN, **facts), *more)  # type: ignore[arg-type]  # keyword facts of a Step


def test_a_step_with_ready_is_told_of_that_long_before_and_then_called() -> None:
    evening = corn()
    assert evening.at_minute(7.9) == []
    assert evening.at_minute(8) == [WARNING]
    kinds = [effect.kind for effect in evening.effects if isinstance(effect, Speak)]
    assert kinds[-1] is CallKind.SOON
    assert evening.at_minute(9.9) == []
    assert evening.at_minute(10)[0] == "Grill the corn now. Twelve minutes."


def test_the_plan_says_how_long_before() -> None:
    assert corn(ready_s=300).at_minute(5) == ["Get ready: grill the corn in five minutes."]


def test_no_warning_where_the_plan_wants_none_though_the_cook_is_away() -> None:
    evening = kitchen({CORN.id: (40, 52)}, replace(CORN, ready_s=0))
    assert evening.at_minute(39.9) == []


def test_a_warning_is_not_repeated_and_what_was_missed_leaves_it_out() -> None:
    evening = corn()
    evening.at_minute(8)
    assert evening.at_minute(9.5) == []
    assert evening.hear("what did i miss") == ["You missed nothing."]
    assert evening.state.open_calls == ()


@pytest.mark.parametrize("words", ["corn is on", "grilling the corn", "it's on"])
def test_said_to_be_on_after_a_warning_it_is_on(words: str) -> None:
    evening = corn()
    evening.at_minute(8)
    assert evening.hear(words) == ["Corn on. Ten minutes."]
    assert evening.at_minute(12) == []


@pytest.mark.parametrize("words", ["corn", "grill the corn", "done", "it's ready"])
def test_a_name_or_a_bare_done_after_a_warning_moves_nothing(words: str) -> None:
    """The warning asked for nothing: "done" is said of being ready."""
    evening = corn()
    evening.at_minute(8)
    assert evening.hear(words) == ["Grill the corn: in two minutes."]
    assert evening.where(CORN) is StepState.WAITING
    assert evening.at_minute(10)[0] == "Grill the corn now. Twelve minutes."


def test_heard_after_a_warning_is_taken_and_the_call_still_comes() -> None:
    evening = corn()
    evening.at_minute(8)
    assert evening.hear("heard") == ["Good."]
    assert evening.at_minute(10)[0] == "Grill the corn now. Twelve minutes."


def test_what_was_asked_before_a_warning_is_still_what_it_means() -> None:
    evening = corn(TURN, at={TURN.id: (7, 9)})
    evening.at_minute(7)
    evening.at_minute(8.2)
    assert evening.said[-1].startswith(WARNING)
    assert evening.hear("done") == ["Parsnips turned."]
    assert evening.where(CORN) is StepState.WAITING


def test_a_step_that_is_on_already_is_not_warned_of() -> None:
    evening = corn()
    evening.at_minute(7)
    evening.hear("corn is on")
    assert evening.at_minute(15) == []


def test_a_warning_that_waited_until_its_step_was_on_goes_unsaid() -> None:
    evening = corn()
    evening.hear("quiet for nine minutes")
    evening.at_minute(8.5)
    evening.hear("corn is on")
    assert evening.at_minute(9.5) == []


def test_a_warning_goes_along_with_a_call_and_stays_a_sentence_of_its_own() -> None:
    evening = corn(TURN, at={TURN.id: (7.8, 9.8)})
    assert evening.at_minute(7.8) == [f"Turn the parsnips now. Two minutes. {WARNING}"]


def test_a_warning_waits_moments_for_a_call() -> None:
    evening = corn(TURN, at={TURN.id: (8.2, 10.2)})
    assert evening.at_minute(8.1) == []
    assert evening.at_minute(8.2) == [f"Turn the parsnips now. Two minutes. {WARNING}"]


def test_two_warnings_are_one_sentence() -> None:
    slaw = a_step("dress the slaw", "slaw", minutes(3), hands_s=180, ready_s=120)
    evening = corn(slaw, at={slaw.id: (10, 13)})
    assert evening.at_minute(8) == [
        "Get ready: dress the slaw in two minutes and grill the corn in two minutes."
    ]


def test_in_a_rush_a_warning_is_not_said_by_itself() -> None:
    evening = in_a_rush(CORN, at={CORN.id: (12.5, 24.5)})
    assert evening.at_minute(12.4) == []


def test_after_a_long_quiet_the_cook_is_warned_unasked() -> None:
    evening = kitchen({BASTE.id: (25, 28)}, BASTE)
    assert evening.at_minute(24.9) == ["Get ready: baste the duck in two minutes."]


def test_sooner_where_things_have_to_be_fetched() -> None:
    chop = a_step("chop the slaw", "slaw", minutes(12), hands_s=720)
    toss = a_step("toss the duck", "duck", minutes(1), hands_s=60, raw="duck")
    assert kitchen({chop.id: (13, 25)}, chop).at_minute(12) == ["Get ready: chop the slaw in two minutes."]
    assert kitchen({toss.id: (13, 14)}, toss).at_minute(12) == ["Get ready: toss the duck in two minutes."]
    assert kitchen({BASTE.id: (13, 16)}, BASTE).at_minute(12) == []


def test_hands_that_are_busy_are_not_away() -> None:
    shred = a_step("shred the leeks", "leeks", minutes(30), hands_s=1800)
    evening = kitchen({shred.id: (0.1, 30), BASTE.id: (31, 34)}, shred, BASTE, cooks=1)
    evening.at_minute(0.1)
    evening.hear("shredding the leeks")
    assert evening.at_minute(30) == []


def test_what_has_to_leave_its_place_first_is_named() -> None:
    buns = replace(STEAM, id=StepId("buns/steam"), name="steam the buns", after=(), keeps_s=600)
    leeks = replace(LEEKS, uses=(Use(equipment=EquipmentId("steamer")),))
    plan = replace(
        PLAN,
        equipment=tuple(replace(one, places=1) for one in PLAN.equipment),
        dishes=(replace(PLAN.dishes[1], steps=(buns, leeks)),),
    )
    evening = Evening(plan, timeline({buns.id: (5, 9), leeks.id: (9.2, 15)}))
    evening.at_minute(5)
    evening.hear("buns are on")
    assert evening.at_minute(7.5) == ["Get ready: steam the leeks in two minutes, once the buns are out."]


def test_what_waits_for_a_guess_is_not_warned_of() -> None:
    slice_it = replace(TRIM, after=(RICE.id,), ready_s=120, keeps_s=7200)
    guessed = replace(RICE, takes=minutes(10, 14))
    evening = kitchen({RICE.id: (0.1, 10), TRIM.id: (12, 18)}, guessed, slice_it)
    evening.at_minute(0.1)
    evening.hear("rice is on")
    assert not any("Get ready" in text for text in evening.at_minute(11.9))


def test_what_waits_for_hands_at_work_is_warned_of() -> None:
    dress = a_step("dress the duck", "duck", minutes(3), hands_s=180, after=(BASTE.id,), ready_s=120)
    evening = kitchen({BASTE.id: (5, 8), dress.id: (8.5, 12)}, BASTE, dress)
    evening.at_minute(5)
    evening.hear("basting the duck")
    assert evening.at_minute(6.6) == ["Get ready: dress the duck in two minutes."]


def test_what_comes_too_late_for_a_warning_has_none() -> None:
    evening = corn()
    evening.now = evening.now.after(9.5 * 60)
    assert evening.at_minute(9.6) == []
