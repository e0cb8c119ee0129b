"""What the second ear learns from: commands of the demo plans and quotations, by the voices to tune on.

Short commands are learned by themselves as well, beside any words at all: "sips" is not "six". No phrase and
no dinner of the bench is among them. Rooms, noise and levels are drawn anew each time a lesson is heard; the
noise clips are those to tune on. Sentences come from Debian's package fortunes.
"""

from __future__ import annotations

import os
import random
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cache
from itertools import islice
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from kitchend.core.phrases import Sayable
from kitchend.hearing.numbers import partners
from kitchend.hearing.ports import SAMPLE_RATE, Arc, Samples
from kitchend.hearing.search import Searchable, nearest
from kitchend.hearing.wav import read_wav
from kitchend.hearing.whisper_texts import opened, written
from kitchend.service.full_swing import in_full_swing, sayable_in_full_swing
from kitchend.service.listening_back import dinner_of
from kitchend.service.settings import settings_for
from tests.bench.hear.adapt.throats import somebody
from tests.bench.hear.adapt.words import common
from tests.bench.hear.corpus import ADDRESS, phrases
from tests.bench.hear.kitchen import NOW
from tests.bench.hear.noise import LOUD, Clip
from tests.bench.hear.rooms import Room, heard_in, response
from tests.bench.hear.voices import Speaker, spoken

PLANS = Path(__file__).parents[4] / "plans"
FORTUNES = Path("/usr/share/games/fortunes")
COMMANDS, BRIEF = 0.6, 0.6
NEAR, RIVALS = 24, 8
"""How many commands that come near are looked at, and how many are kept at most."""
EVEN = 0.7
"""The power of a word's share: below 1, what is seldom said is learned a little more than it is said."""
RIRS = 80
WET, NOISY, TWO, TILTED, COLOURED, TELEPHONE = 0.7, 0.85, 0.3, 0.5, 0.6, 0.25
RATIO_DB = (-2.0, 18.0)
MADE_UP, TALK = 0.2, 0.1
"""Shares of noise that no clip has: hisses, and others talking."""
LONGEST_S = 4.8
_SENTENCE = re.compile(r"[A-Z][A-Za-z' ,]+[.!?]")
_WORDS = (3, 9)


@dataclass(frozen=True, slots=True)
class Lesson:
    """Words as Whisper writes them, somebody saying them close by, and other commands that come near."""

    text: str
    speech: Samples
    rivals: tuple[str, ...] = ()


def lessons(
    count: int,
    cache_folder: Path,
    seed: int = 1,
    who: Callable[[random.Random], Speaker] = somebody,
    *,
    has_rivals: bool = True,
) -> tuple[Lesson, ...]:
    """So many of them, less those too long and those the bench has; the same for the same seed."""
    chance, others = random.Random(seed), random.Random(seed + 1)
    sentences = _sentences()
    if not sentences:
        print(
            f"no sentences: {FORTUNES} is missing (Debian's fortunes); commands alone are learned",
            file=sys.stderr,
        )

    def drawn() -> _Drawn:
        is_command = not sentences or chance.random() < COMMANDS
        ways = (chance if is_command else others).choice(_every_way())
        return is_command, ways.drawn(chance) if is_command else chance.choice(sentences), who(chance), ways

    return _said([drawn() for _ in range(count)], cache_folder, has_rivals=has_rivals)


def brief(
    count: int,
    cache_folder: Path,
    seed: int = 11,
    who: Callable[[random.Random], Speaker] = somebody,
    *,
    has_rivals: bool = True,
) -> tuple[Lesson, ...]:
    """So many lessons of a word or two: short commands, and any words at all, written as if they were."""
    chance = random.Random(seed)
    words = sorted(word for word in set(common()) if word.isalpha() and 3 <= len(word) <= 9)

    def drawn() -> _Drawn:
        ways = chance.choice(_every_way()[::2])  # those of the answer window
        is_command = chance.random() < BRIEF
        return True, _short(ways, chance) if is_command else _any(words, chance), who(chance), ways

    return _said([drawn() for _ in range(count)], cache_folder, has_rivals=has_rivals)


