"""How loud kitchend speaks: by the noise, by the way to the microphone, and within the cook's limits."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.service.loudness import (
    ABOVE_DB,
    OWN_RMS_DB,
    Loudness,
    RoomNoise,
    a_level,
    a_weights,
    keep_way,
    kept_way,
)
from kitchend.speaking.chimes import TUNES, chime
from kitchend.speaking.ports import PLAIN, WHISPER_DB, Manner
from kitchend.speaking.sound import Sound, from_samples

CHUNK = 512


def hiss(level_db: float, seconds: float = 4.0, seed: int = 1) -> Samples:
    """Noise of about this level, A-weighted."""
    noise = np.random.default_rng(seed).normal(0, 1, int(seconds * SAMPLE_RATE)).astype(np.float32)
    return (noise * 10 ** ((level_db - a_level(noise, SAMPLE_RATE)) / 20)).astype(np.float32)


def room(level_db: float) -> RoomNoise:
    noise = RoomNoise()
    for part in hiss(level_db).reshape(-1, CHUNK):
        noise.take(part)
    return noise


def loudness(noise: RoomNoise, way_db: float | None, least: float = -40.0, most: float = -6.0) -> Loudness:
    return Loudness(noise, lambda: way_db, least_db=least, most_db=most)


@pytest.mark.parametrize(
    ("hertz", "weight_db"),
    # IEC 61672-1, table of A-weighting, the nominal frequencies (from memory).
    [
        (50, -30.2),
        (100, -19.1),
        (200, -10.9),
        (500, -3.2),
        (1000, 0.0),
        (2000, 1.2),
        (4000, 1.0),
        (8000, -1.1),
    ],
)
def test_tones_weigh_what_the_standard_says(hertz: int, weight_db: float) -> None:
    assert 10 * np.log10(a_weights(48_000, 48_000)[hertz]) == pytest.approx(weight_db, abs=0.15)


def test_a_full_scale_tone_of_a_kilohertz_is_three_decibels_below_full_scale() -> None:
    tone = np.sin(2 * np.pi * 1000 * np.arange(SAMPLE_RATE) / SAMPLE_RATE).astype(np.float32)
    assert a_level(tone, SAMPLE_RATE) == pytest.approx(-3.0, abs=0.1)
    assert a_level(tone[:0], SAMPLE_RATE) == -100.0


def test_the_noise_is_what_it_is_and_a_pot_put_down_is_left_out() -> None:
    noise = room(-50.0)
    assert noise.level_db == pytest.approx(-50.0, abs=0.7)
    for _ in range(5):
        noise.take(hiss(-10.0)[:CHUNK])
    assert noise.level_db == pytest.approx(-50.0, abs=0.7)


def test_a_room_not_heard_for_long_has_no_level() -> None:
    noise = RoomNoise()
    noise.take(hiss(-50.0)[:CHUNK])
    assert noise.level_db is None


@pytest.mark.parametrize("kind", TUNES)
@pytest.mark.parametrize(("noise_db", "way_db"), [(-45.0, 0.0), (-55.0, -18.0), (-50.0, 6.0)])
def test_a_chime_is_fifteen_decibels_above_the_noise_at_the_microphone(
    kind: str, noise_db: float, way_db: float
) -> None:
    # ISO 7731, as cited in the Ontario Building Code, appendix to 3.2.4.22: 15 dB above ambient, A-weighted.
    signal = chime(kind)
    assert signal is not None
    played = loudness(room(noise_db), way_db).fitted(signal)
    loud = played.samples[np.abs(played.samples) > 0.03 * played.peak]
    level = a_level(played.samples, played.rate) + 10 * np.log10(len(played.samples) / len(loud))
    assert noise_db + ABOVE_DB <= level + way_db <= noise_db + ABOVE_DB + 4


def test_it_stays_within_the_cooks_limits() -> None:
    assert loudness(room(-90.0), 0.0, least=-36.0).level_db() == -36.0
    assert loudness(room(-12.0), 0.0, most=-10.0).level_db() == -10.0
    assert loudness(room(-12.0), 0.0, most=-10.0).level_db(Manner(louder_db=12.0)) == -10.0


def test_while_nothing_is_known_it_is_as_loud_as_it_always_was() -> None:
    assert loudness(RoomNoise(), 0.0).level_db() == pytest.approx(OWN_RMS_DB)
    assert loudness(room(-50.0), None).level_db() == pytest.approx(OWN_RMS_DB)


def test_louder_softer_and_a_whisper_change_it_by_so_much() -> None:
    usual = loudness(room(-50.0), 0.0)
    assert usual.level_db(Manner(louder_db=6.0)) == pytest.approx(usual.level_db() + 6.0)
    assert usual.level_db(Manner(louder_db=-4.0)) == pytest.approx(usual.level_db(PLAIN) - 4.0)
    assert usual.level_db(Manner(is_whisper=True)) == pytest.approx(usual.level_db() + WHISPER_DB)
    assert loudness(room(-90.0), 0.0, least=-36.0).level_db(Manner(is_whisper=True)) == -36.0 + WHISPER_DB


def test_nothing_clips_however_loud_it_is_to_be() -> None:
    shout = loudness(room(-10.0), 0.0, most=-3.0).fitted(_words())
    assert shout.peak <= 0.95
    level = np.sqrt(np.mean(shout.samples[np.abs(shout.samples) > 0.03] ** 2))
    assert 20 * np.log10(level) > OWN_RMS_DB + 5


def _words() -> Sound:
    at = np.arange(32_000) / SAMPLE_RATE
    voice = np.sin(2 * np.pi * 140 * at) + np.sin(2 * np.pi * 700 * at)
    return from_samples(voice * np.sin(2 * np.pi * 2 * at) ** 4, SAMPLE_RATE).levelled(0.16)


def test_what_a_soundcheck_measured_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "state" / "loudspeaker.json"
    assert kept_way(path) is None
    keep_way(path, -17.34)
    assert kept_way(path) == -17.3


@pytest.mark.parametrize("text", ["", "{}", "[1]", '{"way_db": null}', '{"way_db": 1e9}', "\x00"])
def test_a_file_that_cannot_be_read_is_no_measurement(tmp_path: Path, text: str) -> None:
    path = tmp_path / "loudspeaker.json"
    path.write_text(text)
    assert kept_way(path) is None
