"""The cook speaks over kitchend in the room, with real devices: own sound is taken out, the cook is heard."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from queue import Queue
from time import perf_counter

import pytest

from kitchend.errors import DeviceError
from kitchend.hearing import SoundListener, build
from kitchend.hearing.capture import Microphone
from kitchend.hearing.own_voice import OwnVoice
from kitchend.hearing.ports import SAMPLE_RATE, Heard
from kitchend.rehearsal.room import Room
from kitchend.service.devices import Streams
from kitchend.service.voicing import HeldPlayer
from kitchend.speaking.chimes import chime
from kitchend.speaking.espeak_voice import EspeakVoice
from kitchend.speaking.player import SpeakerPlayer
from kitchend.speaking.sound import Sound, joined
from tests.hearing.conftest import speak as speak
from tests.hearing.menu import dinner

OVER = "five more minutes on the greens"
LONG = (
    "The oven is hot: roast the chicken now, until seventy four inside, and that takes eighty minutes. "
    "Waiting for you: brush the chicken, then turn the parsnips, and after that stir the cabbage once."
)


class Talk:
    """A listener at work in the room, and kitchend's loudspeaker, which tells it what it plays."""

    def __init__(self) -> None:
        self.own, self.heard = OwnVoice(), Queue[Heard]()
        self.microphone = Microphone()
        self.listener: SoundListener = build(ears="both", seconds=perf_counter, own=self.own)
        self.listener.listen_for(dinner())
        self.player = HeldPlayer(SpeakerPlayer(), Streams(restart=lambda: None), self.own)
        self._works = threading.Event()
        self._thread = threading.Thread(target=self._listen)
        self._thread.start()
        assert self._works.wait(20)
        threading.Event().wait(2.0)  # the ears get ready for what may be said

    def _listen(self) -> None:
        self.listener.listen(self.microphone, self.heard.put, self._works.set)

    def say(self, sound: Sound) -> None:
        """As the runner does it: deaf by its word, from before the sound until after it."""
        self.listener.deaf(True)
        self.player.play(sound)
        self.listener.deaf(False)

    def accepted(self) -> list[str]:
        """What counted so far."""
        return [heard.text for heard in list(self.heard.queue) if heard.accepted]

    def close(self) -> None:
        self.microphone.close()
        self._thread.join()
        self.listener.close()


@pytest.fixture
def talk(in_room: Room) -> Iterator[Talk]:
    opened = Talk()
    yield opened
    opened.close()


@pytest.fixture
def sentence() -> Sound:
    signal = chime("now")
    assert signal is not None
    try:
        return joined(signal, EspeakVoice().render(LONG), gap_s=0.1)
    except DeviceError as error:
        pytest.skip(str(error))


def test_the_cook_is_heard_over_kitchends_own_voice_and_kitchend_never_hears_itself(
    in_room: Room, talk: Talk, sentence: Sound, speak: object
) -> None:
    assert callable(speak)
    cook = Sound(samples=speak(OVER), rate=SAMPLE_RATE).levelled(0.16)
    for _ in range(4):
        talk.say(sentence)
        threading.Event().wait(1.0)
        if talk.listener.way_db is not None:
            break
    assert talk.accepted() == [], "it took its own voice for the cook's"
    assert talk.listener.way_db == pytest.approx(0.0, abs=1.5), "the room gives back what is played"
    # A busy machine may swallow part of one; a person says it again as well.
    for _ in range(3):
        saying = threading.Thread(target=talk.say, args=(sentence,))
        saying.start()
        threading.Event().wait(2.0)
        in_room.play(cook)
        threading.Event().wait(2.0)
        talk.player.stop()
        saying.join()
        threading.Event().wait(2.0)
        if talk.accepted():
            break
    assert set(talk.accepted()) == {OVER}
