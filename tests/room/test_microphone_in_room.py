"""The microphone for real, in a room without hardware: its rate, its resampling, and a listener behind it."""

import threading
from collections.abc import Iterator
from queue import Queue
from time import perf_counter

import numpy as np
import pytest

from kitchend.hearing import build
from kitchend.hearing.capture import Microphone
from kitchend.hearing.ports import SAMPLE_RATE, Heard, Samples
from kitchend.rehearsal.room import Room
from kitchend.speaking.player import SpeakerPlayer
from kitchend.speaking.sound import Sound
from tests.hearing.conftest import speak as speak
from tests.hearing.menu import dinner

SAID = "five more minutes on the greens"


@pytest.fixture
def microphone(in_room: Room) -> Iterator[Microphone]:
    opened = Microphone()
    yield opened
    opened.close()


def test_a_tone_played_in_the_room_arrives_at_sixteen_kilohertz(microphone: Microphone) -> None:
    tone = np.sin(2 * np.pi * 500.0 * np.arange(2 * 48_000) / 48_000).astype(np.float32) * np.float32(0.3)
    played = threading.Thread(target=SpeakerPlayer().play, args=(Sound(samples=tone, rate=48_000),))
    taken: list[Samples] = []
    for block in microphone.blocks():
        taken.append(block)
        if len(taken) == 1:
            played.start()
        if sum(map(len, taken)) > 3 * SAMPLE_RATE:
            break
    played.join()
    sound = np.concatenate(taken)
    loud = sound[np.abs(sound) > 0.1]
    assert len(loud) > SAMPLE_RATE  # two seconds of tone, most of it above a third of its peak
    spectrum = np.abs(np.fft.rfft(sound))
    assert spectrum.argmax() * SAMPLE_RATE / len(sound) == pytest.approx(500.0, abs=2.0)


def test_a_command_spoken_in_the_room_is_heard(microphone: Microphone, speak: object) -> None:
    assert callable(speak)
    heard: Queue[Heard] = Queue()
    listener = build(ears="both", seconds=perf_counter)
    listener.listen_for(dinner())
    listening = threading.Thread(target=listener.listen, args=(microphone, heard.put, lambda: None))
    listening.start()
    try:
        SpeakerPlayer().play(Sound(samples=speak(SAID), rate=SAMPLE_RATE))
        assert heard.get(timeout=30).text == SAID
    finally:
        microphone.close()
        listening.join()
        listener.close()
