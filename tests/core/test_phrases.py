"""What can be said follows the state and can be read back; a real speech engine hears exactly that."""

import random
import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pocketsphinx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitchend.core.book import Book
from kitchend.core.commands import Drop, Hold, Pick, Said, StepSaid, Unclear
from kitchend.core.derivations import texts
from kitchend.core.effects import CallKind
from kitchend.core.grammar import Heard
from kitchend.core.intents import understand
from kitchend.core.network import Arc, Network
from kitchend.core.phrases import CANDIDATES, PLAIN_AND_ADDRESSED, full_book, sayable
from kitchend.core.plan import StepId
from kitchend.core.state import Asked, Call, Choice, DinnerState
from kitchend.core.steps import StepState
from kitchend.core.window import full_lexicons, likely_lexicons, view_of
from tests.core.lighthouse import (
    BEGUN,
    BUSY,
    CHOOSING,
    DOUBTING,
    EGGS,
    HELD,
    MANNERS,
    NO_DINNER,
    NOW,
    OVEN,
    PLAN,
    SALMON,
    STATES,
    a_step,
    having,
)

EVERY_STATE = pytest.mark.parametrize("state", STATES.values(), ids=STATES)


def is_open(state: DinnerState) -> DinnerState:
    return replace(state, manners=replace(MANNERS, is_open=True))


def accepts(state: DinnerState, text: str) -> bool:
    return sayable(is_open(state), NOW).accepts(text)


def book_of(state: DinnerState) -> Book:
    return sayable(state, NOW).book


# What each state takes, and what the same state does not.
FOLLOWS = [
    ("no dinner", NO_DINNER, "cook the lighthouse supper for half past seven", "what's next"),
    ("no dinner", NO_DINNER, "sunday by the mill at nineteen thirty", "hold the salmon"),
    ("no dinner", NO_DINNER, "time the eggs for nine minutes", "heard"),
    ("a dinner", BEGUN, "season the salmon", "cook the lighthouse supper"),
    ("could begin", BEGUN, "rinse the grain", "simmer it"),
    ("nothing on", BEGUN, "what's next", "how long is left"),
    ("not yet on", BEGUN, "how long on the salmon", "five more minutes on the salmon"),
    ("nothing called", BEGUN, "when do we eat", "heard"),
    ("called", BUSY, "steam the leeks", "season the salmon"),
    ("called", BUSY, "leeks are in", "leeks is in"),
    ("called", BUSY, "heard", "hold the leeks"),
    ("called and heard already", HELD, "on it", "heard the leeks"),
    ("on", BUSY, "how long on the salmon", "carry on with the salmon"),
    ("on", BUSY, "five more minutes on the salmon", "five more minutes on the leeks"),
    ("on", BUSY, "hold the fish", "carry on"),
    ("up", having(BUSY, take=StepState.DONE), "flatbreads are done", "flatbreads are in"),
    ("up", BUSY, "the flatbreads need two more minutes", "the flatbreads needs two more minutes"),
    ("during", BUSY, "glaze the salmon done", "slice the salmon done"),
    ("host not on", BEGUN, "salmon seasoned", "salmon glazed"),
    ("a timer", BUSY, "take two minutes off the eggs", "take two minutes off the moon"),
    ("a timer", BUSY, "hold the eggs", "carry on with the eggs"),
    ("held", HELD, "carry on with the salmon", "hold the salmon"),
    ("held", HELD, "keep going", "carry on with the leeks"),
    ("two answers", CHOOSING, "the second one", "the third one"),
    ("two answers", CHOOSING, "slice it", "steam it"),
    ("two answers", CHOOSING, "two", "three"),
    ("yes or no", DOUBTING, "yes", "the first one"),
    ("nothing asked", BUSY, "say again", "yes"),
    ("undo", BUSY, "undo that", "no"),
    ("nothing to undo", BEGUN, "what's on", "undo that"),
    ("core range", BUSY, "the salmon is at sixty two", "the salmon is at one ninety"),
    ("oven range", BUSY, "oven reads one ninety", "oven reads sixty two"),
    ("not probed", BUSY, "salmon fifty eight degrees", "the leeks are at sixty two"),
    ("never hot", BUSY, "the oven is at one seventy five", "the hob is at one seventy five"),
    ("fahrenheit", STATES["fahrenheit"], "the salmon is at one forty five", "the salmon is at twenty two"),
    ("minutes", BUSY, "serve fifteen minutes later", "serve one hundred and thirty seven minutes later"),
    ("minutes", BUSY, "twenty five more minutes on the salmon", "twenty six more minutes on the salmon"),
    ("pass", BUSY, "serve at half past seven", "serve at half past two"),
    ("pass", BUSY, "serve at twenty to eight", "serve at seven thirty one"),
]


