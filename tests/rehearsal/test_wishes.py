"""The made-up cook's words mean what the cook wants: every way of saying it, read by the parser."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from kitchend.core.clock import Instant
from kitchend.core.commands import (
    AskNext,
    AskOn,
    AskOnTime,
    AskPass,
    AskTimeLeft,
    GiveTime,
    HeardIt,
    MovePassBy,
    No,
    ReadingSaid,
    Said,
    SayAgain,
    StepSaid,
    Unclear,
    Undo,
    Yes,
)
from kitchend.core.intents import understand
from kitchend.core.names import meaning
from kitchend.core.plan import Step
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepRecord, StepState
from kitchend.files.plan_yaml import read_plan
from kitchend.rehearsal import wishes
from kitchend.rehearsal.musing import QUESTIONS
from kitchend.rehearsal.wishes import Wish
from tests.rehearsal.kitchen import PLANS

STEPS = [(path, step) for path in PLANS for step in read_plan(path).steps]
every_step = pytest.mark.parametrize(("path", "step"), STEPS, ids=[f"{p.stem}/{s.id}" for p, s in STEPS])


def dinner(path: Path, step: Step, state: StepState) -> DinnerState:
    record = StepRecord(state=state, called_at=Instant(0.0), on_at=Instant(0.0))
    return DinnerState(plan=read_plan(path), records={step.id: record})


def commands_of(wish: Wish, state: DinnerState) -> list[object]:
    return [understand(way, state).command for way in wish.ways]


@every_step
def test_every_way_to_put_a_step_on_names_it(path: Path, step: Step) -> None:
    state = dinner(path, step, StepState.CALLED)

    for command in commands_of(wishes.put_on(state, step), state):
        assert isinstance(command, StepSaid)
        assert command.how in (Said.ON, Said.NAME)
        assert command.name is not None
        assert step.id in meaning(command.name, state).steps


@every_step
def test_every_way_to_finish_a_step_says_that_it_is_done(path: Path, step: Step) -> None:
    state = dinner(path, step, StepState.UP)

    for command in commands_of(wishes.finished(state, step), state):
        assert isinstance(command, StepSaid)
        assert command.how is Said.DONE
        assert command.name is not None
        assert step.id in meaning(command.name, state).steps


TIMED = [(path, step) for path, step in STEPS if not step.is_hands_only]


@pytest.mark.parametrize(("path", "step"), TIMED, ids=[f"{p.stem}/{s.id}" for p, s in TIMED])
@pytest.mark.parametrize("minutes", [1, 2, 15])
def test_every_way_to_give_time_gives_those_minutes(path: Path, step: Step, minutes: int) -> None:
    state = dinner(path, step, StepState.UP)

    commands = commands_of(wishes.gives(state, step, minutes), state)

    assert [command.seconds for command in commands if isinstance(command, GiveTime)] == [60 * minutes] * 3


PROBED = [(path, step) for path, step in STEPS if step.until is not None]


@pytest.mark.parametrize(("path", "step"), PROBED, ids=[f"{p.stem}/{s.id}" for p, s in PROBED])
@pytest.mark.parametrize("degrees", [42, 65, 74, 90])
def test_every_way_to_report_a_reading_gives_those_degrees(path: Path, step: Step, degrees: int) -> None:
    state = dinner(path, step, StepState.ON)

    commands = commands_of(wishes.reads(state, step, degrees), state)

    assert [command.degrees for command in commands if isinstance(command, ReadingSaid)] == [degrees] * 3


OTHERS: dict[str, tuple[Wish, object]] = {
    "heard": (wishes.acknowledged(None), HeardIt()),
    "undo": (wishes.takes_back(frozenset()), Undo()),
    "yes": (wishes.answers("yes", None), Yes()),
    "no": (wishes.answers("no", None), No()),
    "later": (wishes.moves_pass(10), MovePassBy(seconds=600)),
    "earlier": (wishes.moves_pass(-5), MovePassBy(seconds=-300)),
    "next": (wishes.asks(wishes.ways(QUESTIONS[0])), AskNext()),
    "what is on": (wishes.asks(wishes.ways(QUESTIONS[1])), AskOn()),
    "pass": (wishes.asks(wishes.ways(QUESTIONS[2])), AskPass()),
    "on time": (wishes.asks(wishes.ways(QUESTIONS[3])), AskOnTime()),
    "again": (wishes.asks(wishes.ways(QUESTIONS[4])), SayAgain()),
}


@pytest.mark.parametrize(("wish", "command"), OTHERS.values(), ids=OTHERS)
def test_every_way_to_say_the_rest_means_the_same(wish: Wish, command: object) -> None:
    state = DinnerState(plan=read_plan(PLANS[0]))

    assert commands_of(wish, state) == [command] * len(wish.ways)


@every_step
def test_every_way_to_ask_for_the_time_left_asks_for_it(path: Path, step: Step) -> None:
    state = dinner(path, step, StepState.ON)

    assert all(isinstance(c, AskTimeLeft) for c in commands_of(wishes.asks_time_left(state, step), state))


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
@pytest.mark.parametrize("words", wishes.ways("chatter"))
def test_chatter_is_no_command(path: Path, words: str) -> None:
    state = DinnerState(plan=read_plan(path))

    assert isinstance(understand(words, state).command, Unclear)


def test_a_dish_with_two_steps_under_way_is_not_called_by_its_name_alone() -> None:
    path, brush = next((path, step) for path, step in STEPS if step.name == "brush the turkey")
    state = dinner(path, brush, StepState.CALLED)
    roast = next(step for step in state.steps if step.name == "roast the turkey")
    crowded = replace(state, records={**state.records, roast.id: StepRecord(state=StepState.ON)})

    assert "turkey is on" in wishes.put_on(state, brush).ways
    assert wishes.put_on(crowded, brush).ways == ("brush the turkey",)
