"""Whole evenings with the real planner: what is said of a late or an early centrepiece; what may move."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitchend.core.plan import Dish, DishId, Plan, Step, StepId
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timeline import Timeline
from kitchend.planning import PlanningSettings, plan_rest
from tests.planning.dinners import HOUR, MIN, dinner, on, oven, step
from tests.planning.evening import Evening

UNSETTLED = PlanningSettings().answer_s + 5
"""Within the time that is kept for the cook's answer a step may be put off by it; and the rounding."""


def supper() -> Plan:
    """A pork loin with beans and barley: three dishes, ten steps, one cook."""
    steps = (
        step("season the pork", hands=5 * MIN, keeps=HOUR),
        step(
            "roast the pork",
            (60 * MIN, 75 * MIN),
            hands=MIN,
            uses=[oven(180)],
            after=["season the pork"],
            until=63,
            keeps=5 * MIN,
        ),
        step("rest the pork", 10 * MIN, after=["roast the pork"], keeps=40 * MIN),
        step("carve the pork", hands=6 * MIN, after=["rest the pork"], keeps=5 * MIN),
        step("trim the beans", hands=6 * MIN, keeps=4 * HOUR),
        step(
            "steam the beans",
            6 * MIN,
            hands=MIN,
            uses=[on("steamer")],
            after=["trim the beans"],
            keeps=4 * MIN,
        ),
        step("dress the beans", hands=2 * MIN, after=["steam the beans"], keeps=5 * MIN),
        step("simmer the barley", 30 * MIN, hands=2 * MIN, uses=[on("hob")], keeps=15 * MIN),
        step("season the barley", hands=2 * MIN, after=["simmer the barley"], keeps=10 * MIN),
    )
    plan = dinner(*steps)
    return replace(plan, name="Pork supper", dishes=tuple(_dishes(steps)))


def _dishes(steps: tuple[Step, ...]) -> list[Dish]:
    names = dict.fromkeys(one.name.split()[-1] for one in steps)
    return [
        Dish(
            id=DishId(name),
            name=name,
            steps=tuple(replace(one, dish=DishId(name)) for one in steps if one.name.endswith(name)),
        )
        for name in names
    ]


def lived(late_s: int, *answers: str) -> Evening:
    """The supper with the pork there so long after its low end; the question about it is answered."""
    evening = Evening(supper(), serve_s=150 * MIN)
    evening.readings_late_s = late_s
    left = list(answers)

    def look(evening: Evening) -> None:
        if evening.state.asked is not None and evening.state.asked.stays and left:
            evening.hear(left.pop(0))

    return evening.live(look)


def sentences(evening: Evening) -> Counter[str]:
    return Counter(part for text in evening.said for part in re.split(r"(?<=[.?!]) ", text))


CHECK = {"Check the pork.", "What does it read?"}
"""Asked anew each time, because each time another answer is wanted."""
LENGTHS = re.compile(r"^[A-Z][a-z ]+ minutes\.$")
"""How long something takes: said with each call."""


def told_of_the_pass(evening: Evening) -> list[str]:
    return [line for line in sentences(evening) if re.search(r"late|early|instead|on time|pass|table", line)]


def repeated(evening: Evening) -> list[str]:
    counted = sentences(evening).items()
    return [line for line, n in counted if n > 1 and line not in CHECK and not LENGTHS.match(line)]


def serves_at(evening: Evening) -> str:
    assert evening.state.served_at is not None
    return str(evening.state.served_at.time_of_day)


@pytest.mark.slow
def test_a_late_centrepiece_is_spoken_of_when_it_matters_and_never_twice_alike() -> None:
    evening = lived(45 * MIN)
    late = [line for line in told_of_the_pass(evening) if " is late" in line]
    assert any(
        re.fullmatch(r"(Beans|Barley|Beans and barley|Barley and beans) moved back\.", line)
        for line in sentences(evening)
    )
    assert late
    for line in late:
        assert re.fullmatch(
            r"The pork is late: dinner at (two \w+( \w+)?|three o'clock), \w+( \w+)? minutes late\.", line
        )
    assert len(late) <= 3
    assert repeated(evening) == []
    assert sentences(evening)["Check the pork."] <= 10
    assert sum(sentences(evening).values()) - 2 * sentences(evening)["Check the pork."] <= 55
    assert evening.said[-1].endswith("minutes late.")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("answer", "reply"), [("serve earlier", "The pass is at"), ("rest it", "All right.")]
)
def test_an_early_centrepiece_is_asked_about_once_and_the_answer_holds(answer: str, reply: str) -> None:
    evening = lived(-30 * MIN, answer)
    early = next(i for i, text in enumerate(evening.said) if "early" in text)
    asked = re.search(
        r"The pork is [\w ]+ early and can wait\. Serve at ([\w ]+) instead\?$", evening.said[early]
    )
    assert asked is not None
    assert evening.said[early + 1].startswith(reply)
    assert not any("early" in text or " late" in text for text in evening.said[early + 1 :])
    assert repeated(evening) == []
    assert sum(sentences(evening).values()) <= 55
    served = asked[1] if answer == "serve earlier" else "half past two"
    assert evening.said[-1].endswith(f"The pass, {served}. Everything to the table.")


# --- what may move ---

SAID = (
    "five more minutes on the pork",
    "two more minutes on the beans",
    "hold the barley",
    "carry on with the barley",
    "drop the barley",
    "yes",
    "undo that",
    "trim the beans",
    "beans trimmed",
    "the pork is at fifty",
    "serve ten minutes later",
    "heard",
)
acts = st.lists(st.tuples(st.integers(1, 25), st.sampled_from(SAID)), min_size=1, max_size=6)


def starts(state: DinnerState, timeline: Timeline) -> dict[StepId, float]:
    """The planned starts of what is not called yet."""
    waiting = [p for p in timeline.planned if state.state_of(p.step) is StepState.WAITING]
    return {planned.step: planned.start.epoch_s for planned in waiting}


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(script=acts)
def test_planned_again_with_no_news_nothing_moves_and_what_was_called_stays_called(
    script: list[tuple[int, str]],
) -> None:
    evening = Evening(supper(), serve_s=150 * MIN)
    called: set[StepId] = set()
    for pause, text in script:
        for _ in range(pause):
            evening.minute()
            waiting = {
                one.id for one in evening.state.steps if evening.state.state_of(one.id) is StepState.WAITING
            }
            assert not called & waiting
            called = {one.id for one in evening.state.steps} - waiting
        evening.hear(text)
        called = set() if text == "undo that" else called
        if evening.is_served or evening.state.timeline is None:
            return
        before = starts(evening.state, evening.state.timeline)
        again = plan_rest(evening.state, now=evening.now)
        after = starts(evening.state, again)
        assert after.keys() == before.keys()
        if any(start < evening.now.wall.epoch_s + UNSETTLED for start in before.values()):
            continue  # what should have begun and has not is news, and moves what follows
        assert after == before
