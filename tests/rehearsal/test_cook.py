"""What the made-up cook learns from not being understood."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.commands import ReadingSaid
from kitchend.core.state import Asked, Choice, DinnerState
from kitchend.files.plan_yaml import read_plan
from kitchend.rehearsal import wishes
from kitchend.rehearsal.agenda import Scene
from kitchend.rehearsal.character import STEADY
from kitchend.rehearsal.cook import Cook
from kitchend.rehearsal.world import World
from tests.rehearsal.kitchen import BOATHOUSE, named

TRIES = 200


def test_other_words_that_were_not_taken_are_not_chosen_again() -> None:
    first, other, *_ = read_plan(BOATHOUSE).steps
    cook = Cook(replace(STEADY, rewords=1.0), World({}), Random(1))
    wish = wishes.acknowledged(first)
    said = cook.words_for(wish, 0)
    assert said in wish.ways[1:]
    cook.words_for(wish, 1)
    again = {cook.words_for(wishes.acknowledged(other), 0) for _ in range(TRIES)}
    assert again == set(wish.ways) - {said}


def test_a_yes_that_was_not_taken_is_said_again_and_never_turns_into_a_no() -> None:
    """What was read back stays what was meant, be it a step or a number, however often the answer is lost."""
    roast = named(BOATHOUSE, "roast the turkey")
    asked = Asked(
        text="Turkey at seventy four?",
        lapses=Instant(60.0),
        yes=Choice(name="yes", command=ReadingSaid(name="turkey", degrees=74)),
    )
    scene = Scene(
        state=DinnerState(plan=read_plan(BOATHOUSE), asked=asked), now=Now(Instant(0.0), WallTime(0.0, 0))
    )
    cook = Cook(STEADY, World({}), Random(1))
    cook.agenda.add(Instant(0.0), lambda scene: wishes.reads(scene.state, roast, 74))
    said = []
    for _ in range(4):
        errand = cook.agenda.take()
        wish = errand.make(scene)
        assert wish is not None
        said.append(wish.ways[0])
        cook.learn_of(errand, wish, right=False, wrong=frozenset(), scene=scene)
    assert said == [wishes.reads(scene.state, roast, 74).ways[0], "yes", "yes", "yes"]


def test_what_led_to_a_question_that_lapsed_is_said_again() -> None:
    """Something else was said in place of the yes; the step still stands where it did."""
    roast = named(BOATHOUSE, "roast the turkey")
    asked = Asked(
        text="Turkey is done?",
        lapses=Instant(60.0),
        yes=Choice(name="yes", command=ReadingSaid(name="turkey", degrees=74)),
    )
    state = DinnerState(plan=read_plan(BOATHOUSE), asked=asked)
    now = Now(Instant(0.0), WallTime(0.0, 0))
    cook = Cook(STEADY, World({}), Random(1))
    cook.agenda.add(Instant(0.0), lambda scene: wishes.finished(scene.state, roast))
    errand = cook.agenda.take()
    wish = errand.make(Scene(state=state, now=now))
    assert wish is not None
    cook.learn_of(errand, wish, right=False, wrong=frozenset(), scene=Scene(state=state, now=now))
    lapsed = Scene(state=replace(state, asked=None), now=now)
    assert cook.agenda.take().make(lapsed) is None
    again = cook.agenda.take().make(lapsed)
    assert again is not None
    assert again.ways == wish.ways


def test_a_reading_whose_question_lapsed_is_said_again() -> None:
    """No step shows that a reading counted, so it is not taken for granted."""
    roast = named(BOATHOUSE, "roast the turkey")
    asked = Asked(
        text="Turkey at seventy four?",
        lapses=Instant(60.0),
        yes=Choice(name="yes", command=ReadingSaid(name="turkey", degrees=74)),
    )
    state = DinnerState(plan=read_plan(BOATHOUSE), asked=asked)
    now = Now(Instant(0.0), WallTime(0.0, 0))
    cook = Cook(STEADY, World({}), Random(1))
    once = iter([wishes.reads(state, roast, 74)])
    cook.agenda.add(Instant(0.0), lambda _: next(once))  # the thermometer has nothing new to say after it
    errand = cook.agenda.take()
    wish = errand.make(Scene(state=state, now=now))
    assert wish is not None
    cook.learn_of(errand, wish, right=False, wrong=frozenset(), scene=Scene(state=state, now=now))
    forgotten = Scene(state=replace(state, asked=None), now=now)
    assert cook.agenda.take().make(forgotten) is None
    again = cook.agenda.take().make(forgotten)
    assert again is not None
    assert again.ways == wish.ways
