"""The chimes against the published figures for alarm sounds, measured on the sound itself."""

from itertools import combinations, pairwise

import numpy as np
import pytest

from kitchend.core.effects import CallKind
from kitchend.speaking.chimes import TUNES, chime
from kitchend.speaking.sound import Sound, from_samples

KINDS = tuple(TUNES)


def sound_of(kind: str) -> Sound:
    sound = chime(kind)
    assert sound is not None
    return sound


def pulses(sound: Sound) -> list[Sound]:
    """The sound cut wherever it falls silent for 10 ms or more."""
    loud = np.flatnonzero(np.abs(sound.samples) > 0.003)
    cuts = np.flatnonzero(np.diff(loud) > sound.rate // 100)
    starts, ends = np.r_[loud[0], loud[cuts + 1]], np.r_[loud[cuts], loud[-1]]
    return [from_samples(sound.samples[a : b + 1], sound.rate) for a, b in zip(starts, ends, strict=True)]


def peaks(pulse: Sound) -> list[tuple[float, float]]:
    """(Hz, dB against the strongest) of every spectral peak less than 20 dB down."""
    size = 8 * len(pulse.samples)
    level = np.abs(np.fft.rfft(pulse.samples * np.hanning(len(pulse.samples)), size))
    level_db = 20 * np.log10(level / level.max() + 1e-12)
    middle = level_db[1:-1]
    at = 1 + np.flatnonzero((middle > level_db[:-2]) & (middle >= level_db[2:]) & (middle > -20))
    return [(float(i * pulse.rate / size), float(level_db[i])) for i in at]


@pytest.mark.parametrize("kind", KINDS)
def test_every_pulse_has_the_spectrum_of_a_published_alarm_pulse(kind: str) -> None:
    # IEC 60601-1-8 as given at https://www.puiaudio.com/pages/iec-60601-1-8 : fundamental 150 to 1000 Hz, at
    # least four harmonics in 300 to 4000 Hz within 15 dB of it.
    for pulse in pulses(sound_of(kind)):
        found = peaks(pulse)
        fundamental, level = found[0]
        assert 150 <= fundamental <= 1000
        close = [hz for hz, db in found[1:] if 300 <= hz <= 4000 and abs(db - level) <= 15]
        harmonics = [hz for hz in close if abs(hz / fundamental - round(hz / fundamental)) < 0.03]
        assert len(harmonics) >= 4


@pytest.mark.parametrize("kind", KINDS)
def test_a_chime_is_short(kind: str) -> None:
    assert 0.25 <= sound_of(kind).duration_s <= 0.5


@pytest.mark.parametrize("kind", KINDS)
def test_a_chime_does_not_click(kind: str) -> None:
    sound = sound_of(kind)
    assert treble_db(sound) < -60
    cut_hard = from_samples(sound.samples[round(0.02 * sound.rate) :], sound.rate)
    assert treble_db(cut_hard) > -60, "the measure must know a click when it hears one"


def treble_db(sound: Sound) -> float:
    """Power above 6 kHz, where no harmonic is, against all power; a step in the sound shows up here."""
    padded = np.r_[np.zeros(64), sound.samples, np.zeros(64)]
    power = np.abs(np.fft.rfft(padded)) ** 2
    above = np.fft.rfftfreq(len(padded), 1 / sound.rate) > 6_000
    return float(10 * np.log10(power[above].sum() / power.sum()))


@pytest.mark.parametrize("kind", KINDS)
def test_a_chime_neither_clips_nor_drowns_the_words(kind: str) -> None:
    sound = sound_of(kind)
    assert sound.peak <= 0.95
    assert 0.1 < np.sqrt(np.mean(sound.samples[np.abs(sound.samples) > 0.01] ** 2)) < 0.2


def test_chimes_are_told_apart_by_tune() -> None:
    tunes = {kind: [round(peaks(pulse)[0][0]) for pulse in pulses(sound_of(kind))] for kind in KINDS}
    for one, other in combinations(KINDS, 2):
        same_length = len(tunes[one]) == len(tunes[other])
        assert not same_length or _direction(tunes[one]) != _direction(tunes[other])
    # MIL-STD-1472E 5.3: no more than four signals where each must be known for itself.
    assert len(KINDS) <= 4


def _direction(tune: list[int]) -> list[int]:
    return [int(np.sign(b - a)) for a, b in pairwise(tune)]


def test_every_kind_of_call_but_a_reply_has_a_chime() -> None:
    with_chime = {kind for kind in CallKind if chime(kind.value) is not None}
    assert with_chime == set(CallKind) - {CallKind.REPLY}


def test_an_unknown_kind_has_no_chime() -> None:
    assert chime("gong") is None
