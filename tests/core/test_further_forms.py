"""More ways people put things, found by trying what a cook would say; each heard, and read as one thing.

Below them what is typed or run together in speech ("salmon's in"): read, though no listener is given it.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.clock import Instant, TimeOfDay
from kitchend.core.commands import (
    AskNext,
    AskOn,
    AskOnTime,
    AskPass,
    AskTimeLeft,
    Command,
    Drop,
    HeardIt,
    Hold,
    MovePassTo,
    No,
    Said,
    SayAgain,
    StepSaid,
    TimeNew,
    Unclear,
)
from kitchend.core.intents import understand
from kitchend.core.resolve import timer_named
from kitchend.core.state import DinnerState
from kitchend.core.timers import Timer, TimerId
from tests.core.lighthouse import BUSY, DOUBTING, EGGS
from tests.core.test_natural_forms import (
    BOTH_ON,
    alike,
    done,
    give,
    is_heard_and_read,
    means_only,
    on,
    read,
    timed,
)

LEFT = AskTimeLeft(name="salmon")
FORMS: tuple[tuple[DinnerState, dict[str, Command]], ...] = (
    (BUSY, {
        **alike(give(5), "give it five more; gimme five more; it needs another five; they need five more"),
        **alike(give(5, "salmon"), "gimme five more on the salmon; leave the salmon in another five minutes"),
        **alike(give(60, "salmon"), "leave the salmon another hour; leave the salmon on another hour"),
        **alike(timed("toast", 9), """
            set nine minutes for the toast; start the timer for the toast to nine minutes
        """),
        **alike(TimeNew(name="timer", seconds=600), """
            remind me in ten minutes; wake me in ten minutes; let me know in ten minutes;
            call me in ten minutes
        """),
        **alike(LEFT, """
            what's left on the salmon; what about the salmon; how long until the salmon; how long till salmon;
            when does the salmon come out; is the salmon nearly done; is the salmon nearly ready
        """),
        **alike(AskTimeLeft(name=None), "how long now"),
        **alike(AskNext(), """
            now what; what else; what's coming up; what comes after this; what comes after that
        """),
        **alike(AskOn(), "where are we"),
        **alike(AskPass(), "what time are we serving"),
        **alike(AskOnTime(), "are we good for time"),
        **alike(SayAgain(), "one more time"),
        **alike(read("salmon", 62), "salmon at sixty two; the salmon at sixty two degrees"),
        **alike(read("oven", 200), "oven at two hundred; the oven at two hundred degrees"),
        **alike(MovePassTo(time=TimeOfDay(8)), "let's serve at eight; we're eating at eight"),
        **alike(MovePassTo(time=TimeOfDay(19, 45)), "change the pass to nineteen forty five"),
        **alike(HeardIt(), "coming"),
        **alike(Hold(name=None), "hold them; pause them"),
        **alike(Hold(name="salmon"), "salmon on hold; the salmon on hold"),
        **alike(Drop(name="salmon"), "never mind the salmon; never mind about the salmon"),
    }),
    (BOTH_ON, {
        **alike(done("salmon"), """
            i took the salmon out; took the salmon out; took the salmon off; i'm done with the salmon;
            the salmon is out of the oven
        """),
    }),
    (BUSY, {
        **alike(on("leeks"), """
            i just put the leeks on; just put the leeks in; i've got the leeks on; that's the leeks in;
            put the leeks on; the leeks are on the hob now
        """),
    }),
    (DOUBTING, alike(No(), "not yet")),
)  # fmt: skip

EVERY = [pytest.param(state, text, meant, id=text) for state, forms in FORMS for text, meant in forms.items()]


@pytest.mark.parametrize(("state", "text", "command"), EVERY)
def test_form_is_heard_and_read_as_meant(state: DinnerState, text: str, command: Command) -> None:
    is_heard_and_read(state, text, command)


@pytest.mark.parametrize(("state", "text", "command"), EVERY)
def test_form_means_one_thing_only(state: DinnerState, text: str, command: Command) -> None:
    means_only(state, text, command)


@pytest.mark.parametrize(
    ("text", "command"),
    [
        ("salmon's in", on("salmon")),
        ("the salmon's done", done("salmon")),
        ("salmon's at 62", read("salmon", 62)),
        ("oven's at one ninety", read("oven", 190)),
        ("okay, leeks on", on("leeks")),
        ("Right, the leeks are on", on("leeks")),
        ("alright what's next", AskNext()),
        ("five more minutes please", give(5)),
    ],
)
def test_words_run_together_and_words_of_thinking_are_read(text: str, command: Command) -> None:
    assert understand(text, BUSY).command == command


def test_what_is_its_own_word_stays_one() -> None:
    assert understand("it's done", BUSY).command == StepSaid(name=None, how=Said.DONE)
    assert understand("what's that's", BUSY).command == Unclear(text="what's that's")


def test_the_only_timer_is_the_timer_and_one_of_two_is_not() -> None:
    assert understand("cancel the timer", BUSY).command == Drop(name="timer")
    assert timer_named(BUSY, "timer") == EGGS
    toast = Timer(id=TimerId("toast"), name="Toast", due=Instant(1700.0))
    two = replace(BUSY, timers=(EGGS, toast))
    assert timer_named(two, "timer") is None
    assert isinstance(understand("cancel the timer", two).command, Unclear)