@pytest.mark.parametrize(
    ("state", "taken", "not_taken"), [row[1:] for row in FOLLOWS], ids=[r[0] for r in FOLLOWS]
)
def test_sayable_follows_the_state(state: DinnerState, taken: str, not_taken: str) -> None:
    assert (accepts(state, taken), accepts(state, not_taken)) == (True, False)


def test_a_timer_that_rings_can_be_heard_and_silenced() -> None:
    call = Call(kind=CallKind.UP, text="Eggs: time is up.", at=NOW, timer=EGGS.id)
    ringing = replace(having(BEGUN, steam=StepState.ON), timers=(EGGS,), open_calls=(call,))
    assert not sayable(replace(ringing, open_calls=()), NOW).accepts("hey kitchen heard")
    assert sayable(ringing, NOW).accepts("hey kitchen heard")
    assert sayable(ringing, NOW).accepts("hey kitchen quiet")


def test_a_finished_step_is_not_expected_any_more() -> None:
    assert accepts(BUSY, "leeks steamed")
    assert not accepts(having(BUSY, steam=StepState.DONE), "leeks steamed")


def test_what_was_called_last_is_the_likeliest_name() -> None:
    both = replace(having(BUSY, rinse=StepState.CALLED), last_called=(StepId("rinse"),))
    first = next(
        text
        for text in sayable(is_open(both), NOW).candidates()
        if text in ("steam the leeks", "rinse the grain")
    )
    assert first == "rinse the grain"


def test_address_is_needed_until_the_window_opens() -> None:
    closed = sayable(BUSY, NOW)
    assert closed.needs_address
    assert (closed.accepts("hey kitchen heard"), closed.accepts("heard")) == (True, False)
    opened = sayable(replace(BUSY, window_until=NOW + 12), NOW)
    assert not opened.needs_address
    assert (opened.accepts("hey kitchen heard"), opened.accepts("heard")) == (True, True)
    assert sayable(replace(BUSY, window_until=NOW + 12), NOW + 13).needs_address
    assert not closed.accepts("hey kitchen")


def test_address_without_words_is_never_needed() -> None:
    silent = sayable(replace(BUSY, manners=replace(MANNERS, address="!")), NOW)
    assert silent.accepts("heard")
    assert "public <command> = <said>;" in silent.jsgf()


def test_candidates_carry_the_address_when_it_is_needed() -> None:
    closed, opened = sayable(BUSY, NOW).candidates(), sayable(is_open(BUSY), NOW).candidates()
    plain = opened[: len(opened) - PLAIN_AND_ADDRESSED]
    assert closed == tuple(f"hey kitchen {text}" for text in plain)
    assert opened[len(plain) :] == closed[:PLAIN_AND_ADDRESSED]


@EVERY_STATE
def test_candidates_are_few_different_and_accepted(state: DinnerState) -> None:
    offered = sayable(state, NOW)
    candidates = offered.candidates()
    assert 30 <= len(candidates) <= CANDIDATES + PLAIN_AND_ADDRESSED
    assert len(set(candidates)) == len(candidates)
    assert [text for text in candidates if not offered.accepts(text)] == []


LIKELY = {
    "busy": [
        "heard",
        "steam the leeks",
        "the leeks are on",
        "leeks steamed",
        "the flatbreads are done",
        "what's next",
    ],
    "choosing": ["rest the salmon", "slice the salmon", "the first one", "the second one"],
    "doubting": ["yes", "no", "yes please"],
    "no dinner": ["cook the lighthouse supper", "cook the sunday by the mill", "what's on"],
    "held": ["carry on", "carry on with the salmon", "the leeks are done", "five more minutes on the leeks"],
}


