"""The whole listener: sound in, `Heard` out, by `hear` and on its thread; one contract with the typed one."""

import threading
from collections.abc import Callable, Iterator
from queue import Queue
from time import perf_counter

import numpy as np
import pytest

from kitchend.errors import DeviceError
from kitchend.hearing.capture import ArraySource
from kitchend.hearing.listener import SoundListener
from kitchend.hearing.memory import TypedListener
from kitchend.hearing.pocketsphinx_ear import PocketSphinxEar
from kitchend.hearing.ports import SAMPLE_RATE, Heard, Samples, Sayable
from kitchend.hearing.silero import Silero
from kitchend.hearing.whisper_ear import WhisperEar
from tests.hearing.conftest import Speak
from tests.hearing.menu import JsgfSayable, dinner

SAID = "five more minutes on the greens"
TALK = "the weather has been terrible all week long"
ANSWER = JsgfSayable(
    text="#JSGF V1.0; grammar answer; public <command> = yes please | no thank you;",
    likely=("yes please", "no thank you"),
)
SILENCE = np.zeros(SAMPLE_RATE, np.float32)
EARS = ["first", "second", "both"]


@pytest.fixture
def listener_with(sphinx: PocketSphinxEar, whisper: WhisperEar) -> Iterator[Callable[[str], SoundListener]]:
    made: list[SoundListener] = []

    def make(ears: str) -> SoundListener:
        listener = SoundListener(
            first=None if ears == "second" else sphinx,
            second=None if ears == "first" else whisper,
            chance=Silero(),
            seconds=perf_counter,
        )
        made.append(listener)
        return listener

    yield make
    for listener in made:
        listener.close()


class Microphone:
    """A source that a test speaks into; silence follows each phrase."""

    received = 0

    def __init__(self) -> None:
        self._blocks: Queue[Samples | Exception | None] = Queue()
        self._given = threading.Semaphore(0)

    def speak(self, samples: Samples) -> None:
        for block in np.array_split(np.concatenate([SILENCE, samples, SILENCE]), 40):
            self._blocks.put(block)

    def break_off(self, error: DeviceError) -> None:
        self._blocks.put(error)

    def blocks(self) -> Iterator[Samples]:
        while (block := self._blocks.get()) is not None:
            if isinstance(block, Exception):
                raise block
            yield block
            self._blocks.task_done()

    def wait(self) -> None:
        self._blocks.join()

    def close(self) -> None:
        self._blocks.put(None)


class Said:
    """One way to talk to a listener in the contract: whole phrases in, `Heard`s out."""

    def __init__(self, listen_for: Callable[[Sayable], None], deaf: Callable[[bool], None]) -> None:
        self.listen_for = listen_for
        self.deaf = deaf
        self.heard: list[Heard] = []
        self.say: Callable[[str], None] = lambda text: None


@pytest.fixture(params=["sound", "typed"])
def talk(
    request: pytest.FixtureRequest, listener_with: Callable[[str], SoundListener], speak: Speak
) -> Iterator[Said]:
    if request.param == "typed":
        typed = TypedListener(lambda heard: said.heard.append(heard))
        said = Said(typed.listen_for, typed.deaf)
        said.say = typed.say
        yield said
        return
    listener, microphone = listener_with("both"), Microphone()
    said = Said(listener.listen_for, listener.deaf)

    def say(text: str) -> None:
        microphone.speak(speak(text))
        microphone.wait()

    said.say = say
    listening = threading.Thread(target=listener.listen, args=(microphone, said.heard.append, nothing))
    listening.start()
    yield said
    microphone.close()
    listening.join()


def nothing() -> None:
    """Nobody watches the blocks."""


def texts(said: Said) -> list[str]:
    return [heard.text for heard in said.heard if heard.accepted]


def test_a_command_is_heard_once_it_may_be_said(talk: Said) -> None:
    talk.say(SAID)
    assert talk.heard == []
    talk.listen_for(dinner())
    talk.say(SAID)
    assert texts(talk) == [SAID]


def test_talk_that_is_no_command_is_not_accepted_and_says_why(talk: Said) -> None:
    talk.listen_for(dinner())
    talk.say(TALK)
    assert len(talk.heard) == 1
    assert not talk.heard[0].accepted
    assert talk.heard[0].reason


