"""The mouth, out loud: real voice, real loudspeaker, heard through the room's microphone."""

import threading

import pytest

from kitchend.errors import DeviceError
from kitchend.rehearsal.room import Room, find
from kitchend.speaking.chimes import chime
from kitchend.speaking.espeak_voice import EspeakVoice
from kitchend.speaking.mouth import RememberingVoice, SpeakingMouth
from kitchend.speaking.player import SpeakerPlayer
from kitchend.speaking.sound import Sound, silence

LOAF = "Turn the loaf."
BEANS = "Beans are up."


class Ends:
    """Collects how each thing said ended, and waits for all of them."""

    def __init__(self, expected: int) -> None:
        self.all: list[bool] = []
        self._expected = expected
        self._enough = threading.Event()

    def __call__(self, ok: bool) -> None:
        self.all.append(ok)
        if len(self.all) == self._expected:
            self._enough.set()

    def wait(self) -> list[bool]:
        assert self._enough.wait(30), f"only {len(self.all)} of {self._expected} ended"
        return self.all


@pytest.fixture
def voice() -> RememberingVoice:
    """espeak-ng never says a sentence twice alike, so what is compared must be what was said."""
    kept = RememberingVoice(EspeakVoice())
    try:
        kept.render(LOAF)
    except DeviceError as error:
        pytest.skip(str(error))
    return kept


def signal(kind: str) -> Sound:
    sound = chime(kind)
    assert sound is not None
    return sound


def test_the_chime_is_heard_and_then_the_words(in_room: Room, voice: RememberingVoice) -> None:
    ends = Ends(1)
    with SpeakingMouth(voice, SpeakerPlayer()) as mouth, in_room.recording() as tape:
        mouth.say(LOAF, "now", on_done=ends)
        assert ends.wait() == [True]
    bell, words = find(signal("now"), tape.sound), find(voice.render(LOAF), tape.sound)
    assert min(bell.likeness, words.likeness) > 0.95
    assert words.at_s >= bell.at_s + signal("now").duration_s


def test_two_calls_never_overlap(in_room: Room, voice: RememberingVoice) -> None:
    ends = Ends(2)
    with SpeakingMouth(voice, SpeakerPlayer()) as mouth, in_room.recording() as tape:
        mouth.say(LOAF, "soon", on_done=ends)
        mouth.say(BEANS, "up", on_done=ends)
        assert ends.wait() == [True, True]
    parts = [signal("soon"), voice.render(LOAF), signal("up"), voice.render(BEANS)]
    found = [find(part, tape.sound) for part in parts]
    assert min(match.likeness for match in found) > 0.95
    for part, here, then in zip(parts, found, found[1:], strict=False):
        assert then.at_s >= here.at_s + part.duration_s - 0.001


def test_a_stopped_mouth_is_silent_at_once_and_says_the_next_thing(
    in_room: Room, voice: RememberingVoice
) -> None:
    ends, long = Ends(3), " ".join([LOAF] * 12)
    with SpeakingMouth(voice, SpeakerPlayer()) as mouth, in_room.recording() as tape:
        mouth.say(long, on_started=lambda _in_s: threading.Timer(0.5, mouth.stop).start(), on_done=ends)
        mouth.say("and this is never said", on_done=ends)
        mouth.say("nor this", on_done=lambda _ok: mouth.say(BEANS, on_done=ends))
        assert ends.wait() == [False, False, True]
    assert find(voice.render(BEANS), tape.sound).likeness > 0.95
    assert tape.sound.trimmed().duration_s < voice.render(long).duration_s / 2


def test_without_a_loudspeaker_each_call_ends_unheard_and_says_why(
    in_room: Room, voice: RememberingVoice
) -> None:
    troubles: list[DeviceError] = []
    ends = Ends(2)
    in_room.pull_the_plug()
    with SpeakingMouth(voice, SpeakerPlayer(), on_trouble=troubles.append) as mouth:
        mouth.say(LOAF, "now", on_done=ends)
        mouth.say(BEANS, "up", on_done=ends)
        assert ends.wait() == [False, False]
    assert [str(t).split(";")[0] for t in troubles] == ["loudspeaker: no loudspeaker can be opened"] * 2


def test_the_room_is_quiet_when_nothing_is_said(in_room: Room, voice: RememberingVoice) -> None:
    with SpeakingMouth(voice, SpeakerPlayer()), in_room.recording() as tape:
        threading.Event().wait(0.3)
    assert tape.sound.peak == silence(1, 8_000).peak
