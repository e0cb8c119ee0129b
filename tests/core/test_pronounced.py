"""How a plan's words are said: whole words, in any shape they come in, and nothing else."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchend.core.pronounced import pronounced, said_as
from tests.core.lighthouse import PLAN

SAYINGS = (
    ("quinoa", "keen wah"),
    ("crème brûlée", "krem broo lay"),
    ("crème", "krem"),
    ("nduja", "en doo ya"),
    ("7-spice", "seven spice"),
)
CASES = {
    "in a sentence": ("Rinse the quinoa now.", "Rinse the keen wah now."),
    "at its start": ("Quinoa on. Twelve minutes.", "keen wah on. Twelve minutes."),
    "as kitchend says it": ("Burn the creme brulee now.", "Burn the krem broo lay now."),
    "as it is written": ("Burn the crème brûlée now.", "Burn the krem broo lay now."),
    "the longer first": ("Creme brulee, then creme.", "krem broo lay, then krem."),
    "a number in it": ("Toast the seven spice now.", "Toast the seven spice now."),
    "with its case": ("The quinoa's water boils.", "The keen wah's water boils."),
    "part of a word": ("Quinoas and unquinoa.", "Quinoas and unquinoa."),
    "over more room": ("Burn the creme  brulee.", "Burn the krem broo lay."),
    "twice": ("Quinoa, quinoa!", "keen wah, keen wah!"),
}


@pytest.mark.parametrize(("text", "said"), CASES.values(), ids=CASES)
def test_a_word_is_said_as_the_plan_has_it(text: str, said: str) -> None:
    assert said_as(text, SAYINGS) == said


def test_what_was_put_in_is_not_looked_at_again() -> None:
    assert said_as("ash and oak", (("ash", "oak"), ("oak", "ash"))) == "oak and ash"


def test_a_word_that_is_none_is_found_nowhere() -> None:
    assert said_as("Rinse the quinoa now.", ((" ", "keen wah"),)) == "Rinse the quinoa now."


def test_without_a_plan_or_a_saying_the_words_stay_as_they_are() -> None:
    assert pronounced("Rinse the quinoa now.", None) == "Rinse the quinoa now."
    assert pronounced("Rinse the quinoa now.", PLAN) == "Rinse the quinoa now."
    plan = replace(PLAN, say=SAYINGS)
    assert pronounced("Rinse the quinoa now.", plan) == "Rinse the keen wah now."


@given(text=st.text(max_size=80))
def test_text_without_any_of_the_words_comes_out_as_it_was(text: str) -> None:
    assert said_as(text, (("zzquinoazz", "keen wah"),)) == text


@given(
    text=st.text(max_size=60),
    sayings=st.lists(st.tuples(st.text(min_size=1, max_size=8), st.text(max_size=8)), max_size=4),
)
def test_whatever_the_words_are_it_comes_to_a_text(text: str, sayings: list[tuple[str, str]]) -> None:
    assert isinstance(said_as(text, tuple(sayings)), str)
