"""How loud it is in the room: measured where the cook would hear it, with the noise there is."""

from __future__ import annotations

import threading

import numpy as np
import pytest

from kitchend.rehearsal.room import Room, find
from kitchend.service.loudness import ABOVE_DB, Loudness, RoomNoise, a_level
from kitchend.speaking.chimes import chime
from kitchend.speaking.in_memory import BeepVoice
from kitchend.speaking.mouth import SpeakingMouth
from kitchend.speaking.player import SpeakerPlayer
from kitchend.speaking.ports import Manner
from tests.room.test_player_contract import rustle


@pytest.mark.parametrize(
    ("noise_level", "manner", "above_db"),
    [
        (0.004, Manner(), ABOVE_DB),
        (0.02, Manner(), ABOVE_DB),
        (0.02, Manner(louder_db=-5.0), ABOVE_DB - 5.0),
    ],
    ids=["some noise", "more noise", "softer"],
)
def test_a_call_is_so_far_above_the_noise_in_the_room(
    in_room: Room, noise_level: float, manner: Manner, above_db: float
) -> None:
    noise, done = RoomNoise(), threading.Event()
    humming = rustle(4.0, seed=4).levelled(noise_level)
    with in_room.playing(humming):
        heard = in_room.record(2.0, rate=16_000)
    for start in range(0, len(heard.samples) - 512, 512):
        noise.take(heard.samples[start : start + 512])
    noise_db = a_level(heard.samples, heard.rate)
    loudness = Loudness(noise, lambda: 0.0, least_db=-60.0, most_db=-6.0)
    with (
        SpeakingMouth(BeepVoice(), SpeakerPlayer(), fit=loudness.fitted) as mouth,
        in_room.recording() as tape,
    ):
        mouth.say("Loaf in.", "now", manner=manner, on_done=lambda ok: done.set())
        assert done.wait(20)
    signal = chime("now")
    assert signal is not None
    bell = find(signal, tape.sound)
    assert bell.likeness > 0.95
    start = round(bell.at_s * tape.sound.rate)
    part = tape.sound.samples[start : start + round(signal.duration_s * tape.sound.rate)]
    loud = np.abs(part) > 0.03 * np.abs(part).max()
    level_db = a_level(part, tape.sound.rate) - 10 * np.log10(loud.mean())
    assert noise_db + above_db - 1 <= level_db <= noise_db + above_db + 4
