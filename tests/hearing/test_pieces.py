"""Words in pieces a model knows, and Hangul as it sounds: cut, put together, searched."""

import pytest

from kitchend.hearing.letters import length, letters_of
from kitchend.hearing.numbers import partners
from kitchend.hearing.pieces import cut, known_pieces, put_together
from kitchend.hearing.search import apart
from kitchend.hearing.shortlist import same_words
from kitchend.hearing.worth import LEAST, shipped

KNOWN = frozenset("끓였 어요 끓 였어요 된장국 된장 국 을 greens".split())


@pytest.mark.parametrize(
    ("word", "pieces"),
    [
        ("된장국", ("된장국",)),
        ("된장국을", ("된장국", "을")),
        ("끓였어요", ("끓였", "어요")),
        ("greens", ("greens",)),
        ("greenery", None),
        ("김치", None),
        ("국" * 17, None),
    ],
)
def test_a_word_is_cut_into_the_fewest_known_pieces(word: str, pieces: tuple[str, ...] | None) -> None:
    assert cut(word, KNOWN.__contains__) == pieces


def test_what_was_found_is_kept() -> None:
    kept: dict[str, tuple[str, ...] | None] = {}
    words = ("된장국을", "김치")
    assert known_pieces(words, KNOWN.__contains__, kept) == {"된장국을": ("된장국", "을")}
    assert kept["김치"] is None
    assert known_pieces(words, lambda word: False, kept) == {"된장국을": ("된장국", "을")}


def test_pieces_become_the_words_of_the_grammar_again() -> None:
    words: dict[tuple[str, ...], str] = {("된장국", "을"): "된장국을", ("끓였", "어요"): "끓였어요"}
    assert put_together("된장국 을 끓였 어요".split(), words) == ["된장국을", "끓였어요"]
    assert put_together("을 된장국 끓였".split(), words) == ["을", "된장국", "끓였"]
    assert put_together([], {}) == []


def test_hangul_is_compared_as_it_sounds() -> None:
    assert letters_of("시금치") == "sigumci"
    assert letters_of("greens") == "greens"
    assert letters_of("ㅋ1") == "ㅋ1"
    assert length("밥 더") == len("bap do")
    assert length("rice") == 4
    assert apart("시금치 데쳤어요", "시금지 데저써요") < apart("시금치 데쳤어요", "된장국 다 됐어요")


def test_sino_korean_digits_have_partners() -> None:
    assert "생선 오십이 도" in set(partners("생선 육십이 도"))
    assert list(partners("오 분 더")) == ["육 분 더", "구 분 더"]
    assert list(partners("밥 다 됐어요")) == []


def test_a_language_may_have_a_bar_of_its_own() -> None:
    assert shipped("ko").least == LEAST["ko"] != shipped("en").least


def test_spaces_between_hangul_make_no_difference() -> None:
    assert same_words("밥 다 됐어요", "밥다 됐어요")
    assert not same_words("rice now", "ricenow")
