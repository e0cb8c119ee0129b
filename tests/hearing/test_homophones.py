"""Words that sound alike are the same to the ear; CMUdict, as PocketSphinx brings it, says which do."""

from __future__ import annotations

import pytest

from kitchend.hearing.homophones import nearly_alike, sound_alike


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


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("rest the salmon", "baste the salmon"),
        ("stop whispering", "start whispering"),
        ("rub the ham", "wrap ham"),
        ("hold the leeks", "fold the leeks"),
    ],
)
def test_a_sound_or_two_is_nearly_alike(one: str, other: str) -> None:
    assert nearly_alike(one, other)
    assert nearly_alike(other, one)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        pytest.param("carve the salmon", "baste the salmon", id="another word"),
        pytest.param("yes", "no", id="short words with nothing in common"),
        pytest.param("hold it", "hold it now", id="a word more"),
        pytest.param("grill the skrei", "grill the sprei", id="words it does not know"),
        pytest.param("hold it", "hold it", id="the same"),
    ],
)
def test_other_words_are_not_nearly_alike(one: str, other: str) -> None:
    assert not nearly_alike(one, other)
