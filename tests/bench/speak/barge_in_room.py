"""Whether the cook is heard over kitchend's own voice in the room with real devices, at equal loudness.

A call is played into a room without hardware, as it is or through a simulated one; a second in, the cook
says a phrase as loud; the microphone hears both. Listener, player and what tells the one of the other are
those of a dinner. Runs in real time, and prints; asserts nothing.

python -m tests.bench.speak.barge_in_room [--trials N] [--room square] [--louder DB] [--only WORDS]
"""

from __future__ import annotations

import argparse
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from queue import Queue
from time import perf_counter

import numpy as np
from numpy.typing import NDArray

from kitchend.hearing import SoundListener, build
from kitchend.hearing.capture import Microphone
from kitchend.hearing.own_voice import OwnVoice
from kitchend.hearing.ports import SAMPLE_RATE, Heard, Samples
from kitchend.hearing.shortlist import same_words
from kitchend.rehearsal.room import Room, RoomUnavailable
from kitchend.service.devices import Streams
from kitchend.service.voicing import HeldPlayer
from kitchend.speaking.espeak_voice import EspeakVoice
from kitchend.speaking.player import SpeakerPlayer
from kitchend.speaking.ports import OnStarted
from kitchend.speaking.sound import Sound
from tests.bench.hear.kitchen import sayable_of
from tests.bench.hear.rooms import ROOMS, heard_in, response
from tests.bench.speak.barge_in import SCENE, WARM, Said, loudness, utterances

LOUD = 0.05
"""Root mean square of kitchend's voice as it comes back, of full scale: 10 dB louder is not clipped yet."""

Way = NDArray[np.float64]
PAUSE_S = 2.0
MOST_WARM = 8


class Walled:
    """A loudspeaker that stands in a room: what leaves it is what the room makes of the sound."""

    def __init__(self, player: SpeakerPlayer, way: Way | None) -> None:
        self._player = player
        self._way = way

    def play(self, sound: Sound, on_started: OnStarted | None = None) -> None:
        """Play what is heard of it."""
        if self._way is not None:
            heard = heard_in(sound.resampled(SAMPLE_RATE).samples, self._way)
            sound = Sound(samples=np.asarray(heard, np.float32), rate=SAMPLE_RATE)
        self._player.play(sound, on_started)

    def stop(self) -> None:
        """Be silent."""
        self._player.stop()


class Talk:
    """A listener at work, and a loudspeaker that tells it what it plays."""

    def __init__(self, way: Way | None) -> None:
        self.own, self.heard = OwnVoice(), Queue[Heard]()
        self._microphone = Microphone()
        self.listener: SoundListener = build(ears="both", seconds=perf_counter, own=self.own)
        self.listener.listen_for(sayable_of(SCENE, True))
        walled = Walled(SpeakerPlayer(), way)
        self._player = HeldPlayer(walled, Streams(restart=lambda: None), self.own)
        self._thread = threading.Thread(
            target=lambda: self.listener.listen(self._microphone, self.heard.put, lambda: None)
        )
        self._thread.start()

    def say(self, sound: Sound) -> threading.Thread:
        """Begin to play; deaf by its word meanwhile, as the runner has it."""

        def play() -> None:
            self.listener.deaf(True)
            self._player.play(sound)
            self.listener.deaf(False)

        playing = threading.Thread(target=play)
        playing.start()
        return playing

    def taken(self) -> list[Heard]:
        """What was heard since last asked."""
        found = []
        while not self.heard.empty():
            found.append(self.heard.get())
        return found

    def close(self) -> None:
        """Listen no more."""
        self._microphone.close()
        self._thread.join()
        self.listener.close()


@contextmanager
def talking(way: Way | None) -> Iterator[tuple[Room, Talk]]:
    """Inside a room."""
    with Room() as room, room.enter_process():
        talk = Talk(way)
        try:
            yield room, talk
        finally:
            talk.close()


def scaled(sound: Samples, level: float) -> Sound:
    """A sound of this loudness."""
    return Sound(samples=(sound * np.float32(level / loudness(sound))).clip(-1, 1), rate=SAMPLE_RATE)


def wait(seconds: float) -> None:
    """Let time pass."""
    threading.Event().wait(seconds)


def lived(talk: Talk, room: Room, said: list[Said], louder_db: float) -> tuple[int, list[str], list[str]]:
    """How many were understood, what was taken wrongly, and the phrases that were lost."""
    for warm in range(MOST_WARM):
        talk.say(scaled(said[warm % WARM].own, LOUD)).join()
        wait(1.0)
        if warm + 1 >= WARM and talk.listener.way_db is not None:
            break
    right, lost = 0, []
    wrong = [heard.text for heard in talk.taken() if heard.accepted]
    for one in said[WARM:]:
        playing = talk.say(scaled(one.own, LOUD))
        wait(1.0)
        room.play(scaled(one.cook, LOUD * 10 ** (louder_db / 20)))
        playing.join()
        wait(PAUSE_S)
        heard = talk.taken()
        is_right = any(one_heard.accepted and same_words(one_heard.text, one.phrase) for one_heard in heard)
        right += is_right
        made = ", ".join(f"{h.text or 'nothing'}: {h.reason}" for h in heard) or "not opened"
        lost += [] if is_right else [f"{one.phrase} ({made})"]
        wrong += [h.text for h in heard if h.accepted and not same_words(h.text, one.phrase)]
    return right, wrong, lost


def main() -> None:
    """Print a line."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--trials", type=int, default=30)
    parser.add_argument("--room", default="", help="a simulated room of tests/bench/hear/rooms.py")
    parser.add_argument("--louder", type=float, default=0.0, help="dB of the cook over kitchend")
    parser.add_argument("--only", default="", help="the phrase to say each time, such as quiet")
    wish = parser.parse_args()
    candidates = [text for text in sayable_of(SCENE, True).candidates() if text not in {"yes", "no"}]
    phrases = ["quiet", "heard", *candidates[:: max(1, len(candidates) // 28)]]
    said = list(utterances(wish.trials, [wish.only] if wish.only else phrases, EspeakVoice()))
    way = response(next(room for room in ROOMS if room.name == wish.room)) if wish.room else None
    try:
        with talking(way) as (room, talk):
            right, wrong, lost = lived(talk, room, said, wish.louder)
            known = talk.listener.way_db
    except RoomUnavailable as error:
        print(f"SKIPPED: nothing was measured in the room: {error}")
        return
    name = f"{wish.room or 'no'} room simulated, cook {wish.louder:+g} dB{f', {wish.only}' * bool(wish.only)}"
    print(
        f"| null sink, {name} | {right} of {wish.trials} | {len(wrong)} |"
        f" lost: {'; '.join(lost)} | wrong: {'; '.join(wrong)} | way {known}"
    )


if __name__ == "__main__":
    main()