def _said(wanted: Sequence[_Drawn], cache_folder: Path, *, has_rivals: bool) -> tuple[Lesson, ...]:
    """Lessons of these, less those too long and those the bench has."""
    benched = {phrase.text for phrase in phrases()}

    def made(one: _Drawn) -> Lesson:
        is_command, said, speaker, ways = one
        speech = spoken(said, speaker, cache_folder)
        rivals = tuple(_as_written(text) for text in ways.rivals(said)) if has_rivals else ()
        return Lesson(_as_written(said) if is_command else f" {said}", speech, rivals)

    with ThreadPoolExecutor(os.cpu_count()) as hands:
        new = [one for one in wanted if one[1].removeprefix(f"{ADDRESS} ") not in benched]
        everything = hands.map(made, new)
        return tuple(one for one in everything if 0 < len(one.speech) < LONGEST_S * SAMPLE_RATE)


def _short(ways: _Ways, chance: random.Random) -> str:
    while len((said := ways.drawn(chance)).split()) > 2:
        pass
    return said


def _any(words: Sequence[str], chance: random.Random) -> str:
    return " ".join(chance.choice(words) for _ in range(chance.choice((1, 1, 2))))


def _as_written(said: str) -> str:
    start = f"{ADDRESS} "
    if said.startswith(start):
        return f"{opened(ADDRESS)} {said[len(start) :]}."
    return written(said)


class _Ways:
    """What may be said at one moment of a demo dinner."""

    def __init__(self, sayable: Sayable) -> None:
        self._sayable = sayable
        network = sayable.network()
        self._final = network.final
        self._search = Searchable(network)
        self._by_source: dict[int, list[Arc]] = {}
        for arc in network.arcs:
            self._by_source.setdefault(arc.source, []).append(arc)

    def drawn(self, chance: random.Random) -> str:
        """A command."""
        state, words = 0, []
        while state != self._final:
            arcs = self._by_source[state]
            arc = chance.choices(arcs, [arc.share**EVEN for arc in arcs])[0]
            words += [arc.word] if arc.word else []
            state = arc.target
        return " ".join(words)

    def rivals(self, said: str) -> tuple[str, ...]:
        """Commands that are spelled most like these words and mean something else, no two alike."""
        heard = " ".join(re.sub(r"[^a-z' ]", " ", said.lower()).split())
        own = self._sayable.meaning(heard)
        near = (*partners(heard), *(one.text for one in islice(nearest(self._search, heard), NEAR)))
        meant = {self._sayable.meaning(text): text for text in reversed(near) if self._sayable.accepts(text)}
        return tuple(text for meaning, text in meant.items() if meaning != own)[-RIVALS:]


_Drawn = tuple[bool, str, Speaker, _Ways]
"""Whether it is a command, its words, who says it, and the moment it is said at."""


@cache
def _every_way() -> Sequence[_Ways]:
    """The demo dinners in full swing, by turns in the answer window and outside it."""
    states = [
        in_full_swing(dinner_of(plan, settings_for(None), NOW), NOW) for plan in sorted(PLANS.glob("*.yaml"))
    ]
    return [
        _Ways(sayable_in_full_swing(state, NOW, in_window=in_window))
        for state in states
        for in_window in (True, False)
    ]


def _sentences() -> list[str]:
    found: set[str] = set()
    for file in sorted(FORTUNES.glob("*.u8")):
        for quote in file.read_text("utf-8", "ignore").split("%"):
            plain = re.sub(r"\s+", " ", re.sub(r"\s*--.*", "", quote, flags=re.DOTALL))
            found.update(part.strip() for part in re.split(r"(?<=[.!?]) ", plain))
    few, many = _WORDS
    return sorted(s for s in found if _SENTENCE.fullmatch(s) and few <= len(s.split()) <= many)


