"""What the made-up cook learns from not being understood."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from kitchend.files.plan_yaml import read_plan
from kitchend.rehearsal import wishes
from kitchend.rehearsal.character import STEADY
from kitchend.rehearsal.cook import Cook
from kitchend.rehearsal.world import World
from tests.rehearsal.kitchen import BOATHOUSE

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
