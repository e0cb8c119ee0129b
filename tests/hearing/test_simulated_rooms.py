"""The rooms that the listener is measured in: they follow the physics they claim."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from kitchend.hearing.ports import SAMPLE_RATE
from tests.bench.hear.rooms import ROOMS, SOUND_M_S, Room, heard_in, response

NAMES = [room.name for room in ROOMS]


def decay_s(clicked: NDArray[np.float64]) -> float:
    """The time to fall by 60 dB, from the fall between 5 and 25 dB (ISO 3382-2, T20; Schroeder)."""
    left = np.cumsum(clicked[::-1] ** 2)[::-1]
    fall_db = 10 * np.log10(left / left[0] + 1e-12)
    return float(3 * (np.argmax(fall_db < -25) - np.argmax(fall_db < -5)) / SAMPLE_RATE)


@pytest.mark.parametrize("room", ROOMS, ids=NAMES)
def test_sound_takes_its_time_from_mouth_to_microphone(room: Room) -> None:
    far_m = float(np.linalg.norm(np.subtract(room.mouth, room.microphone)))
    loudest = int(np.argmax(np.abs(response(room))))
    assert loudest / SAMPLE_RATE == pytest.approx(far_m / SOUND_M_S, abs=1.5 / SAMPLE_RATE)


@pytest.mark.parametrize("room", ROOMS, ids=NAMES)
def test_a_room_dies_away_as_eyring_says(room: Room) -> None:
    # Eyring assumes that sound comes from everywhere alike; with the mouth near it takes somewhat longer
    assert decay_s(response(room)) == pytest.approx(room.reverberation_s, rel=0.25)


def test_walls_that_swallow_all_leave_the_straight_way_only() -> None:
    dead = replace(ROOMS[0], absorption=0.9999)
    clicked = response(dead)
    loudest = int(np.argmax(np.abs(clicked)))
    near = slice(loudest - 2, loudest + 3)
    assert np.sum(clicked[near] ** 2) > 0.9 * np.sum(clicked**2)


def test_a_voice_keeps_its_level_in_a_room() -> None:
    voice = np.random.default_rng(1).normal(0.0, 0.1, SAMPLE_RATE).astype(np.float32)
    wet = heard_in(voice, response(ROOMS[1]))[: len(voice)]
    assert float(np.std(wet)) == pytest.approx(float(np.std(voice)), rel=0.01)
