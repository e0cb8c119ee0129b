"""Words that sound alike are the same to the ear; CMUdict, as PocketSphinx brings it, says which do."""

from __future__ import annotations

import pytest

from kitchend.hearing.homophones import sound_alike


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("halve tomatoes", "have the tomatoes"),
        ("whisk the flour", "whisk flower"),
        ("baste the meat", "baste the meet"),
        ("steam the leeks", "steam the leaks"),
    ],
)
def test_the_same_sounds_are_alike_however_they_are_written(one: str, other: str) -> None:
    assert sound_alike(one, other)
    assert sound_alike(other, one)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("halve tomatoes", "halve the potatoes"),
        ("five minutes", "nine minutes"),
        ("fifteen minutes", "fifty minutes"),
        ("halve tomatoes", "halve the tomatoes now"),
        ("trim the beans", ""),
        ("grill the zander", "grill the sander"),
    ],
)
def test_other_sounds_other_lengths_and_words_it_does_not_know_are_not(one: str, other: str) -> None:
    assert not sound_alike(one, other)