@pytest.mark.parametrize(("name", "texts"), LIKELY.items(), ids=LIKELY)
def test_likely_answers_are_among_the_first_candidates(name: str, texts: list[str]) -> None:
    first = sayable(is_open(STATES[name]), NOW).candidates()[:50]
    assert set(texts) <= set(first)


def test_oven_without_a_temperature_is_heard_over_its_whole_range() -> None:
    bare = tuple(
        replace(dish, steps=tuple(replace(step, uses=()) for step in dish.steps)) for dish in PLAN.dishes
    )
    state = replace(BEGUN, plan=replace(PLAN, dishes=bare))
    assert accepts(state, "oven reads sixty five")
    assert accepts(state, "oven reads two hundred and ninety five")


def test_an_oven_goes_on_and_is_not_listened_for_as_going_in() -> None:
    heat = a_step("salmon", "heat", "heat the oven", uses=(OVEN,))
    dishes = (replace(SALMON, steps=(heat, *SALMON.steps)), *PLAN.dishes[1:])
    state = is_open(replace(BEGUN, plan=replace(PLAN, dishes=dishes)))
    assert accepts(state, "the oven is on")
    assert accepts(state, "the leeks are in")
    assert not accepts(state, "the oven is in")
    assert not accepts(state, "put the oven in")
    assert understand("the oven is in", state).command == StepSaid(name="oven", how=Said.ON)


@pytest.mark.parametrize("moment", [StepState.ON, StepState.HELD])
def test_an_oven_that_heats_is_not_put_on_hold_by_voice_but_a_timer_of_its_name_is(moment: StepState) -> None:
    heat = a_step("salmon", "heat", "heat the oven", uses=(OVEN,))
    dishes = (replace(SALMON, steps=(heat, *SALMON.steps)), *PLAN.dishes[1:])
    state = is_open(having(replace(HELD, plan=replace(PLAN, dishes=dishes)), heat=moment))
    assert accepts(state, "how long on the oven")
    assert not accepts(state, "hold the oven")
    assert not accepts(state, "carry on with the oven")
    assert understand("hold the oven", state).command == Hold(name="oven")
    timer = replace(EGGS, name="oven")
    timed = replace(state, timers=(timer if moment is StepState.ON else timer.hold(NOW),))
    assert accepts(timed, "hold the oven") is (moment is StepState.ON)
    assert accepts(timed, "carry on with the oven") is (moment is StepState.HELD)


def test_answer_that_is_no_name_is_picked_by_its_place() -> None:
    asked = Asked(
        text="Fifteen, or fifty?",
        lapses=NOW + 30,
        choices=(
            Choice(name="fifteen", command=Drop(name=None)),
            Choice(name="fifty", command=Drop(name=None)),
        ),
    )
    state = replace(BUSY, asked=asked)
    assert accepts(state, "fifty")
    assert understand("fifty", state).command == Pick(place=1)
    assert understand("50", state).command == Pick(place=1)


def test_likely_readings_are_near_the_one_waited_for() -> None:
    candidates = sayable(is_open(BUSY), NOW).candidates()
    assert {"the salmon is at sixty three", "the salmon is at sixty", "the oven reads one eighty"} <= set(
        candidates
    )


@EVERY_STATE
def test_all_words_are_lower_case_ascii(state: DinnerState) -> None:
    offered = sayable(state, NOW)
    odd = re.compile(r"[^a-z']")
    assert not [word for word in offered.words() if odd.search(word)]
    assert set(" ".join(offered.phrases()).split()) == offered.words()
    assert {arc.word for arc in offered.network().arcs} - {None} == offered.words()


def test_what_does_not_matter_makes_nothing_new() -> None:
    later = replace(BUSY, last_words="Five minutes.", timers=(replace(EGGS, due=NOW + 5),), revision=7)
    assert sayable(later, NOW).book is sayable(BUSY, NOW).book
    assert sayable(having(BUSY, steam=StepState.ON), NOW).book is not sayable(BUSY, NOW).book


# Whatever can be heard can be read: sayable is part of the full phrasebook.


@EVERY_STATE
def test_plausible_wordings_are_part_of_all_wordings(state: DinnerState) -> None:
    view = view_of(state)
    full = full_lexicons(view.without_progress())
    for name, lexicon in likely_lexicons(view).items():
        known = {(entry.text, entry.value) for entry in full[name].entries}
        assert {(entry.text, entry.value) for entry in lexicon.entries} <= known, name


