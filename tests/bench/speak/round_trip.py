"""Whether kitchend is understood: each sentence by each voice, heard by a large-vocabulary recogniser.

The recogniser is Whisper base writing freely, with no grammar and no list of what may be said. Prints the
word error rate (jiwer) of each voice, clean and over kitchen noise, as a table of SPEAKING.md; asserts
nothing. Noise is the folder that KITCHEND_SOUNDS names, the ratio measured over the audible part of the
speech.

Korean sets words apart as it likes, so of its sentences the syllables are counted.

python -m tests.bench.speak.round_trip [--every N] [--voices NAME,NAME] [--ratio DB] [--language ko]
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np
from jiwer import process_words

from kitchend.core.languages import LANGUAGES
from kitchend.core.reading import is_syllabic
from kitchend.core.tongue import speaking, tongue
from kitchend.errors import DeviceError
from kitchend.hearing.numbers import spelled
from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.weights import whisper_folder
from kitchend.hearing.whisper_ear import WhisperEar
from kitchend.rehearsal.room import mix
from kitchend.speaking.espeak_voice import EspeakVoice
from kitchend.speaking.piper_voice import PiperVoice
from kitchend.speaking.ports import Voice
from kitchend.speaking.sound import Sound, from_samples, from_wav
from tests.bench.speak.sentences import said_at_all
from tests.room.kitchen_noise import made_up

AROUND_S = 0.4
RATIO_DB = 10.0

VOICES: Mapping[str, Callable[[], Voice]] = {
    **{f"espeak en-us {rate}": partial(EspeakVoice, "en-us", rate) for rate in (120, 140, 160, 180)},
    **{
        f"espeak {name} 140": partial(EspeakVoice, name, 140)
        for name in ("en-gb", "en-us+f3", "en-us+m3", "en-us+klatt4", "en-us+whisper", "en-us+whisperf")
    },
    **{f"espeak ko {rate}": partial(EspeakVoice, "ko", rate) for rate in (120, 140, 160)},
    "espeak en-us+whisper 120": partial(EspeakVoice, "en-us+whisper", 120),
    **{f"natural {rate}": partial(PiperVoice, rate_wpm=rate) for rate in (120, 140, 160, 180, 204)},
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """How many words were said, and how many were heard wrongly; sentences likewise."""

    words: int = 0
    wrong: int = 0
    sentences: int = 0
    whole: int = 0

    def and_one(self, words: int, wrong: int) -> Tally:
        """The tally with one sentence more."""
        return Tally(
            words=self.words + words,
            wrong=self.wrong + wrong,
            sentences=self.sentences + 1,
            whole=self.whole + (not wrong),
        )

    @property
    def rate(self) -> float:
        """The word error rate, 0 to 1 or more."""
        return self.wrong / max(1, self.words)


def word_errors(said: str, heard: str) -> tuple[int, int]:
    """How many words were said, and the fewest errors among the ways that what was heard may be spoken.

    Spelling is no error: "200" is "two hundred", capitals and stops are nothing.
    """
    wanted = _apart(spelled(said)[0])
    ways = spelled(heard) or ("",)
    return len(wanted.split()), min(_errors(wanted, _apart(way)) for way in ways)


def _apart(words: str) -> str:
    """Hangul by the syllable, other words whole."""
    return " ".join(" ".join(word) if is_syllabic(word) else word for word in words.split())


def _errors(wanted: str, way: str) -> int:
    found = process_words(wanted, way or "nothing")
    return found.substitutions + found.deletions + found.insertions


def noises(folder: Path | None) -> Sequence[Sound]:
    """One stretch a file of the folder; without one, a noise made up here."""
    files = sorted(folder.rglob("*.wav")) if folder else []
    if not files:
        return [from_samples(part, SAMPLE_RATE) for part in np.array_split(made_up(), 10)]
    sounds = [from_wav(file).resampled(SAMPLE_RATE) for file in files]
    return [sound for sound in sounds if float(np.std(sound.samples)) > 1e-4]


def in_the_kitchen(words: Sound, noise: Sound | None, ratio_db: float) -> Samples:
    """What a recogniser gets: float32[n] at 16 kHz, some of the room before and after the words."""
    around = np.zeros(int(AROUND_S * SAMPLE_RATE), np.float32)
    sound = from_samples(np.r_[around, words.resampled(SAMPLE_RATE).samples, around], SAMPLE_RATE)
    return sound.samples if noise is None else mix(sound, noise, ratio_db).samples


def tallied(
    voice: Voice, texts: Sequence[str], ear: WhisperEar, under: Sequence[Sound], ratio_db: float
) -> Tally:
    """How well these sentences are understood; `under` is the noise, taken in turn, or nothing."""
    tally = Tally()
    for number, text in enumerate(texts):
        noise = under[number * 7 % len(under)] if under else None
        tally = tally.and_one(
            *word_errors(text, ear.freely(in_the_kitchen(voice.render(text), noise, ratio_db)))
        )
    return tally


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--every", type=int, default=1, help="take each Nth sentence")
    parser.add_argument("--voices", help="only these, by name, with commas between")
    parser.add_argument("--ratio", type=float, default=RATIO_DB)
    parser.add_argument("--language", default="en", choices=LANGUAGES)
    wish = parser.parse_args()
    with speaking(wish.language):
        _print_table(wish)


def _print_table(wish: argparse.Namespace) -> None:
    folder = os.environ.get("KITCHEND_SOUNDS")
    texts = said_at_all(wish.language)[:: wish.every]
    under = noises(Path(folder) if folder else None)
    ear = WhisperEar(whisper_folder(language=tongue().whisper), language=tongue().whisper)
    print(f"{len(texts)} sentences; noise: {f'{len(under)} recordings' if folder else 'made up'}")
    at = f"at {wish.ratio:g} dB"
    print(f"| voice | word error rate, clean | {at} | whole sentences, clean | {at} |")
    print("|---|---|---|---|---|", flush=True)
    for name, make in VOICES.items():
        is_wanted = name.startswith("espeak ko") == (wish.language == "ko")
        if not is_wanted or (wish.voices and name not in wish.voices.split(",")):
            continue
        try:
            voice = make()
            clean, noisy = (tallied(voice, texts, ear, noise, wish.ratio) for noise in ((), under))
        except DeviceError as error:
            print(f"| {name} | NOT MEASURED: {error} | | | |", flush=True)
            continue
        print(
            f"| {name} | {clean.rate:.1%} | {noisy.rate:.1%} | {clean.whole} of {clean.sentences}"
            f" | {noisy.whole} of {noisy.sentences} |",
            flush=True,
        )


if __name__ == "__main__":
    main()
