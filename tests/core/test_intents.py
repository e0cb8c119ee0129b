"""What texts mean: a table of every intent, typed lines, answers, and that no text breaks anything."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitchend.core.clock import TimeOfDay
from kitchend.core.commands import (
    AskNext,
    AskOn,
    AskOnTime,
    AskPass,
    AskTimeLeft,
    CarryOn,
    Command,
    Drop,
    GiveTime,
    HeardIt,
    Hold,
    MovePassBy,
    MovePassTo,
    No,
    Pick,
    Quiet,
    ReadingSaid,
    RemindIn,
    Said,
    SayAgain,
    StartDinner,
    StepSaid,
    TimeNew,
    Unclear,
    Undo,
    Yes,
)
from kitchend.core.intents import intent_name, slots, understand, words_of_text
from kitchend.core.phrases import full_book
from kitchend.core.state import DinnerState
from tests.core.lighthouse import BEGUN, BUSY, CHOOSING, NO_DINNER, STATES


def named(name: str | None) -> StepSaid:
    return StepSaid(name=name)


def on(name: str | None) -> StepSaid:
    return StepSaid(name=name, how=Said.ON)


def done(name: str | None) -> StepSaid:
    return StepSaid(name=name, how=Said.DONE)


def left(name: str | None) -> AskTimeLeft:
    return AskTimeLeft(name=name)


def give(minutes: float, name: str | None = None) -> GiveTime:
    return GiveTime(name=name, seconds=round(minutes * 60))


def read(name: str | None, degrees: float) -> ReadingSaid:
    return ReadingSaid(name=name, degrees=degrees)


def timed(name: str, minutes: float) -> TimeNew:
    return TimeNew(name=name, seconds=round(minutes * 60))


def remind(minutes: float, what: str) -> RemindIn:
    return RemindIn(seconds=round(minutes * 60), what=what)


def move(minutes: float) -> MovePassBy:
    return MovePassBy(seconds=round(minutes * 60))


SUPPER = "Lighthouse supper"
STEAM, TRIM, TAKE = "steam the leeks", "wash and trim the leeks", "take the flatbreads out"

MEANT: dict[str, Command] = {
    # acknowledge
    "heard": HeardIt(),
    "heard that": HeardIt(),
    "got it": HeardIt(),
    "understood": HeardIt(),
    "i'm on it": HeardIt(),
    "on my way": HeardIt(),
    # a step by its name
    "steam the leeks": named(STEAM),
    "steam leeks": named(STEAM),
    "the leeks": named("leeks"),
    "fish": named("fish"),
    "baked salmon": named("baked salmon"),
    "simmer it": named("simmer it"),
    "take flatbreads out": named(TAKE),
    "slicing": named("slicing"),
    # done
    "steam the leeks done": done(STEAM),
    "steam the leeks is done": done(STEAM),
    "leeks steamed": done(STEAM),
    "the leeks are steamed": done(STEAM),
    "leeks trimmed": done(TRIM),
    "leeks washed and trimmed": done(TRIM),
    "i've trimmed the leeks": done(TRIM),
    "we have steamed the leeks": done(STEAM),
    "flatbreads taken out": done(TAKE),
    "i've taken out the flatbreads": done(TAKE),
    "salmon rested": done("rest the salmon"),
    "finished glazing the salmon": done("glaze the salmon"),
    "glazing the salmon is done": done("glaze the salmon"),
    "the salmon is done": done("salmon"),
    "the fish is ready": done("fish"),
    "leeks are finished": done("leeks"),
    "flatbreads are out": done("flatbreads"),
    "leeks done": done("leeks"),
    "done with the salmon": done("salmon"),
    "that's the leeks done": done("leeks"),
    "it's done": done(None),
    "that's done": done(None),
    "they're ready": done(None),
    "it is finished": done(None),
    "done": done(None),
    "all done": done(None),
    # on
    "leeks are on": on("leeks"),
    "the leeks are in": on("leeks"),
    "salmon is in the oven": on("salmon"),
    "leeks on": on("leeks"),
    "the flatbreads have gone in": on("flatbreads"),
    "the salmon is cooking": on("salmon"),
    "steaming the leeks": on(STEAM),
    "i'm glazing the salmon now": on("glaze the salmon"),
    "started steaming the leeks": on(STEAM),
    "started the salmon": on("salmon"),
    "it's on": on(None),
    "they're in": on(None),
    "that's in": on(None),
    "it is on": on(None),
    # questions
    "how long on the salmon": left("salmon"),
    "how long is left for the fish": left("fish"),
    "how much longer on the leeks": left("leeks"),
    "how long until the salmon is ready": left("salmon"),
    "how long do the leeks need": left("leeks"),
    "how long has the salmon got left": left("salmon"),
    "when are the leeks done": left("leeks"),
    "how is the salmon doing": left("salmon"),
    "how long on the eggs": left("eggs"),
    "how long is left": left(None),
    "how much longer": left(None),
    "what's next": AskNext(),
    "what is next": AskNext(),
    "what now": AskNext(),
    "what do i do next": AskNext(),
    "what comes next": AskNext(),
    "what's on": AskOn(),
    "what is on": AskOn(),
    "what's cooking": AskOn(),
    "which timers are running": AskOn(),
    "what have we got on": AskOn(),
    "when do we eat": AskPass(),
    "when's dinner": AskPass(),
    "what time is the pass": AskPass(),
    "when do we serve": AskPass(),
    "how long until dinner": AskPass(),
    "are we on time": AskOnTime(),
    "are we late": AskOnTime(),
    "are we on track": AskOnTime(),
    "will we be on time": AskOnTime(),
    "how are we doing for time": AskOnTime(),
    "say again": SayAgain(),
    "say that again": SayAgain(),
    "repeat that": SayAgain(),
    "pardon": SayAgain(),
    "what did you say": SayAgain(),
    # time given and taken
    "five more minutes on the leeks": give(5, "leeks"),
    "five more minutes": give(5),
    "one more minute on the leeks": give(1, "leeks"),
    "another five minutes for the salmon": give(5, "salmon"),
    "another half an hour on the salmon": give(30, "salmon"),
    "ten minutes more on the salmon": give(10, "salmon"),
    "give the salmon ten more minutes": give(10, "salmon"),
    "give the salmon one more minute": give(1, "salmon"),
    "give the salmon five minutes more": give(5, "salmon"),
    "give it another minute": give(1),
    "another minute on the leeks": give(1, "leeks"),
    "the leeks need one more minute": give(1, "leeks"),
    "a minute more on the leeks": give(1, "leeks"),
    "add an hour and a quarter to the salmon": give(75, "salmon"),
    "the leeks need two more minutes": give(2, "leeks"),
    "a couple more minutes on the leeks": give(2, "leeks"),
    "take two minutes off the leeks": give(-2, "leeks"),
    "take ninety seconds off the eggs": give(-1.5, "eggs"),
    "three fewer minutes on the leeks": give(-3, "leeks"),
    "five minutes less on the salmon": give(-5, "salmon"),
    "knock a minute off the leeks": give(-1, "leeks"),
    # hold, carry on, drop
    "hold the leeks": Hold(name="leeks"),
    "pause the salmon": Hold(name="salmon"),
    "hold that": Hold(name=None),
    "stop the clock on the salmon": Hold(name="salmon"),
    "put the leeks on hold": Hold(name="leeks"),
    "carry on with the leeks": CarryOn(name="leeks"),
    "carry on": CarryOn(name=None),
    "continue the salmon": CarryOn(name="salmon"),
    "start the leeks again": CarryOn(name="leeks"),
    "keep going": CarryOn(name=None),
    "drop the leeks": Drop(name="leeks"),
    "skip the pilaf": Drop(name="pilaf"),
    "leave the leeks out": Drop(name="leeks"),
    "forget about the flatbreads": Drop(name="flatbreads"),
    "cancel the eggs timer": Drop(name="eggs"),
    "drop that": Drop(name=None),
    # something new
    "time the eggs for nine minutes": timed("eggs", 9),
    "time the pasta for eleven minutes": timed("pasta", 11),
    "set a timer for the bread for half an hour": timed("bread", 30),
    "set a ten minute timer for the tea": timed("tea", 10),
    "set an egg timer for four minutes": timed("egg", 4),
    "start a timer for twenty minutes": timed("timer", 20),
    "set a timer for an hour and twenty minutes": timed("timer", 80),
    "time the wooden spoon for two and a half minutes": timed("wooden spoon", 2.5),
    "remind me in ten minutes to turn the bread": remind(10, "turn the bread"),
    "remind me to check the oven in half an hour": remind(30, "check the oven"),
    "in five minutes remind me to steam the leeks": remind(5, "steam the leeks"),
    "tell me in two hours to feed the cat": remind(120, "feed the cat"),
    "call me in a quarter of an hour to lock the gate": remind(15, "lock the gate"),
    # readings
    "the salmon is at sixty two": read("salmon", 62),
    "salmon sixty two degrees": read("salmon", 62),
    "the fish reads fifty eight": read("fish", 58),
    "sixty degrees in the salmon": read("salmon", 60),
    "the salmon is up to sixty point five": read("salmon", 60.5),
    "salmon is at sixty and a half degrees": read("salmon", 60.5),
    "salmon is at one forty five fahrenheit": read("salmon", 62.8),
    "the probe says sixty one": read(None, 61),
    "it's at sixty": read(None, 60),
    "oven reads one ninety": read("oven", 190),
    "the oven is at two hundred": read("oven", 200),
    "oven is at one hundred and eighty degrees": read("oven", 180),
    "the oven says one seventy five": read("oven", 175),
    # the dinner and its pass
    "cook the lighthouse supper for half past seven": StartDinner(plan=SUPPER, serve=TimeOfDay(7, 30)),
    "cook the lighthouse supper": StartDinner(plan=SUPPER),
    "let's cook the lighthouse supper for nineteen thirty": StartDinner(plan=SUPPER, serve=TimeOfDay(19, 30)),
    "we're having the sunday by the mill at one": StartDinner(plan="Sunday by the mill", serve=TimeOfDay(1)),
    "start the lighthouse supper": StartDinner(plan=SUPPER),
    "lighthouse supper for quarter to eight": StartDinner(plan=SUPPER, serve=TimeOfDay(7, 45)),
    "serve fifteen minutes later": move(15),
    "push dinner back half an hour": move(30),
    "make it ten minutes later": move(10),
    "delay the pass by twenty minutes": move(20),
    "we'll eat an hour later": move(60),
    "serve ten minutes earlier": move(-10),
    "bring dinner forward by a quarter of an hour": move(-15),
    "eat five minutes earlier": move(-5),
    "serve at seven thirty": MovePassTo(time=TimeOfDay(7, 30)),
    "serve at twenty past seven": MovePassTo(time=TimeOfDay(7, 20)),
    "dinner at eight o'clock": MovePassTo(time=TimeOfDay(8)),
    "move the pass to quarter to eight": MovePassTo(time=TimeOfDay(7, 45)),
    "we'll eat at seven": MovePassTo(time=TimeOfDay(7)),
    "make it twenty thirty": MovePassTo(time=TimeOfDay(20, 30)),
    # take back, stop talking, answer
    "undo that": Undo(),
    "undo": Undo(),
    "take that back": Undo(),
    "scratch that": Undo(),
    "that was wrong": Undo(),
    "quiet": Quiet(),
    "be quiet": Quiet(),
    "stop talking": Quiet(),
    "that's enough": Quiet(),
    "quiet please": Quiet(),
    "yes": Yes(),
    "yes please": Yes(),
    "that's right": Yes(),
    "go ahead": Yes(),
    "do it": Yes(),
    "no": No(),
    "no thanks": No(),
    "never mind": No(),
    "leave it": No(),
    "no don't": No(),
    "the first one": Pick(place=0),
    "the second one": Pick(place=1),
    "third": Pick(place=2),
    "the last one": Pick(place=-1),
}

TYPED: dict[str, Command] = {
    "5 more minutes on the leeks": give(5, "leeks"),
    "5 more mins on leeks": give(5, "leeks"),
    "Another 1h 20min for the salmon!": give(80, "salmon"),
    "take 90s off the eggs": give(-1.5, "eggs"),
    "take 2 min. off the leeks": give(-2, "leeks"),
    "Salmon 62 C": read("salmon", 62),
    "salmon 62.5°C": read("salmon", 62.5),
    "Salmon is at 62,5": read("salmon", 62.5),
    "salmon 145F": read("salmon", 62.8),
    "salmon is at 145 degrees F": read("salmon", 62.8),
    "oven reads 190": read("oven", 190),
    "serve at 7:30": MovePassTo(time=TimeOfDay(7, 30)),
    "serve at 7.30": MovePassTo(time=TimeOfDay(7, 30)),
    "serve at 19:30": MovePassTo(time=TimeOfDay(19, 30)),
    "serve at 7:30pm": MovePassTo(time=TimeOfDay(19, 30)),
    "serve at 7 p.m.": MovePassTo(time=TimeOfDay(19)),
    "serve at 7:05": MovePassTo(time=TimeOfDay(7, 5)),
    "serve at 7": MovePassTo(time=TimeOfDay(7)),
    "serve at 12:00 am": MovePassTo(time=TimeOfDay(0)),
    "Cook the Lighthouse supper for 18:45.": StartDinner(plan=SUPPER, serve=TimeOfDay(18, 45)),
    "time the gingerbread for 9 min": timed("gingerbread", 9),
    "How long on the 4-grain pilaf?": left("four grain pilaf"),
    "um, heard": HeardIt(),
    "please hold the leeks": Hold(name="leeks"),
    "IT’S DONE": done(None),
}

AGAINST_THE_STATE: dict[str, Command] = {
    "carry on": CarryOn(name=None),
    "yes": Yes(),
    "salmon sliced": done("slice the salmon"),
    "how long on the leeks": left("leeks"),
    "undo that": Undo(),
    "leeks is on": on("leeks"),
}
"""Said when it makes no sense yet, or with the wrong number of the verb: still read."""


@pytest.mark.parametrize(("text", "command"), MEANT.items(), ids=MEANT)
def test_text_means(text: str, command: Command) -> None:
    assert understand(text, BUSY).command == command


@pytest.mark.parametrize(("text", "command"), TYPED.items(), ids=TYPED)
def test_typed_line_means(text: str, command: Command) -> None:
    assert understand(text, BUSY).command == command


@pytest.mark.parametrize(("text", "command"), AGAINST_THE_STATE.items(), ids=AGAINST_THE_STATE)
def test_what_makes_no_sense_yet_is_still_read(text: str, command: Command) -> None:
    assert understand(text, BEGUN).command == command


def test_table_has_five_forms_of_every_command() -> None:
    forms: dict[str, int] = {}
    for command in MEANT.values():
        forms[intent_name(command)] = forms.get(intent_name(command), 0) + 1
    assert len(forms) == 24
    assert {name: count for name, count in forms.items() if count < 4} == {}
    assert len(MEANT) > 150


@pytest.mark.parametrize(
    ("text", "command"),
    [
        ("rest the salmon", named("rest the salmon")),
        ("slice it", named("slice the salmon")),
        ("the second one", Pick(place=1)),
        ("number two", Pick(place=1)),
        ("one", Pick(place=0)),
        ("the last one", Pick(place=-1)),
        ("no", No()),
    ],
)
def test_answer_to_a_question_with_choices(text: str, command: Command) -> None:
    assert understand(text, CHOOSING).command == command


@pytest.mark.parametrize(
    ("text", "is_addressed", "command"),
    [
        ("hey kitchen heard", True, HeardIt()),
        ("Hey Kitchen, the leeks are on!", True, on("leeks")),
        ("heard", False, HeardIt()),
        ("hey kitchen", True, Unclear(text="hey kitchen")),
        ("kitchen heard", False, Unclear(text="kitchen heard")),
        ("heard hey kitchen", False, Unclear(text="heard hey kitchen")),
        ("hey kitchen hey kitchen heard", True, Unclear(text="hey kitchen hey kitchen heard")),
    ],
)
def test_address_is_seen_and_taken_off(text: str, is_addressed: bool, command: Command | Unclear) -> None:
    understood = understand(text, BUSY)
    assert (understood.is_addressed, understood.command) == (is_addressed, command)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "the",
        "the a an",
        "blah blah blah",
        "how long on the moon",
        "salmon is",
        "serve at 25:99",
        "five more",
        "i read about the salmon in the paper",
        "12345678901234567890",
        "five more minutes " * 200,
        "💥\x00\ud800",
    ],
    ids=repr,
)
def test_what_is_no_command_is_unclear(text: str) -> None:
    understood = understand(text, BUSY)
    assert understood.command == Unclear(text=text)


@settings(max_examples=300, deadline=None)
@given(text=st.text(max_size=300), name=st.sampled_from(sorted(STATES)))
def test_any_text_gives_a_value(text: str, name: str) -> None:
    command = understand(text, STATES[name]).command
    assert intent_name(command)
    assert set(slots(command)) == {"step", "minutes", "degrees"}


WORDS = sorted(full_book(BUSY).words() | {"7:30", "62.5c", "5 min", "hey kitchen", "1h", "?", "p.m."})


@settings(max_examples=300, deadline=None)
@given(words=st.lists(st.sampled_from(WORDS), max_size=12))
def test_any_row_of_known_words_gives_a_value(words: list[str]) -> None:
    text = " ".join(words)
    command = understand(text, CHOOSING).command
    assert not isinstance(command, Unclear) or command.text == text


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("5 min", "five minutes"),
        ("1h 20m", "one hours twenty minutes"),
        ("7:30", "half past seven"),
        ("half past 7", "half past seven"),
        ("0:00", "midnight"),
        ("13:00", "thirteen hundred"),
        ("62.5 °C", "sixty two point five degrees celsius"),
        ("99:99", "ninety nine ninety nine"),
    ],
)
def test_typed_line_becomes_words(line: str, words: str) -> None:
    assert words_of_text(line) == words


@pytest.mark.parametrize(
    ("state", "text", "intent", "values"),
    [
        (BUSY, "leeks are on", "start", ("leeks", None, None)),
        (BUSY, "leeks", "step", ("leeks", None, None)),
        (BUSY, "leeks done", "finish", ("leeks", None, None)),
        (BUSY, "five more minutes on the leeks", "give_time", ("leeks", 5.0, None)),
        (BUSY, "salmon is at sixty two", "reading", ("salmon", None, 62.0)),
        (BUSY, "serve ten minutes earlier", "move_pass", (None, -10.0, None)),
        (BUSY, "remind me in ten minutes to sit down", "remind", (None, 10.0, None)),
        (NO_DINNER, "cook the lighthouse supper", "start_dinner", (None, None, None)),
        (BUSY, "mumble", "unclear", (None, None, None)),
    ],
)
def test_command_is_shown_to_other_programs(
    state: DinnerState, text: str, intent: str, values: tuple[str | None, float | None, float | None]
) -> None:
    command = understand(text, state).command
    assert (intent_name(command), tuple(slots(command).values())) == (intent, values)
