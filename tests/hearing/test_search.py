"""The search of a grammar by spelling: nothing is missed, and everything comes in order."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from math import log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitchend.hearing.search import UNLIKELY, Searchable, apart, nearest


@dataclass(frozen=True)
class Way:
    source: int
    target: int
    share: float
    word: str | None


@dataclass(frozen=True)
class Net:
    final: int
    arcs: tuple[Way, ...]


DINNER = Net(
    final=4,
    arcs=(
        Way(0, 1, 0.5, "hold"),
        Way(0, 2, 0.2, "five"),
        Way(0, 2, 0.2, "nine"),
        Way(0, 4, 0.1, "heard"),
        Way(1, 3, 0.6, "the"),
        Way(1, 4, 0.4, "beans"),
        Way(3, 4, 1.0, "rice"),
        Way(2, 4, 0.7, "more"),
        Way(2, 4, 0.3, None),
    ),
)
TEXTS = {
    "hold the rice": 0.3,
    "hold beans": 0.2,
    "five more": 0.14,
    "nine more": 0.14,
    "five": 0.06,
    "nine": 0.06,
    "heard": 0.1,
}


@pytest.mark.parametrize(
    ("heard", "found"),
    [
        pytest.param("Hold the rice!", "hold the rice", id="as it is"),
        pytest.param("old derise", "hold the rice", id="words run together"),
        pytest.param("herd", "heard", id="a letter lacks"),
        pytest.param("fife mohr", "five more", id="letters that sound alike"),
        pytest.param("could you hold beans", "hold beans", id="more than was meant"),
    ],
)
def test_what_is_spelled_most_alike_comes_first(heard: str, found: str) -> None:
    assert next(nearest(Searchable(DINNER), heard)).text == found


def test_nothing_is_found_where_nothing_was_heard() -> None:
    assert list(nearest(Searchable(DINNER), " ... ")) == []


def test_every_command_is_found_with_its_share() -> None:
    found = {one.text: one.log_share for one in nearest(Searchable(DINNER), "anything")}
    assert found == pytest.approx({text: log(share) for text, share in TEXTS.items()}, abs=1e-4)


@settings(max_examples=60, deadline=None)
@given(
    st.text("abcdefghilmnorstv '", min_size=1, max_size=30).filter(lambda text: any(map(str.isalnum, text)))
)
def test_commands_come_in_order_and_cost_what_they_say(heard: str) -> None:
    found = list(islice(nearest(Searchable(DINNER), heard), 20))
    costs = [one.cost for one in found]
    assert costs == pytest.approx(sorted(costs), abs=1e-4)
    letters = {one.text: len(one.text.replace(" ", "")) for one in found}
    for one in found:
        # letters may lack anywhere in `apart`, between words only in the search, which can cost more by that
        spelling = apart(one.text, heard) * letters[one.text]
        assert one.cost >= spelling - UNLIKELY * one.log_share - 1e-3


def test_a_text_is_no_way_apart_from_itself() -> None:
    assert apart("hold the rice", "Hold the rice.".lower()) == 0.0
    assert apart("heard", "herd") == pytest.approx(0.2)


def test_a_command_is_held_to_the_letter() -> None:
    grammar = Searchable(DINNER)
    assert all(map(grammar.holds, TEXTS))
    others = ("", "hold", "hold rice", "hold the beans", "hold the rice now", "the rice", "five beans")
    assert not any(map(grammar.holds, others))
