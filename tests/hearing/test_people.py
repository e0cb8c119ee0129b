"""Recorded people through the real listener: Debian's pocketsphinx-testdata and the transcripts it carries.

The recordings and transcripts come with CMU PocketSphinx (BSD licence): goforward.raw with goforward.gram,
five hands of cards with cards.gram and cards.transcription, a spoken number of TIDIGITS ("2934z"), and
sentences of a LibriVox reading, which are talk to a listener that waits for commands.
"""

import re
from collections.abc import Callable, Iterator
from itertools import product
from pathlib import Path
from time import perf_counter

import numpy as np
import pytest

from kitchend.hearing.listener import SoundListener
from kitchend.hearing.numbers import UNITS
from kitchend.hearing.pocketsphinx_ear import PocketSphinxEar
from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.silero import Silero
from kitchend.hearing.wav import read_wav
from kitchend.hearing.whisper_ear import WhisperEar
from tests.hearing.menu import JsgfSayable, dinner, from_file

MakeListener = Callable[[str], SoundListener]
EARS = ["first", "second", "both"]


@pytest.fixture
def listener_with(sphinx: PocketSphinxEar, whisper: WhisperEar) -> Iterator[MakeListener]:
    made: list[SoundListener] = []

    def make(ears: str) -> SoundListener:
        first, second = (None if ears == "second" else sphinx), (None if ears == "first" else whisper)
        made.append(SoundListener(first=first, second=second, chance=Silero(), seconds=perf_counter))
        return made[-1]

    yield make
    for listener in made:
        listener.close()


def raw(file: Path) -> Samples:
    """Headerless 16-bit sound at 16 kHz, as PocketSphinx's own tests read it."""
    return np.frombuffer(file.read_bytes(), "<i2").astype(np.float32) / np.float32(2**15)


def with_quiet(sound: Samples) -> Samples:
    quiet = np.zeros(SAMPLE_RATE // 2, np.float32)
    return np.concatenate([quiet, sound, quiet])


@pytest.mark.parametrize("ears", EARS)
def test_go_forward_ten_meters_is_heard(ears: str, listener_with: MakeListener, people: Path) -> None:
    ways = product(("forward", "backward"), UNITS[1:], ("meter", "meters"))
    likely = (*(" ".join(("go", *way)) for way in ways), "go forward ten meters", "go backward ten meters")
    listener = listener_with(ears)
    listener.listen_for(from_file(people / "goforward.gram", "move2", likely))
    heard = listener.hear(with_quiet(raw(people / "goforward.raw")))
    assert (heard.text, heard.accepted) == ("go forward ten meters", True)


def transcripts(file: Path) -> dict[str, str]:
    lines = re.findall(r"<s>\s*(.*?)\s*</s>\s*\((\S+)\)", file.read_text("utf-8"))
    return {name: text for text, name in lines}


@pytest.mark.parametrize("ears", ["first", "both"])
def test_hands_of_cards_are_heard(ears: str, listener_with: MakeListener, people: Path) -> None:
    said = transcripts(people / "cards" / "cards.transcription")
    assert len(said) == 5
    suits = ("clubs", "hearts", "diamonds", "spades")
    ranks = ("ace", *UNITS[2:], "ten", "jack", "queen", "king")
    likely = tuple(f"{rank} of {suit}" for rank, suit in product(ranks, suits))
    listener = listener_with(ears)
    listener.listen_for(from_file(people / "cards" / "cards.gram", "cards", likely))
    texts = {name: _joined(listener, read_wav(people / "cards" / f"{name}.wav")) for name in said}
    right = [name for name, text in said.items() if texts[name] == text]
    assert len(right) >= 4, texts


def _joined(listener: SoundListener, sound: Samples) -> str:
    # a speaker who stops between two cards makes two phrases of one hand
    return " ".join(heard.text for heard in listener.hear_all(with_quiet(sound)))


@pytest.mark.parametrize("ears", EARS)
def test_digits_are_heard(ears: str, listener_with: MakeListener, people: Path) -> None:
    digit = "(one | two | three | four | five | six | seven | eight | nine | zero | oh)"
    grammar = f"#JSGF V1.0; grammar digits; public <command> = {' '.join([digit] * 5)};"
    likely = (
        "two nine three four zero",
        "two five three four zero",
        "nine nine three four oh",
        "one two three four five",
    )
    listener = listener_with(ears)
    listener.listen_for(JsgfSayable(text=grammar, likely=likely))
    heard = listener.hear(with_quiet(raw(people / "tidigits" / "dhd.2934z.raw")))
    assert heard.text == "two nine three four zero"
    assert heard.accepted


@pytest.mark.parametrize("ears", ["second", "both"])
def test_nobody_reading_aloud_gives_a_command(ears: str, listener_with: MakeListener, people: Path) -> None:
    listener = listener_with(ears)
    listener.listen_for(dinner())
    files = sorted((people / "librivox").glob("*.wav"))
    assert len(files) == 5
    for file in files:
        heard = list(listener.hear_all(with_quiet(read_wav(file))))
        assert heard
        assert not [phrase for phrase in heard if phrase.accepted]


def test_the_free_text_of_a_reading_is_nearly_its_transcript(whisper: WhisperEar, people: Path) -> None:
    import jiwer

    for name, said in transcripts(people / "librivox" / "transcription").items():
        sound = read_wav(people / "librivox" / f"{name}.wav")
        text = whisper.judge(sound, dinner(), ()).free.text.lower().replace("mr.", "mister")
        assert jiwer.wer(said, re.sub(r"[^a-z ]", " ", text)) < 0.35, text
