"""Made-up pronunciations, against the CMU Pronouncing Dictionary that PocketSphinx carries."""

import re
from pathlib import Path

import jiwer
import pytest
from pocketsphinx import get_model_path

from kitchend.errors import DeviceError
from kitchend.hearing import pronounce as module
from kitchend.hearing.pronounce import ARPABET, arpabet, pronounce

KITCHEN = (
    "chicken rice greens oven baste roast carve onion garlic butter tomato lemon pepper cabbage mushroom "
    "noodle salmon trout spinach cheese cream sauce vinegar mustard ginger parsley rosemary celery cucumber "
    "lettuce radish turnip squash pumpkin bread flour sugar honey cherry apple orange apricot raisin walnut "
    "almond chestnut pastry biscuit custard pudding sausage bacon turkey pigeon lobster oyster"
).split()


@pytest.fixture(scope="module")
def dictionary() -> dict[str, list[str]]:
    """Pronunciations by word, several for some."""
    found: dict[str, list[str]] = {}
    for line in Path(get_model_path("en-us"), "cmudict-en-us.dict").read_text("utf-8").splitlines():
        word, phones = line.split(maxsplit=1)
        found.setdefault(re.sub(r"\(\d+\)$", "", word), []).append(phones)
    return found


def test_every_phone_of_the_table_is_one_of_the_dictionarys_39(dictionary: dict[str, list[str]]) -> None:
    known = {phone for ways in dictionary.values() for way in ways for phone in way.split()}
    assert len(known) == 39
    assert {phone for phones in ARPABET.values() for phone in phones.split()} <= known


def test_made_up_phones_differ_from_the_dictionarys_in_fewer_than_one_of_ten(
    dictionary: dict[str, list[str]],
) -> None:
    made_up = pronounce(KITCHEN)
    rates = [
        min(float(jiwer.process_words(way, made_up[word]).wer) for way in dictionary[word])
        for word in KITCHEN
    ]
    assert sum(rates) / len(rates) < 0.10


@pytest.mark.parametrize(
    ("ipa", "phones"),
    [
        pytest.param("ɹˈɪnst", "R IH N S T", id="stress is passed over"),
        pytest.param("tʃˈɪmɪtʃˌɜːɹi", "CH IH M IH CH ER IY", id="r after er is one phone"),
        pytest.param("dʒˈʌdʒ", "JH AH JH", id="two signs for one phone"),
        pytest.param("", "", id="nothing"),
    ],
)
def test_ipa_becomes_arpabet(ipa: str, phones: str) -> None:
    assert arpabet(ipa) == phones


def test_words_in_other_letters_are_pronounced_too() -> None:
    assert pronounce(["crème"]) == {"crème": "K R EH M"}


def test_a_missing_espeak_is_one_line_with_the_remedy(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    monkeypatch.setattr(module, "_made_up", {})
    with pytest.raises(DeviceError, match="espeak-ng: not installed; install espeak-ng") as caught:
        pronounce(["schnitzel"])
    assert "\n" not in str(caught.value)
