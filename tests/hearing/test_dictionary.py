"""The dictionary read word by word says what the engine's own reading of the whole file says."""

from pathlib import Path

import pytest
from pocketsphinx import Decoder, get_model_path

from kitchend.hearing.dictionary import Dictionary

FOLDER = Path(get_model_path("en-us"))


@pytest.fixture(scope="module")
def dictionary() -> Dictionary:
    return Dictionary(FOLDER / "cmudict-en-us.dict")


@pytest.mark.parametrize("word", ["the", "turkey", "roast", "'bout", "zywicki", "a", "greens", "what's"])
def test_a_word_is_said_as_the_engine_says_it(dictionary: Dictionary, word: str) -> None:
    engine = Decoder(
        hmm=str(FOLDER / "en-us"), dict=str(FOLDER / "cmudict-en-us.dict"), lm=None, loglevel="FATAL"
    )
    assert dictionary.phones(word)[:1] == (engine.lookup_word(word),)


def test_every_way_to_say_a_word_is_found(dictionary: Dictionary) -> None:
    assert dictionary.phones("the") == ("DH AH", "DH IY")
    assert len(dictionary.phones("tomato")) == 2


@pytest.mark.parametrize("word", ["kohlrabiest", "", "turkey(2)x", "é"])
def test_what_is_not_there_has_no_phones(dictionary: Dictionary, word: str) -> None:
    assert dictionary.phones(word) == ()


def test_a_small_file_is_read_to_its_last_line(tmp_path: Path) -> None:
    path = tmp_path / "small.dict"
    path.write_text("the DH AH\nthe(2) DH IY\nsquash S K W AA SH", "utf-8")
    assert Dictionary(path).phones("squash") == ("S K W AA SH",)
    assert Dictionary(path).phones("the") == ("DH AH", "DH IY")


def test_many_words_at_once_are_said_as_each_alone(dictionary: Dictionary) -> None:
    words = {"the", "tomato", "'bout", "zywicki", "what's", "kohlrabiest", "", "turkey(2)x", "é", "read"}
    assert dictionary.all_phones(words) == {word: dictionary.phones(word) for word in words}