class Heard:
    """Lessons as they reach a microphone in some kitchen."""

    def __init__(self, learned: Sequence[Lesson], clips: Sequence[Clip], seed: int) -> None:
        self._lessons = learned
        self._chance = np.random.default_rng(seed)
        self._noises = [read_wav(clip.file) for clip in clips]
        self.rooms = list(_rooms())

    def one(self) -> tuple[Lesson, Samples]:
        """Any of them, and how it is heard, float32[n]."""
        chance = self._chance
        lesson = self._lessons[int(chance.integers(len(self._lessons)))]
        speech = lesson.speech
        if chance.random() < WET:
            wet = heard_in(speech, self.rooms[int(chance.integers(len(self.rooms)))])
            speech = wet[: len(speech) + SAMPLE_RATE // 5]
        before, after = chance.uniform(0.1, 0.4), chance.uniform(0.15, 0.5)
        sound = np.pad(speech, (int(before * SAMPLE_RATE), int(after * SAMPLE_RATE)))
        loud = speech[np.abs(speech) > LOUD]
        if self._noises and len(loud) and chance.random() < NOISY:
            noise = self.noise(len(sound))
            ratio = 10 ** (chance.uniform(*RATIO_DB) / 10)
            sound = sound + np.sqrt(np.mean(loud**2) / max(float(np.mean(noise**2)), 1e-12) / ratio) * noise
        if chance.random() < COLOURED:
            sound = self._microphone(sound)
        sound = sound * 10 ** chance.uniform(-0.7, 0.3)
        limited: Samples = (sound * min(1.0, 0.95 / max(float(np.abs(sound).max()), 1e-9))).astype(np.float32)
        return lesson, limited

    def _microphone(self, sound: NDArray[np.floating]) -> NDArray[np.floating]:
        """As a microphone that is not even hears it; some hear no more than a telephone does."""
        chance = self._chance
        parts = np.fft.rfft(sound)
        octaves = np.linspace(0, 7, len(parts))
        gains = 10 ** (np.interp(octaves, np.arange(8), chance.normal(0, 3, 8)) / 20)
        if chance.random() < TELEPHONE:
            gains[int(len(parts) * chance.uniform(0.42, 0.5)) :] = 1e-3
        return np.fft.irfft(parts * gains, len(sound))

    def noise(self, length: int) -> Samples:
        """One recording or two, a little brighter or duller than it is."""
        noise: NDArray[np.floating] = self._part(length)
        if self._chance.random() < TWO:
            noise = noise + self._chance.uniform(0.2, 1.0) * self._part(length)
        if self._chance.random() < TILTED:
            noise = noise + self._chance.uniform(-0.7, 0.7) * np.concatenate([[0.0], noise[:-1]])
        return noise.astype(np.float32)

    def _part(self, length: int) -> Samples:
        drawn = self._chance.random()
        if drawn < MADE_UP:
            part = self._made_up(length)
        elif drawn < MADE_UP + TALK:
            part = self._talk(length)
        else:
            part = self._clip(length)
        even: Samples = part / max(float(np.sqrt(np.mean(part**2))), 1e-6)
        return even

    def _clip(self, length: int) -> Samples:
        whole = self._noises[int(self._chance.integers(len(self._noises)))]
        return np.resize(np.roll(whole, -self._chance.integers(len(whole))), length)

    def _made_up(self, length: int) -> NDArray[np.floating]:
        """A hiss or a rumble of any colour, which swells a little."""
        chance = self._chance
        parts = np.fft.rfft(chance.normal(size=length))
        bands = np.interp(np.linspace(0, 7, len(parts)), np.arange(8), chance.normal(0, 9, 8))
        slope = -3.0 * np.log2(np.linspace(1, 2**7, len(parts)))
        even = np.fft.irfft(parts * 10 ** ((bands + chance.uniform(0, 2) * slope) / 20), length)
        swell = np.interp(np.arange(length), np.linspace(0, length, 6), chance.normal(0, 2.5, 6))
        return even * 10 ** (swell / 20)

    def _talk(self, length: int) -> NDArray[np.floating]:
        """Two to five others at once, in a room."""
        total = np.zeros(length)
        for _ in range(int(self._chance.integers(2, 6))):
            other = self._lessons[int(self._chance.integers(len(self._lessons)))].speech
            far = heard_in(other, self.rooms[int(self._chance.integers(len(self.rooms)))])
            total += np.resize(np.roll(far, -self._chance.integers(len(far))), length)
        return total


def _rooms() -> Iterator[NDArray[np.float64]]:
    chance = np.random.default_rng(5)
    count = 0
    while count < RIRS:
        size = chance.uniform((2.0, 2.6, 2.3), (5.0, 6.5, 2.9))
        mouth = chance.uniform((0.4, 0.4, 1.2), size - (0.4, 0.4, 0.5))
        microphone = chance.uniform((0.3, 0.3, 0.8), size - (0.3, 0.3, 0.8))
        absorption = float(chance.uniform(0.2, 0.55))
        if 0.3 < np.linalg.norm(mouth - microphone) < 3.5:
            a, b, c = (tuple(map(float, point)) for point in (size, mouth, microphone))
            room = Room(name="made up", size=a, absorption=absorption, mouth=b, microphone=c, part="tune")  # type: ignore[arg-type]
            yield response(room, 0.4)
            count += 1
