"""The made-up cooks: who is there, that they are repeatable, and that none of them is kitchend."""

import numpy as np
import pytest

from kitchend.errors import DeviceError
from kitchend.rehearsal.cook_voices import FESTIVAL_VOICES, FLITE_VOICES, available, cook_voice

PHRASE = "five more minutes on the squash"
PROGRAMS = (*FLITE_VOICES, *FESTIVAL_VOICES)


def test_kitchends_own_voice_is_no_cook() -> None:
    assert "espeak" not in available()
    assert "piper" not in available(kitchends_own="piper")
    assert set(available(kitchends_own="piper")) <= set(available())


def test_every_cook_who_is_named_can_be_had() -> None:
    if not available():
        pytest.skip("no cook's voice is installed: sudo apt-get install flite")
    for name in available(kitchends_own="piper"):
        assert cook_voice(name).render("beans").duration_s > 0.1


@pytest.mark.parametrize("name", PROGRAMS)
def test_a_seed_always_gives_the_same_sound_and_another_seed_another_pace(name: str) -> None:
    if name not in available():
        pytest.skip(f"the cook's voice {name} is not installed")
    one, again = (cook_voice(name, seed=4).render(PHRASE).samples for _ in range(2))
    assert np.array_equal(one, again)
    lengths = {round(cook_voice(name, seed=seed).render(PHRASE).duration_s, 2) for seed in range(4)}
    assert len(lengths) > 1
    plain = cook_voice(name).render(PHRASE).duration_s
    assert all(0.85 * plain < length < 1.2 * plain for length in lengths)


def test_cooks_do_not_sound_alike() -> None:
    there = [name for name in FLITE_VOICES if name in available()]
    if len(there) < 2:
        pytest.skip("fewer than two of flite's voices are installed")
    assert len({cook_voice(name).render(PHRASE).samples.tobytes() for name in there}) == len(there)


def test_a_name_nobody_has_is_one_line_with_those_who_are_there() -> None:
    with pytest.raises(DeviceError) as caught:
        cook_voice("grandmother")
    assert str(caught.value).startswith("cook's voice: nobody is called 'grandmother'; choose from: ")


@pytest.mark.parametrize("name", PROGRAMS)
def test_a_machine_without_the_program_hears_how_to_get_it(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", "/nonexistent")
    assert not set(available()) & set(PROGRAMS)
    with pytest.raises(DeviceError) as caught:
        cook_voice(name)
    assert "not installed; install it with: sudo apt-get install " in str(caught.value)
    assert "\n" not in str(caught.value)
