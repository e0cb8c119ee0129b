"""A recorded person saying numbers, and announcements, through the real listener.

Debian's asterisk-core-sounds-en-wav (licence CC BY-SA 3.0) has each number as a recording by itself, named by
the number, and "minutes": joined, they are answers a cook gives. Everything else in it is talk to kitchend.
"""

from __future__ import annotations

from pathlib import Path
from time import perf_counter

import numpy as np
import pytest

from kitchend.core.numbers import words_of
from kitchend.hearing.listener import SoundListener
from kitchend.hearing.numbers import partners
from kitchend.hearing.pocketsphinx_ear import PocketSphinxEar
from kitchend.hearing.ports import SAMPLE_RATE, Heard, Samples
from kitchend.hearing.silero import Silero
from kitchend.hearing.wav import read_wav
from kitchend.hearing.whisper_ear import WhisperEar
from tests.hearing.menu import JsgfSayable, dinner

SOUNDS = Path("/usr/share/asterisk/sounds")
NUMBERS = (*range(1, 21), *range(30, 100, 10))
WORDS = tuple(words_of(number) for number in NUMBERS)
ANSWER = JsgfSayable(
    text=f"#JSGF V1.0; grammar answer; public <command> = ({' | '.join(WORDS)}) (minutes | degrees);",
    likely=tuple(f"{word} minutes" for word in WORDS),
)


@pytest.fixture(scope="module")
def recordings() -> Path:
    """The folder with one person's recordings."""
    found = sorted(folder.parent for folder in SOUNDS.glob("*/digits"))
    if not found:
        pytest.skip("no recorded speech: apt install asterisk-core-sounds-en-wav")
    return found[0]


def trimmed(sound: Samples) -> Samples:
    loud = np.flatnonzero(np.abs(sound) > 0.01)
    return sound[max(0, loud[0] - 400) : loud[-1] + 800]


def answers(listener: SoundListener, recordings: Path) -> dict[str, Heard]:
    """What is made of "one minutes", "two minutes", …, as that person says them."""
    listener.listen_for(ANSWER)
    quiet, minutes = np.zeros(SAMPLE_RATE // 2, np.float32), trimmed(read_wav(recordings / "minutes.wav"))
    found = {}
    for number, word in zip(NUMBERS, WORDS, strict=True):
        said = trimmed(read_wav(recordings / "digits" / f"{number}.wav"))
        found[f"{word} minutes"] = listener.hear(np.concatenate([quiet, said, minutes, quiet]))
    return found


@pytest.mark.parametrize(("ears", "least"), [("first", 20), ("both", 26)])
def test_numbers_a_person_says_are_heard_and_those_that_sound_alike_are_in_doubt(
    ears: str, least: int, sphinx: PocketSphinxEar, whisper: WhisperEar, recordings: Path
) -> None:
    second = whisper if ears == "both" else None
    listener = SoundListener(first=sphinx, second=second, chance=Silero(), seconds=perf_counter)
    heard = answers(listener, recordings)
    listener.close()
    right = [said for said, one in heard.items() if one.accepted and one.text == said]
    assert len(right) >= least, {said: one.text for said, one in heard.items() if said not in right}
    # Where one of two that sound alike was taken for the other, the right one is asked about.
    other = [said for said, one in heard.items() if one.accepted and one.text in partners(said)]
    assert [said for said in other if said not in heard[said].doubts] == []


def test_announcements_are_no_commands(
    sphinx: PocketSphinxEar, whisper: WhisperEar, recordings: Path
) -> None:
    listener = SoundListener(first=sphinx, second=whisper, chance=Silero(), seconds=perf_counter)
    listener.listen_for(dinner())
    files = [file for file in sorted(recordings.glob("*.wav")) if file.stat().st_size > 50_000][:16]
    assert len(files) == 16
    heard = [phrase for file in files for phrase in listener.hear_all(read_wav(file))]
    listener.close()
    assert len(heard) >= len(files)
    assert [phrase.text for phrase in heard if phrase.accepted] == []
