"""Network, JSGF and parser agree: all that can be heard means one thing, and everything meant can be said."""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from num2words import num2words
from text_to_num import text2num

from kitchend.core.clock import TimeOfDay
from kitchend.core.commands import Command, GiveTime, MovePassTo, ReadingSaid, Unclear
from kitchend.core.derivations import texts
from kitchend.core.grammar import Heard
from kitchend.core.intents import intent_name, understand
from kitchend.core.network import Network
from kitchend.core.phrases import Sayable, sayable
from kitchend.core.state import Asked, Choice, DinnerState, Unsure
from tests.core.lighthouse import BUSY, DOUBTING, EGGS, MANNERS, NOW, STATES

COUNTING = replace(
    DOUBTING,
    asked=Asked(
        text="Fifteen?",
        lapses=NOW + 30,
        yes=Choice(name="yes", command=GiveTime(name="salmon", seconds=900)),
    ),
)
AWAY = replace(BUSY, unsure=Unsure(timers=(EGGS.id,)))
EVERY = {**STATES, "counting": COUNTING, "away": AWAY}
EVERY_STATE = pytest.mark.parametrize("state", EVERY.values(), ids=EVERY)


def sayable_now(state: DinnerState) -> Sayable:
    return sayable(replace(state, manners=replace(MANNERS, is_open=True)), NOW)


def drawn(network: Network, count: int, seed: int) -> Iterator[str]:
    """Texts of a network, every way on as likely as the others, so that the seldom ones come too."""
    chance, ways = random.Random(seed), defaultdict(list)
    for arc in network.arcs:
        ways[arc.source].append(arc)
    for _ in range(count):
        at, words = 0, list[str]()
        while at != network.final:
            arc = chance.choice(ways[at])
            at = arc.target
            words += [arc.word] if arc.word else []
        yield " ".join(words).removeprefix("hey kitchen ")


@EVERY_STATE
def test_what_the_network_holds_means_one_thing(state: DinnerState) -> None:
    offered = sayable_now(state)
    for text in drawn(offered.network(), 400, seed=5):
        if text == "hey kitchen":
            continue
        meant = {intent_name(reading) for reading in offered.book.readings(Heard.of(text))}
        assert meant == {intent_name(understand(text, state).command)}, text


@settings(max_examples=300, deadline=None)
@given(data=st.data(), name=st.sampled_from(sorted(EVERY)))
def test_what_the_grammar_generates_means_one_thing(data: st.DataObject, name: str) -> None:
    state = EVERY[name]
    book = sayable_now(state).book
    text = book.sampled(lambda n: data.draw(st.integers(0, n - 1)))
    meant = {intent_name(reading) for reading in book.readings(Heard.of(text))}
    assert meant == {intent_name(understand(text, state).command)}, text


def test_everything_a_cook_can_mean_can_be_said() -> None:
    said = {
        type(reading)
        for state in EVERY.values()
        for book in (sayable_now(state).book,)
        for form in book.forms
        for text in texts(form.node, book.lexicons, 1)
        for reading in book.readings(Heard.of(text))
    }
    assert said == set(get_args(Command))


@pytest.mark.parametrize("n", range(1, 301))
def test_minutes_as_num2words_writes_them_are_read(n: int) -> None:
    words = num2words(n).replace("-", " ")
    unit = "minute" if n == 1 else "minutes"
    assert understand(f"another {words} {unit} on the salmon", BUSY).command == GiveTime(
        name="salmon", seconds=60 * n
    )


@settings(max_examples=400, deadline=None)
@given(n=st.integers(0, 999), other=st.integers(0, 999))
def test_degrees_are_read_as_text2num_reads_them_corrections_too(n: int, other: int) -> None:
    words, wrong = (num2words(x).replace("-", " ") for x in (n, other))
    assert text2num(words, "en") == n
    expected = ReadingSaid(name="salmon", degrees=n)
    assert understand(f"the salmon is at {words}", BUSY).command == expected
    assert understand(f"the salmon is at {wrong} no {words}", BUSY).command == expected


@pytest.mark.parametrize("hour", range(1, 13))
def test_clock_times_as_num2words_writes_them_are_read(hour: int) -> None:
    for minute in range(10, 60):
        words = f"{num2words(hour)} {num2words(minute)}".replace("-", " ")
        assert understand(f"serve at {words}", BUSY).command == MovePassTo(time=TimeOfDay(hour, minute))


@settings(max_examples=200, deadline=None)
@given(text=st.text(max_size=120), name=st.sampled_from(sorted(EVERY)))
def test_any_text_at_all_is_an_intent_or_unclear(text: str, name: str) -> None:
    command = understand(text, EVERY[name]).command
    assert isinstance(command, (*get_args(Command), Unclear))