def test_nothing_is_heard_while_deaf_and_everything_after(talk: Said) -> None:
    talk.listen_for(dinner())
    talk.deaf(True)
    talk.say(SAID)
    assert talk.heard == []
    talk.deaf(False)
    talk.say("how long on the greens")
    assert texts(talk) == ["how long on the greens"]


def test_a_new_grammar_holds_for_the_next_phrase(talk: Said) -> None:
    talk.listen_for(dinner())
    talk.listen_for(ANSWER)
    talk.say(SAID)
    talk.say("no thank you")
    assert texts(talk) == ["no thank you"]


def test_times_are_of_the_stream_and_in_order(talk: Said) -> None:
    talk.listen_for(dinner())
    talk.say(SAID)
    talk.say("chicken is done")
    spans = [(heard.started_s, heard.ended_s) for heard in talk.heard]
    assert all(start <= end for start, end in spans)
    assert spans == sorted(spans)


@pytest.mark.parametrize("ears", EARS)
def test_a_recording_is_heard_by_either_ear_alone_and_by_both(
    ears: str, listener_with: Callable[[str], SoundListener], speak: Speak
) -> None:
    listener = listener_with(ears)
    listener.listen_for(dinner())
    heard = listener.hear(np.concatenate([SILENCE, speak(SAID), SILENCE]))
    assert (heard.text, heard.accepted) == (SAID, True)
    assert 0.5 < heard.started_s < 1.2
    assert heard.started_s < heard.ended_s < 1.0 + len(speak(SAID)) / SAMPLE_RATE + 0.2
    assert (heard.free_text is None) == (heard.margin is None) == (ears == "first")


@pytest.mark.parametrize("ears", EARS)
def test_silence_is_no_speech(ears: str, listener_with: Callable[[str], SoundListener]) -> None:
    listener = listener_with(ears)
    listener.listen_for(dinner())
    heard = listener.hear(SILENCE)
    assert (heard.text, heard.accepted, heard.reason) == ("", False, "no speech")
    assert heard.audio_s == 1.0


def test_every_phrase_of_a_recording_is_heard_in_order(
    listener_with: Callable[[str], SoundListener], speak: Speak
) -> None:
    listener = listener_with("both")
    listener.listen_for(dinner())
    sound = [SILENCE, speak(SAID), SILENCE, speak(TALK), SILENCE, speak("undo that", "rms")]
    heard = list(listener.hear_all(np.concatenate(sound)))
    assert [phrase.text if phrase.accepted else None for phrase in heard] == [SAID, None, "undo that"]


def test_a_recording_and_a_stream_are_heard_the_same(
    listener_with: Callable[[str], SoundListener], speak: Speak
) -> None:
    sound = np.concatenate([SILENCE, speak(SAID, "rms"), SILENCE])
    at_once = listener_with("both")
    at_once.listen_for(dinner())
    expected = at_once.hear(sound)
    streamed: list[Heard] = []
    listener = listener_with("both")
    listener.listen_for(dinner())
    listener.listen(ArraySource(sound, block=700), streamed.append, nothing)
    assert [(heard.text, heard.accepted, heard.started_s) for heard in streamed] == [
        (expected.text, expected.accepted, expected.started_s)
    ]


def test_a_source_that_fails_is_reported_and_another_may_follow(
    listener_with: Callable[[str], SoundListener], speak: Speak
) -> None:
    listener, heard = listener_with("first"), list[Heard]()
    listener.listen_for(dinner())
    broken = Microphone()
    broken.break_off(DeviceError("microphone", "gone", "plug it in"))
    with pytest.raises(DeviceError, match="gone"):
        listener.listen(broken, heard.append, nothing)
    sound = np.concatenate([SILENCE, speak(SAID), SILENCE])
    listener.listen(ArraySource(sound), heard.append, nothing)
    assert [one.text for one in heard] == [SAID]


def test_a_listener_without_an_ear_cannot_be_made() -> None:
    with pytest.raises(ValueError, match="one ear"):
        SoundListener(first=None, second=None, chance=Silero(), seconds=perf_counter)
