"""Every language is whole: one contract, one line each. What it says, hears and shows; no English left."""

import re
from collections.abc import Iterator
from random import Random
from string import Formatter

import pytest
from num2words import num2words

from kitchend.core.board_words import TABLES
from kitchend.core.clock import TimeOfDay
from kitchend.core.commands import Unclear
from kitchend.core.dinner import begin
from kitchend.core.grammar import Heard
from kitchend.core.intents import understand
from kitchend.core.languages import LANGUAGES
from kitchend.core.languages.language import Language
from kitchend.core.numbers import clock_texts, duration_texts, number_of, words_of
from kitchend.core.phrases import full_book
from kitchend.core.plan import Plan
from kitchend.core.safety_rules import words_in
from kitchend.core.state import DinnerState, Manners
from kitchend.core.tongue import language_of, speaking, tongue
from kitchend.files.plan_yaml import read_plan

PLANS = {"en": "plans/boathouse-sunday.yaml", "ko": "plans/ko/pine-hill-supper.yaml"}
"""A line a language: a demo plan written in it."""

AGREEING = frozenset({"be"})
"""What stands in a sentence only where verbs agree with things."""

ENGLISH = LANGUAGES["en"]
every_language = pytest.mark.parametrize("language", LANGUAGES.values(), ids=LANGUAGES)
every_other = pytest.mark.parametrize(
    "language", [one for one in LANGUAGES.values() if one is not ENGLISH], ids=LANGUAGES.keys() - {"en"}
)


def fields(template: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(template) if name}


def dinner(language: Language) -> DinnerState:
    """A dinner of the language's demo plan, and one on the menu."""
    plan: Plan = read_plan(PLANS[language.tag])
    manners = Manners(language=language.tag, address=language.address)
    return DinnerState(manners=manners, plan=plan, menu=(plan.name,))


def latin(text: str) -> str:
    """The Latin letters of a template itself; keys of a plan (in backticks) and units do not count."""
    bare = re.sub(r"`[^`]*`|\{\w+\}|(?<![A-Za-z])(?:[CF]|dB)(?![A-Za-z])", "", text)
    return "".join(re.findall(r"[A-Za-z]+", bare))


def test_every_language_has_a_demo_plan() -> None:
    assert PLANS.keys() == LANGUAGES.keys() == TABLES.keys()
    assert all(read_plan(path).language == tag for tag, path in PLANS.items())


@every_language
def test_every_sentence_is_there_with_its_fields(language: Language) -> None:
    assert language.sentences.keys() == ENGLISH.sentences.keys()
    # The English names a step that is done by thing and verb; another language may name it by its own name.
    naming = {"is.done", "is.doing"}
    for key, template in ENGLISH.sentences.items():
        wanted = fields(template) - AGREEING
        found = fields(language.sentences[key]) - AGREEING
        assert found == wanted or (key in naming and found <= wanted | {"name"}), key


@every_language
def test_every_word_of_the_board_is_there_with_its_fields(language: Language) -> None:
    assert language.board.keys() == ENGLISH.board.keys()
    for key, template in ENGLISH.board.items():
        assert fields(language.board[key]) == fields(template), key


@every_language
def test_every_kind_of_food_and_place_has_words_in_lower_case(language: Language) -> None:
    assert language.foods.keys() == ENGLISH.foods.keys()
    for key, words in language.foods.items():
        assert words.split(), key
        assert words == words.casefold(), key
        assert not [word for word in words.split() if words_in(word) != {word}], key


@every_language
def test_the_made_up_cook_has_words_for_everything(language: Language) -> None:
    assert language.cook.keys() == ENGLISH.cook.keys()
    for key, ways in ENGLISH.cook.items():
        wanted = {name for way in ways for name in fields(way)} - AGREEING
        assert all(fields(way) - AGREEING <= wanted for way in language.cook[key]), key
        assert language.cook[key], key


@every_other
def test_no_english_is_left(language: Language) -> None:
    tables = (language.sentences, language.board)
    assert {key: text for table in tables for key, text in table.items() if latin(text)} == {}
    assert not [way for ways in language.cook.values() for way in ways if latin(way)]
    assert not [word for word in language.door_words if latin(word)]
    assert not latin(" ".join(language.foods.values()))
    assert not latin(language.address)


@every_language
def test_door_words_are_many_and_each_is_one_word(language: Language) -> None:
    assert len(language.door_words) == len(set(language.door_words)) == 256
    assert all(word.isalpha() for word in language.door_words)


@every_language
def test_every_number_is_said_and_read_back(language: Language) -> None:
    with speaking(language.tag):
        assert [number_of(words_of(n)) for n in range(1000)] == list(range(1000))


def test_korean_numbers_are_those_of_num2words() -> None:
    with speaking("ko"):
        assert [words_of(n) for n in range(1000)] == [
            num2words(n, lang="ko").replace(" ", "") for n in range(1000)
        ]


@every_language
def test_numbers_beyond_those_with_words_are_refused(language: Language) -> None:
    for n in (-1, 1000):
        with pytest.raises(ValueError, match="no words"):
            language.numbers.words_of(n)


@every_language
def test_durations_and_times_have_one_value_each(language: Language) -> None:
    with speaking(language.tag):
        spans = [(text, s) for s in (*range(1, 120), *range(60, 36_000, 60)) for text in duration_texts(s)]
        assert len({text for text, _ in spans}) == len(set(spans))
        times = [
            (text, TimeOfDay(hour, minute))
            for hour in range(24)
            for minute in range(60)
            for text in clock_texts(TimeOfDay(hour, minute))
        ]
        assert len({text for text, _ in times}) == len(set(times))


def rules_of(language: Language) -> list[str]:
    return list(dict.fromkeys(phrase.rule for phrase in language.phrases))


@every_language
def test_the_same_intents_can_be_said(language: Language) -> None:
    assert set(rules_of(language)) == set(rules_of(ENGLISH))


@every_language
def test_every_phrase_is_read_as_something(language: Language) -> None:
    """A sample of everything in the full book, each rule many times; what the book says, the parser reads."""
    state = dinner(language)
    book = full_book(state)
    rng = Random(7)
    with speaking(language.tag):
        said = [book.sampled(rng.randrange) for _ in range(1500)]
    lost = [text for text in said if text and isinstance(understand(text, state).command, Unclear)]
    # Words may be put together at random to more than any command has.
    assert [text for text in lost if len(Heard.of(text).bare) <= 40] == []


@every_language
def test_the_address_phrase_is_known_with_and_without_what_follows(language: Language) -> None:
    state = dinner(language)
    understood = understand(f"{language.address} {language.cook['ask next'][0]}", state)
    assert understood.is_addressed
    assert not isinstance(understood.command, Unclear)


def ways(language: Language) -> Iterator[str]:
    for key in ("heard", "undo", "yes", "no", "ask next", "ask on", "ask pass", "ask on time", "ask again"):
        yield from language.cook[key]


@every_language
def test_what_the_made_up_cook_says_is_understood(language: Language) -> None:
    state = dinner(language)
    assert [way for way in ways(language) if isinstance(understand(way, state).command, Unclear)] == []
    chatter = language.cook["chatter"]
    assert [way for way in chatter if not isinstance(understand(way, state).command, Unclear)] == []


def test_an_unknown_language_is_english() -> None:
    assert language_of("xx") is ENGLISH
    with speaking("xx"):
        assert tongue() is ENGLISH
    assert begin().language == "en"
