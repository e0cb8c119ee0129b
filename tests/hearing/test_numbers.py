"""Numbers as the listener meets them, against num2words (an independent speller of numbers)."""

import pytest
from num2words import num2words

from kitchend.core.tongue import speaking
from kitchend.hearing.numbers import (
    PARTNER,
    but_for_numbers,
    number_spans,
    others,
    partners,
    spelled,
    spoken,
    with_numbers_of,
)


def test_numbers_are_spelled_as_num2words_spells_them() -> None:
    for number in range(1000):
        theirs = num2words(number).replace("-", " ")
        assert theirs in spoken(number), number


@pytest.mark.parametrize(
    ("written", "ways"),
    [
        pytest.param(" 5 more minutes on the greens.", ("five more minutes on the greens",), id="digits"),
        pytest.param("Serve at 7:30.", ("serve at seven thirty",), id="clock"),
        pytest.param(
            "Oven reads 190",
            tuple(f"oven reads {way}" for way in spoken(190)),
            id="several ways of saying it",
        ),
        pytest.param("What's next?", ("what's next",), id="apostrophe"),
        pytest.param("About 1234 people", (), id="too large to be said here"),
        pytest.param("", ("",), id="nothing"),
    ],
)
def test_written_text_is_spelled_out(written: str, ways: tuple[str, ...]) -> None:
    assert spelled(written) == ways


def test_many_numbers_give_no_more_than_eight_ways() -> None:
    assert len(spelled("190 190 190 190")) == 8


def test_partners_are_mutual() -> None:
    assert all(PARTNER[other] == word for word, other in PARTNER.items())


def test_each_number_word_is_exchanged_for_what_it_is_mistaken_for() -> None:
    assert list(partners("fifteen minutes at five")) == ["fifty minutes at five", "fifteen minutes at nine"]
    assert list(partners("greens are on")) == []


def test_runs_of_number_words_are_found() -> None:
    assert number_spans("serve at seven thirty for six") == ((2, 4), (5, 6))


def test_texts_that_differ_in_numbers_alone_are_one_but_for_them() -> None:
    assert but_for_numbers("serve at seven thirty for six") == "serve at # for #"
    assert but_for_numbers("serve at eight for twenty two") == "serve at # for #"
    assert but_for_numbers("greens are on") == "greens are on"


def test_numbers_are_carried_over_from_what_was_heard() -> None:
    assert list(with_numbers_of("two more minutes on the rice", "seventeen more minutes on rise")) == [
        "seventeen more minutes on the rice"
    ]


@pytest.mark.parametrize(
    ("written", "said"),
    [("생선 63도.", "생선 육십삼 도"), ("7시 반에 먹자", "일곱 시 반에 먹자"), ("밥 5분 더", "밥 오 분 더")],
)
def test_numbers_are_spelled_out_in_the_language_spoken(written: str, said: str) -> None:
    with speaking("ko"):
        assert spelled(written) == (said,)


def test_numbers_are_exchanged_for_others_of_their_kind() -> None:
    found = list(others("oven at two forty"))
    assert "oven at three forty" in found
    assert "oven at two fifty" in found
    assert "oven at two fifteen" in found
    assert "oven at two forty" not in found
    assert len(found) == len(set(found)) == 11 + 14
    assert list(others("greens are on")) == []
