"""The gain before speech detection: soft microphones are seen, loud ones and noise are left as they are."""

from __future__ import annotations

import numpy as np
import pytest

from kitchend.hearing.detect import CHUNK, CHUNK_S, Chunker
from kitchend.hearing.gain import FORGETS_DB_S, MOST_DB, PEAK, ROOM_DB, SPEECH_DB, Gained
from kitchend.hearing.listener import SoundListener
from kitchend.hearing.memory import KnowingFirstEar
from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.silero import Silero
from tests.hearing.conftest import Speak
from tests.hearing.menu import dinner

SAID = "five more minutes on the greens"


class Watching:
    """A chance that remembers how loud what it was shown is."""

    def __init__(self) -> None:
        self.peaks: list[float] = []

    def __call__(self, chunk: Samples) -> float:
        self.peaks.append(float(np.max(np.abs(chunk))))
        return 0.0

    def reset(self) -> None:
        self.peaks.clear()


def noise(level_db: float, seconds: float, seed: int = 1) -> Samples:
    rng = np.random.default_rng(seed)
    return (10 ** (level_db / 20) * rng.standard_normal(int(seconds * SAMPLE_RATE))).astype(np.float32)


def through(gained: Gained, sound: Samples) -> Samples:
    return np.concatenate([gained.louder(chunk) for chunk in Chunker().cut(sound)])


def level_db(sound: Samples) -> float:
    return float(10 * np.log10(np.mean(sound.astype(float) ** 2)))


def test_a_room_as_loud_as_rooms_are_is_left_as_it_is() -> None:
    sound = noise(ROOM_DB + 2, 20)
    gained = Gained(Watching())
    assert np.array_equal(through(gained, sound), sound[: len(sound) // CHUNK * CHUNK])


def test_a_soft_room_is_brought_up_to_a_usual_one_and_stands_still_there() -> None:
    gained = Gained(Watching())
    for seconds in (2, 20):
        heard = through(gained, noise(ROOM_DB - 20, seconds))
        assert level_db(heard[-SAMPLE_RATE:]) == pytest.approx(ROOM_DB, abs=1.5)


def test_there_is_only_so_much_gain() -> None:
    gained = Gained(Watching())
    through(gained, noise(ROOM_DB - MOST_DB - 30, 3))
    assert gained.gain_db == MOST_DB


def test_nothing_at_all_tells_nothing_of_the_room() -> None:
    gained = Gained(Watching())
    through(gained, np.zeros(3 * SAMPLE_RATE, np.float32))
    assert gained.gain_db == 0.0


def test_what_is_loud_after_a_soft_room_is_never_clipped_and_gets_no_gain() -> None:
    watching = Watching()
    gained = Gained(watching)
    for chunk in Chunker().cut(np.concatenate([noise(-90, 4), noise(-20, 2), noise(-90, 1)])):
        gained(chunk)
    assert max(watching.peaks) <= 1.0
    before = Gained(Watching())
    through(before, noise(-90, 4))
    loud = noise(SPEECH_DB + 5, 1)
    assert np.array_equal(through(before, loud), loud[: len(loud) // CHUNK * CHUNK])


def test_one_loud_sample_in_a_soft_chunk_holds_the_gain_down() -> None:
    gained = Gained(Watching())
    through(gained, noise(-95, 3))
    knock = noise(-95, CHUNK_S)
    knock[100] = 0.2
    assert float(np.max(np.abs(gained.louder(knock)))) <= PEAK


def test_after_a_loud_moment_the_gain_comes_back_slowly() -> None:
    gained = Gained(Watching())
    through(gained, noise(-85, 3))
    usual = gained.gain_db
    through(gained, noise(-25, 0.5))
    assert gained.gain_db == 0.0
    through(gained, noise(-85, 1.0))
    assert gained.gain_db < usual
    through(gained, noise(-85, 60 / FORGETS_DB_S + 2))
    assert gained.gain_db == pytest.approx(usual, abs=1.0)


def test_a_stream_that_is_cut_keeps_its_level_and_another_recording_does_not() -> None:
    gained = Gained(Watching())
    through(gained, noise(-85, 3))
    gained.reset()
    assert gained.gain_db > 10
    gained.forget()
    assert gained.gain_db == 0.0


def soft(sound: Samples, level: float) -> Samples:
    """As a microphone far off gives it in 16 bits, over the hiss of its own."""
    whole = np.concatenate([np.zeros(SAMPLE_RATE, np.float32), sound, np.zeros(SAMPLE_RATE, np.float32)])
    loud = float(np.sqrt(np.mean(sound.astype(float) ** 2)))
    heard = whole * 10 ** (level / 20) / loud + noise(-92, len(whole) / SAMPLE_RATE)[: len(whole)]
    return (np.round(heard * 2**15) / 2**15).astype(np.float32)


def test_a_voice_at_a_soft_microphone_is_seen_from_its_beginning_to_its_end(speak: Speak) -> None:
    sound = soft(speak(SAID), -70.0)
    listener = SoundListener(first=KnowingFirstEar([SAID]), second=None, chance=Silero(), seconds=lambda: 0.0)
    listener.listen_for(dinner())
    (heard,) = listener.hear_all(sound)
    listener.close()
    assert heard.started_s < 1.0 < heard.started_s + 0.6
    assert heard.ended_s == pytest.approx(1.0 + len(speak(SAID)) / SAMPLE_RATE, abs=0.5)
