"""The second ear's features, against published values of the mel scale and properties of its filters."""

import numpy as np
import pytest

from kitchend.hearing.mel import BANDS, filterbank, hz_from_mel, log_mel, mel_from_hz

# M. Slaney, "Auditory Toolbox", Interval Research technical report 1998-010: 200/3 Hz a mel up to 1 kHz, then
# 27 steps for a factor of 6.4; so 1 kHz is mel 15 and 6.4 kHz is mel 42.
SLANEY = [(0.0, 0.0), (200.0, 3.0), (1000.0, 15.0), (6400.0, 42.0)]


@pytest.mark.parametrize(("hz", "mel"), SLANEY)
def test_mel_scale_meets_slaneys_points(hz: float, mel: float) -> None:
    assert mel_from_hz(np.array([hz]))[0] == pytest.approx(mel)
    assert hz_from_mel(np.array([mel]))[0] == pytest.approx(hz)


def test_filters_reach_from_nothing_to_half_the_sampling_rate_and_cover_all_between() -> None:
    bank = filterbank()
    assert bank.shape == (BANDS, 201)
    assert (bank >= 0).all()
    assert (bank.sum(axis=1) > 0).all()
    assert (bank[:, 1:-1].sum(axis=0) > 0).all()


def test_filters_have_equal_areas_as_slaney_normalises_them() -> None:
    # triangles of height 2 / width have area 1; the highest are sampled finely enough at 40 Hz to show it
    areas = filterbank()[60:].sum(axis=1) * 40.0
    assert areas == pytest.approx(np.ones(20), abs=0.05)


def test_a_tone_stands_out_in_the_band_around_its_frequency() -> None:
    tone = np.sin(2 * np.pi * 1000.0 * np.arange(16_000) / 16_000).astype(np.float32)
    loudest = int(log_mel(tone).mean(axis=1).argmax())
    centres = hz_from_mel(np.linspace(0.0, mel_from_hz(np.array([8000.0]))[0], BANDS + 2))[1:-1]
    assert abs(centres[loudest] - 1000.0) < 40.0


def test_silence_is_even_and_ten_milliseconds_make_a_column() -> None:
    mel = log_mel(np.zeros(16_000, np.float32))
    assert mel.shape == (BANDS, 100)
    assert mel.dtype == np.float32
    assert (mel == mel[0, 0]).all()
    assert mel[0, 0] == pytest.approx((-10.0 + 4.0) / 4.0)


def test_loudness_spans_at_most_eight_powers_of_ten() -> None:
    sound = np.zeros(16_000, np.float32)
    sound[8000:8400] = np.random.default_rng(1).normal(size=400)
    mel = log_mel(sound)
    assert mel.max() - mel.min() == pytest.approx(8.0 / 4.0)
