"""What can be pressed on the board: every press is a phrase, and means what its label says of its step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from kitchend.core import commands as said
from kitchend.core.board_words import ENGLISH, TABLES, shown_span, words_in
from kitchend.core.commands import Said
from kitchend.core.effects import CallKind, MakeDoorWords
from kitchend.core.events import DoorWordsMade
from kitchend.core.intents import understand
from kitchend.core.languages.en.door_words import DOOR_WORDS
from kitchend.core.plan import Plan
from kitchend.core.presses import Press, answers, step_presses, talk_presses, timer_presses
from kitchend.core.resolve import steps_named
from kitchend.core.state import Call, DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timers import Timer
from kitchend.files.plan_yaml import read_plan
from tests.core.evening import Evening
from tests.core.lighthouse import BUSY, CHOOSING, DOUBTING, EGGS, NO_DINNER, NOW, PLAN, having

MEANT: dict[str, Callable[[str | None], said.Command]] = {
    "on": lambda name: said.StepSaid(name=name, how=Said.ON),
    "done": lambda name: said.StepSaid(name=name, how=Said.DONE),
    "more 1": lambda name: said.GiveTime(name=name, seconds=60),
    "more 5": lambda name: said.GiveTime(name=name, seconds=300),
    "hold": lambda name: said.Hold(name=name),
    "carry on": lambda name: said.CarryOn(name=name),
    "drop": lambda name: said.Drop(name=name),
}
GOING = (StepState.CALLED, StepState.ON, StepState.UP, StepState.HELD)
DEMOS = [read_plan(path) for path in sorted(Path("plans").glob("*.yaml"))]


def keys(presses: tuple[Press, ...]) -> list[str]:
    return [press.key for press in presses]


@pytest.mark.parametrize("plan", [PLAN, *DEMOS], ids=lambda plan: plan.name)
def test_every_press_on_every_step_means_that_step(plan: Plan) -> None:
    wrong = []
    for step in plan.steps:
        for where in GOING:
            state = having(DinnerState(plan=plan), **{step.id: where})
            for press in step_presses(state, step):
                command = understand(press.words, state).command
                name = getattr(command, "name", None)
                is_it = name is not None and step.name in {one.name for one in steps_named(state, name)}
                if not is_it or command != MEANT[press.key](name):
                    wrong.append((press, command))
    assert not wrong


@pytest.mark.parametrize(
    ("where", "hands_only", "offered"),
    [
        (StepState.WAITING, False, []),
        (StepState.CALLED, False, ["on", "done", "drop"]),
        (StepState.ON, False, ["done", "more 1", "more 5", "hold", "drop"]),
        (StepState.ON, True, ["done", "drop"]),
        (StepState.UP, False, ["done", "more 1", "more 5", "drop"]),
        (StepState.HELD, False, ["carry on", "done", "drop"]),
        (StepState.DONE, False, []),
    ],
)
def test_a_step_offers_what_its_state_allows(where: StepState, hands_only: bool, offered: list[str]) -> None:
    step = next(one for one in PLAN.steps if one.is_hands_only is hands_only)
    state = having(DinnerState(plan=PLAN), **{step.id: where})
    assert keys(step_presses(state, step)) == offered


def test_a_timer_is_given_time_held_and_answered_once_it_has_rung() -> None:
    held = Timer(id=EGGS.id, name="Eggs", due=None, left_s=60.0)
    rung = replace(BUSY, open_calls=(Call(kind=CallKind.UP, text="", at=NOW, timer=EGGS.id),))
    assert keys(timer_presses(BUSY, EGGS)) == ["more 1", "more 5", "hold", "drop"]
    assert keys(timer_presses(BUSY, held)) == ["carry on", "drop"]
    assert keys(timer_presses(rung, EGGS)) == ["heard", "more 1", "more 5"]
    for press in (*timer_presses(BUSY, EGGS), *timer_presses(BUSY, held)):
        assert understand(press.words, BUSY).command == MEANT[press.key]("eggs")


def test_a_question_is_answered_by_its_choices_or_by_yes_and_no() -> None:
    assert answers(BUSY) == ()
    assert keys(answers(DOUBTING)) == ["yes", "no"]
    assert keys(answers(CHOOSING)) == [":rest the salmon", ":slice the salmon", "no"]
    for state in (DOUBTING, CHOOSING):
        assert not any(
            isinstance(understand(press.words, state).command, said.Unclear) for press in answers(state)
        )


def test_the_talk_offers_what_makes_sense_now() -> None:
    speaking = replace(BUSY, speaking=3, open_calls=(Call(kind=CallKind.UP, text="", at=None),))
    assert keys(talk_presses(NO_DINNER)) == ["again"]
    assert keys(talk_presses(speaking)) == ["heard", "again", "quiet", "undo", "later"]
    meant = [type(understand(press.words, speaking).command) for press in talk_presses(speaking)]
    assert meant == [said.HeardIt, said.SayAgain, said.Quiet, said.Undo, said.MovePassBy]


def test_every_press_has_its_label_in_every_language() -> None:
    fixed = {*MEANT, "yes", "no", "heard", "again", "quiet", "undo", "later"}
    assert all(f"press.{key}" in table for key in fixed for table in TABLES.values())
    assert all(table.keys() == ENGLISH.keys() for table in TABLES.values())


def test_an_unknown_language_gets_english_words() -> None:
    assert words_in("xx") is ENGLISH
    assert words_in("en") is ENGLISH


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [(-3, "0 s"), (59.4, "59 s"), (60, "1 min"), (3569, "59 min"), (3580, "1 h 0 min"), (5400, "1 h 30 min")],
)
def test_a_stretch_of_time_is_shown_short(seconds: float, shown: str) -> None:
    assert shown_span(seconds, ENGLISH) == shown


def test_a_tablet_is_let_in_by_words_that_are_made_elsewhere_and_said_aloud() -> None:
    evening = Evening()
    evening.hear("let a tablet in")
    assert MakeDoorWords() in evening.effects
    evening.feed(DoorWordsMade(words="acorn lantern otter plum"))
    assert evening.said[-1] == "The words are: acorn lantern otter plum."
    evening.feed(DoorWordsMade())
    assert evening.said[-1].startswith("The board is not open")


def test_door_words_are_many_and_each_is_one_word() -> None:
    assert len(DOOR_WORDS) == len(set(DOOR_WORDS)) == 256
    assert all(word.isascii() and word.islower() and word.isalpha() for word in DOOR_WORDS)


def test_a_question_to_leave_out_a_step_names_the_step() -> None:
    evening = Evening()
    assert evening.hear("drop trim the greens") == ["Leave out: trim the greens?"]
