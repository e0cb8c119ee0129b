"""Own sound is taken out of what the microphone hears, and what somebody else says is left in it."""

from __future__ import annotations

import numpy as np
import pytest

from kitchend.hearing.echo import BLOCK, EchoCanceller
from kitchend.hearing.ports import SAMPLE_RATE, Samples


def rustle(seconds: float, seed: int, level: float = 0.1) -> Samples:
    """Something with the rise and fall of speech, so many syllables a second."""
    chance = np.random.default_rng(seed)
    air = np.convolve(chance.normal(0, 1, int(seconds * SAMPLE_RATE)), np.ones(6) / 6, "same")
    at = np.arange(len(air)) / SAMPLE_RATE
    return (level * air * (0.1 + np.sin(2 * np.pi * 2.5 * at) ** 2)).astype(np.float32)


def way(length: int = 1600, seed: int = 3) -> Samples:
    """A way round a room: direct after 5 ms, then an echo that dies away."""
    chance = np.random.default_rng(seed)
    tail = chance.normal(0, 0.2, length) * np.exp(-np.arange(length) / 300)
    tail[:80] = 0.0
    tail[80] = 0.8
    return tail.astype(np.float32)


def through(canceller: EchoCanceller, heard: Samples, own: Samples) -> Samples:
    blocks = range(0, len(heard) - BLOCK + 1, BLOCK)
    return np.concatenate(
        [canceller.clean(heard[at : at + BLOCK], own[at : at + BLOCK]).samples for at in blocks]
    )


def db(sound: Samples) -> float:
    return float(10 * np.log10(np.mean(np.square(sound, dtype=np.float64)) + 1e-12))


@pytest.fixture(scope="module")
def own() -> Samples:
    return rustle(8.0, seed=1)


@pytest.fixture(scope="module")
def echo(own: Samples) -> Samples:
    return np.convolve(own, way())[: len(own)].astype(np.float32)


def test_an_echo_is_gone_once_the_way_is_known(own: Samples, echo: Samples) -> None:
    left = through(EchoCanceller(), echo, own)
    late = slice(6 * SAMPLE_RATE, None)
    assert db(left[late]) < db(echo[late]) - 30


def test_what_another_says_at_the_same_time_stays(own: Samples, echo: Samples) -> None:
    canceller = EchoCanceller()
    through(canceller, echo, own)
    other = rustle(8.0, seed=2, level=0.08)
    left = through(canceller, echo + other, own)
    # The filter gives each block with the next one.
    said, kept = other[: len(left) - BLOCK], left[BLOCK:]
    assert np.corrcoef(said, kept)[0, 1] > 0.9
    assert abs(db(kept) - db(said)) < 2.0


def test_the_way_is_told_as_it_is(own: Samples, echo: Samples) -> None:
    canceller = EchoCanceller()
    through(canceller, echo, own)
    found = canceller.response
    assert int(np.argmax(np.abs(found))) == 80
    assert np.corrcoef(found[: len(way())], way())[0, 1] > 0.95


def test_the_gain_of_the_way_is_known_in_decibels(own: Samples) -> None:
    canceller = EchoCanceller()
    through(canceller, np.roll(own, 32) * np.float32(0.1), own)
    assert canceller.gain_db == pytest.approx(-20.0, abs=0.5)


def test_what_is_known_outlives_a_rest(own: Samples, echo: Samples) -> None:
    canceller = EchoCanceller()
    through(canceller, echo, own)
    canceller.rest()
    left = through(canceller, echo[: 2 * SAMPLE_RATE], own[: 2 * SAMPLE_RATE])
    assert db(left) < db(echo[: 2 * SAMPLE_RATE]) - 25


def test_silence_teaches_nothing_and_stays_silence() -> None:
    nothing = np.zeros(SAMPLE_RATE, np.float32)
    assert not through(EchoCanceller(), nothing, nothing).any()