@EVERY_STATE
def test_listed_texts_of_every_form_are_read_as_that_form_means_them(state: DinnerState) -> None:
    book, full = book_of(state), full_book(state)
    for form in book.forms:
        for text in texts(form.node, book.lexicons, 25):
            narrow, wide = list(book.readings(Heard.of(text))), list(full.readings(Heard.of(text)))
            assert narrow, text
            assert set(map(repr, narrow)) <= set(map(repr, wide)), text


@settings(max_examples=400, deadline=None)
@given(data=st.data(), name=st.sampled_from(sorted(STATES)), is_full=st.booleans())
def test_whatever_the_grammar_says_is_understood(data: st.DataObject, name: str, is_full: bool) -> None:
    state = STATES[name]
    book = full_book(state) if is_full else book_of(state)
    text = book.sampled(lambda n: data.draw(st.integers(0, n - 1)))
    understood = understand(f"Hey kitchen, {text}", state)
    assert understood.is_addressed
    assert not isinstance(understood.command, Unclear), text
    assert is_full or sayable(state, NOW).accepts(f"hey kitchen {text}")


# The JSGF, as PocketSphinx compiles it.


def compiled(jsgf: str) -> pocketsphinx.FsgModel:
    decoder = pocketsphinx.Decoder(lm=None, loglevel="FATAL")
    return decoder.parse_jsgf(jsgf)


@EVERY_STATE
def test_speech_engine_takes_every_candidate_and_sampled_text(state: DinnerState) -> None:
    offered = sayable(state, NOW)
    engine, chance = compiled(offered.jsgf()), random.Random(7)
    sampled = [f"hey kitchen {offered.book.sampled(chance.randrange)}" for _ in range(150)]
    said = [*offered.candidates(), *sampled]
    assert [text for text in said if not engine.accept(text)] == []


def test_speech_engine_refuses_what_is_not_in_the_grammar() -> None:
    engine = compiled(sayable(BUSY, NOW).jsgf())
    refused = ["heard", "hey kitchen", "hey kitchen carry on", "hey kitchen leeks is on", "hey kitchen yes"]
    assert [text for text in refused if engine.accept(text)] == []


def walks(fsg_file: Path, count: int) -> Iterator[str]:
    """Texts a compiled grammar can produce, by walking its transitions at random."""
    chance, leads, start, final = random.Random(11), defaultdict(list), 0, 0
    for line in fsg_file.read_text(encoding="utf-8").splitlines():
        match line.split():
            case ["START_STATE", number]:
                start = int(number)
            case ["FINAL_STATE", number]:
                final = int(number)
            case ["TRANSITION", source, target, _, *word]:
                leads[int(source)].append((int(target), word))
    for _ in range(count):
        at, words = start, list[str]()
        while at != final:
            at, word = chance.choice(leads[at])
            words += word
        yield " ".join(words)


@EVERY_STATE
def test_whatever_the_speech_engine_can_hear_is_understood(state: DinnerState, tmp_path: Path) -> None:
    offered = sayable(state, NOW)
    file = tmp_path / "dinner.fsg"
    compiled(offered.jsgf()).writefile(str(file))
    heard = list(walks(file, 150))
    assert len(set(heard)) > 50
    assert [text for text in heard if not offered.accepts(text)] == []
    assert [text for text in heard if isinstance(understand(text, state).command, Unclear)] == []


# The network of words, which is the same grammar without copies of rules.


def ways(network: Network) -> dict[int, list[Arc]]:
    found: dict[int, list[Arc]] = defaultdict(list)
    for arc in network.arcs:
        found[arc.source].append(arc)
    return found


def takes(network: Network, text: str) -> bool:
    """Whether a network holds a text; it has one arc a word, so there is one way to go."""
    at, onward = 0, ways(network)
    for word in text.split():
        targets = [arc.target for arc in onward[at] if arc.word == word]
        if not targets:
            return False
        at = targets[0]
    return at == network.final or any(arc.word is None for arc in onward[at])


@EVERY_STATE
def test_network_has_one_way_for_a_word_and_whole_shares(state: DinnerState) -> None:
    network = sayable(state, NOW).network()
    for arcs in ways(network).values():
        assert len({arc.word for arc in arcs}) == len(arcs)
        assert sum(arc.share for arc in arcs) == pytest.approx(1.0, abs=1e-3)
    assert {arc.target for arc in network.arcs} | {0} == set(range(network.final + 1))
    assert not ways(network)[network.final]


