"""What a soundcheck makes of sounds whose measures are known beforehand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from kitchend.reports.soundcheck import (
    RATE,
    Repeated,
    SoundCheck,
    clipped_share,
    found_at,
    loudness_of,
    noise_of,
)
from kitchend.speaking.chimes import chime

FINE = SoundCheck(
    input="mic", output="box", noise_db=-60, echo_db=-20, speech_db=-25, clipped=0, round_trip_s=0.2
)


def tone(level: float, seconds: float) -> NDArray[np.float32]:
    """A sine of this peak level."""
    return (level * np.sin(2 * np.pi * 500 * np.arange(int(RATE * seconds)) / RATE)).astype(np.float32)


def test_a_full_scale_sine_is_3_db_below_full_scale() -> None:
    # The RMS of a sine is its peak over the square root of two: 20 log10(1 / sqrt 2) = -3.01 dB.
    assert loudness_of(tone(1.0, 2)) == pytest.approx(-3.01, abs=0.05)
    assert loudness_of(tone(0.1, 2)) == pytest.approx(-23.01, abs=0.05)


def test_noise_is_the_level_of_the_quiet_moments() -> None:
    sound = np.concatenate([tone(0.01, 2), tone(0.5, 1)])
    assert noise_of(sound) == pytest.approx(-43.0, abs=0.2)
    assert loudness_of(sound) == pytest.approx(-9.0, abs=0.2)


def test_silence_has_a_level_and_nothing_has_too() -> None:
    assert noise_of(np.zeros(RATE, np.float32)) == -100
    assert loudness_of(np.zeros(0, np.float32)) == -100


def test_clipping_is_counted() -> None:
    sound = np.zeros(1000, np.float32)
    sound[:30] = 1.0
    sound[30:50] = -1.0
    assert clipped_share(sound) == pytest.approx(0.05)
    assert clipped_share(np.zeros(0, np.float32)) == 0.0


@pytest.mark.parametrize("at_s", [0.0, 0.25, 1.5])
def test_a_chime_is_found_in_noise(at_s: float) -> None:
    sounding = chime("now")
    assert sounding is not None
    sound = sounding.resampled(RATE).samples
    recording = np.random.default_rng(1).normal(0, 0.02, 3 * RATE).astype(np.float32)
    start = int(at_s * RATE)
    recording[start : start + len(sound)] += 0.1 * sound
    assert found_at(sound, recording) == pytest.approx(at_s, abs=0.002)


def test_what_is_not_there_is_not_found() -> None:
    sounding = chime("now")
    assert sounding is not None
    sound = sounding.resampled(RATE).samples
    noise = np.random.default_rng(2).normal(0, 0.1, 3 * RATE).astype(np.float32)
    assert found_at(sound, noise) is None
    assert found_at(sound, np.zeros(3 * RATE, np.float32)) is None
    assert found_at(sound, np.zeros(10, np.float32)) is None


TROUBLES = {
    "muted": ({"noise_db": -100, "echo_db": -100, "speech_db": -100, "round_trip_s": None}, "pure silence"),
    "not heard": ({"round_trip_s": None}, "does not hear the loudspeaker"),
    "overdriven": ({"clipped": 0.01}, "gain down"),
    "loud": ({"noise_db": -30, "speech_db": -10}, "The room is loud"),
    "soft": ({"speech_db": -50}, "too soft"),
    "drowned": ({"noise_db": -45, "speech_db": -36}, "too soft"),
}


@pytest.mark.parametrize(("facts", "words"), TROUBLES.values(), ids=TROUBLES)
def test_a_trouble_has_its_advice(facts: dict[str, float], words: str) -> None:
    check = SoundCheck(**{**{f: getattr(FINE, f) for f in SoundCheck.__slots__}, **facts})
    assert len(check.advice) == 1
    assert words in check.advice[0]
    assert check.to_json()["ok"] is False


UNDERSTOOD = Repeated(asked="hello there", heard="hello there", reason="clear")
TAKEN = Repeated(asked="ten minutes", heard="two minutes", reason="clear")
MISSED = Repeated(asked="stop", heard="", reason="too far from it")


def test_phrases_that_were_not_understood_are_named_and_counted() -> None:
    check = replace(FINE, phrases=(UNDERSTOOD, TAKEN, MISSED))
    (advice,) = check.advice
    assert "2 of 3 phrases" in advice
    assert check.lines()[-4:] == [
        '"hello there": understood',
        '"ten minutes": taken for "two minutes"',
        '"stop": not understood (too far from it)',
        advice,
    ]
    told = check.to_json()["phrases"]
    assert isinstance(told, list)
    assert [one["understood"] for one in told] == [True, False, False]


def test_where_the_sound_is_wrong_that_is_to_be_mended_first() -> None:
    check = replace(FINE, speech_db=-50, phrases=(MISSED,))
    assert [words.split(":")[0] for words in check.advice] == ["Speech is too soft"]
    assert replace(FINE, phrases=(UNDERSTOOD,)).lines()[-1] == "All is well."


def test_when_all_is_well_it_says_so() -> None:
    assert FINE.to_json()["ok"] is True
    assert FINE.lines()[-1] == "All is well."
    assert "200 ms" in FINE.lines()[2]
