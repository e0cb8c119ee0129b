"""Pronunciations written for people; the phones are those of the CMU Pronouncing Dictionary."""

import pytest

from kitchend.hearing.pronounce import ARPABET
from kitchend.hearing.respelled import VOWELS, respelled


@pytest.mark.parametrize(
    ("phones", "read"),
    [
        ("T AH M EY T OW", "tuh-may-toh"),
        ("CH IH M IH CH UH R IY", "chih-mih-choo-ree"),
        ("R IH N S T", "rihnst"),
        ("P AE N K EY K", "pan-kayk"),
        ("AA", "ah"),
        ("", ""),
    ],
)
def test_a_pronunciation_reads_as_it_sounds(phones: str, read: str) -> None:
    assert respelled(phones) == read


def test_every_vowel_that_may_be_made_up_can_be_read() -> None:
    made_up = {phone for phones in ARPABET.values() for phone in phones.split()}
    assert {phone for phone in made_up if phone[0] in "AEIOU"} <= set(VOWELS)