@EVERY_STATE
def test_network_and_jsgf_hold_the_same_texts(state: DinnerState, tmp_path: Path) -> None:
    offered = sayable(state, NOW)
    engine, network = compiled(offered.jsgf()), offered.network()
    engine.writefile(str(tmp_path / "dinner.fsg"))
    heard = [*offered.candidates(), *walks(tmp_path / "dinner.fsg", 150)]
    assert [text for text in heard if not takes(network, text)] == []
    assert [text for text in drawn(network, 150) if not engine.accept(text)] == []


def test_with_and_without_the_address_phrase_the_rest_of_the_network_is_the_same() -> None:
    book = sayable(BUSY, NOW).book
    called, plain = (book.network("hey kitchen", is_needed) for is_needed in (True, False))
    assert {id(arc) for arc in called.arcs if arc.source >= 2} == {
        id(arc) for arc in plain.arcs if arc.source >= 2
    }
    assert takes(called, "hey kitchen heard")
    assert not takes(called, "heard")
    assert takes(plain, "hey kitchen heard")
    assert takes(plain, "heard")


@pytest.mark.parametrize("address", ["hold kitchen", "how about it"])
def test_an_address_phrase_may_begin_as_a_command_does(address: str) -> None:
    book = sayable(BUSY, NOW).book
    network, alone = book.network(address, needs_address=False), book.network("", needs_address=True)
    for arcs in ways(network).values():
        assert len({arc.word for arc in arcs}) == len(arcs)
    for text in drawn(alone, 50):
        assert takes(network, text)
        assert takes(network, f"{address} {text}")
    assert not takes(network, address)


def drawn(network: Network, count: int) -> Iterator[str]:
    chance, onward = random.Random(5), ways(network)
    for _ in range(count):
        at, words = 0, list[str]()
        while at != network.final:
            arc = chance.choices(onward[at], [arc.share for arc in onward[at]])[0]
            at = arc.target
            words += [arc.word] if arc.word else []
        yield " ".join(words)


def test_network_draws_likely_words_more_often() -> None:
    said = [text.removeprefix("hey kitchen ") for text in drawn(sayable(BUSY, NOW).network(), 2000)]
    leeks = sum("leeks" in text for text in said)
    assert said.count("heard") > 50
    assert leeks > sum("grain" in text for text in said) > 0
    assert leeks > sum("eggs" in text for text in said) > 0


def test_speech_engine_takes_the_network() -> None:
    offered = sayable(BUSY, NOW)
    decoder, network = pocketsphinx.Decoder(lm=None, loglevel="FATAL"), offered.network()
    arcs = [(a.source, a.target, a.share, *([a.word] if a.word else [])) for a in network.arcs]
    engine = decoder.create_fsg("dinner", 0, network.final, arcs)
    assert [text for text in offered.candidates() if not engine.accept(text)] == []
    assert not engine.accept("hey kitchen carry on")
    assert not engine.accept("heard")


def test_network_is_a_fraction_of_what_the_engine_makes_of_the_jsgf(tmp_path: Path) -> None:
    offered = sayable(BUSY, NOW)
    file = tmp_path / "dinner.fsg"
    compiled(offered.jsgf()).writefile(str(file))
    assert len(offered.network().arcs) * 4 < file.read_text(encoding="utf-8").count("TRANSITION")


def test_two_ways_to_say_one_thing_mean_the_same() -> None:
    told = sayable(is_open(BUSY), NOW)
    assert (
        told.meaning("what's next") == told.meaning("what is next") == told.meaning("hey kitchen what's next")
    )
    assert told.meaning("what's next") != told.meaning("yes")
    assert told.meaning("the lighthouse is far away") is None
    assert told.meaning("") is None


def test_a_grammar_that_has_read_many_texts_still_reads_them_alike() -> None:
    offered = sayable(BUSY, NOW)
    meant = offered.meaning("hey kitchen heard")
    for number in range(1100):
        assert not offered.accepts(f"hey kitchen heard {number}")
    assert offered.accepts("hey kitchen heard")
    assert offered.meaning("hey kitchen heard") == meant
    assert meant is not None
