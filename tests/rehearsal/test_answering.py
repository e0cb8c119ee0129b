"""How the made-up cook answers a question: so that what was wanted comes true, and nothing else."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from kitchend.core.clock import Instant
from kitchend.core.commands import Command, Drop, GiveTime, MovePassBy, ReadingSaid, Said, StepSaid
from kitchend.core.state import Asked, Choice, DinnerState
from kitchend.files.plan_yaml import read_plan
from kitchend.rehearsal import wishes
from kitchend.rehearsal.answering import answer_to
from kitchend.rehearsal.wishes import Wish
from tests.rehearsal.kitchen import BOATHOUSE, named

STATE = DinnerState(plan=read_plan(BOATHOUSE))
ROAST, COVER = named(BOATHOUSE, "roast the turkey"), named(BOATHOUSE, "cover the turkey")


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A wish, the command that kitchend read back, and the answer to give."""

    wish: Wish | None
    command: Command
    answer: str


CASES = {
    "the number that was meant": Case(
        wish=wishes.reads(STATE, ROAST, 74),
        command=ReadingSaid(name="turkey", degrees=74),
        answer="yes",
    ),
    "another number": Case(
        wish=wishes.reads(STATE, ROAST, 19), command=ReadingSaid(name="turkey", degrees=99), answer="no"
    ),
    "the time that was meant": Case(
        wish=wishes.gives(STATE, ROAST, 15), command=GiveTime(name="turkey", seconds=900), answer="yes"
    ),
    "another time": Case(
        wish=wishes.gives(STATE, ROAST, 15), command=GiveTime(name="turkey", seconds=3000), answer="no"
    ),
    "the pass that was meant": Case(
        wish=wishes.moves_pass(15), command=MovePassBy(seconds=900), answer="yes"
    ),
    "the step that was meant": Case(
        wish=wishes.put_on(STATE, COVER),
        command=StepSaid(name="cover the turkey", how=Said.ON),
        answer="yes",
    ),
    "another step": Case(
        wish=wishes.put_on(STATE, COVER),
        command=StepSaid(name="roast the turkey", how=Said.DONE),
        answer="no",
    ),
    "something to be dropped that was never wanted": Case(
        wish=wishes.holds(STATE, ROAST), command=Drop(name="turkey"), answer="no"
    ),
    "a question out of nowhere": Case(wish=None, command=Drop(name="turkey"), answer="no"),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_what_is_read_back_is_answered_truly(case: Case) -> None:
    asked = Asked(text="?", lapses=Instant(25.0), yes=Choice(name="yes", command=case.command))

    assert answer_to(asked, case.wish, STATE) == case.answer


def test_which_of_several_is_answered_with_the_name_of_the_one_meant() -> None:
    choices = tuple(
        Choice(name=step.name, command=StepSaid(name=step.name), step=step.id) for step in (ROAST, COVER)
    )
    asked = Asked(text="Roast the turkey, or cover the turkey?", lapses=Instant(25.0), choices=choices)

    assert answer_to(asked, wishes.finished(STATE, COVER), STATE) == "cover the turkey"
    assert answer_to(asked, wishes.finished(STATE, named(BOATHOUSE, "mix the stuffing")), STATE) == "no"
