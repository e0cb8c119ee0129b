"""Whether the cook is heard over kitchend's own voice, and whether it ever takes its own for the cook's.

Both are put together from known sound: what comes back of kitchend's voice (as it is, or through a
simulated room), the cook's phrase at a ratio of loudness to it, a little noise of the microphone itself,
and a loudspeaker whose clock runs apart from the microphone's. It goes through the listener a dinner uses,
with and without the canceller. Prints; asserts nothing.

python -m tests.bench.speak.barge_in [--trials N] [--own N] [--only TEXT]
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import cycle, islice

import numpy as np
import soxr

from kitchend.hearing import SoundListener, build
from kitchend.hearing.barge_in import BargeIn
from kitchend.hearing.capture import ArraySource
from kitchend.hearing.own_voice import OwnVoice
from kitchend.hearing.ports import SAMPLE_RATE, Heard, Samples
from kitchend.hearing.shortlist import same_words
from kitchend.rehearsal.cook_voices import cook_voice
from kitchend.service.wall_clock import Stopwatch, running_s
from kitchend.speaking.espeak_voice import EspeakVoice
from kitchend.speaking.mouth import with_chime
from tests.bench.hear.corpus import SCENES
from tests.bench.hear.kitchen import sayable_of
from tests.bench.hear.rooms import ROOMS, heard_in, response
from tests.bench.speak.sentences import said_at

SCENE = "lock"
COOKS = ("slt", "rms", "awb")
LATE_S = 0.11
"""How long after the device's word the sound is at the microphone."""

PROMISE_S = 0.03
"""How far the device's word may be off."""

WARM = 4
"""Utterances at the beginning that only teach the canceller."""

GAP_S = 1.6
AFTER_S = 1.0
"""When the cook begins, after kitchend does."""

HISS = 3e-4
KINDS = ("now", "up", "soon", None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """How it sounds: the room (None: none), the cook against kitchend, and the loudspeaker's clock."""

    room: str | None
    ratio_db: float | None = 0.0
    drift_ppm: float = 0.0
    cancels: bool = True

    @property
    def name(self) -> str:
        """A cell of the table."""
        cook = "kitchend alone" if self.ratio_db is None else f"cook at {self.ratio_db:+g} dB"
        clock = f", clocks {self.drift_ppm:g} ppm apart" if self.drift_ppm else ""
        return f"{self.room or 'no room'}, {cook}{clock}, {'with' if self.cancels else 'without'} canceller"


SCENES_HEARD = (
    *(Scene(room=room, cancels=cancels) for room in (None, "square", "tiled") for cancels in (False, True)),
    Scene(room="square", ratio_db=-5.0),
    Scene(room="square", ratio_db=5.0),
    Scene(room="square", drift_ppm=50.0),
    Scene(room="square", drift_ppm=-100.0),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One utterance of kitchend's, and what the cook says over it ("": nothing); 16 kHz."""

    own: Samples
    phrase: str
    cook: Samples


class Told(ArraySource):
    """An array as a microphone, which tells the listener what is played when it comes to it."""

    def __init__(self, samples: Samples, own: OwnVoice | None, plays: Sequence[tuple[int, Samples]]) -> None:
        super().__init__(samples)
        self._plays = list(plays)
        self._told_to = own

    def blocks(self) -> Iterator[Samples]:
        """Its blocks; each utterance is told of just before it begins."""
        for block in super().blocks():
            while self._plays and self._plays[0][0] <= self.received:
                at, sound = self._plays.pop(0)
                if self._told_to is not None:
                    self._told_to.begins_at(sound, at)
            yield block


def utterances(count: int, phrases: Sequence[str], voice: EspeakVoice) -> Iterator[Said]:
    """So many, the first few with nobody speaking over them; each lasts longer than what is said over it."""
    texts = [text for text in said_at(SCENES / f"{SCENE}.yaml") if len(text) > 45]
    cooks = [cook_voice(name) for name in COOKS]
    for number, text in enumerate(islice(cycle(texts), count + WARM)):
        own = with_chime(voice.render(text), KINDS[number % len(KINDS)]).resampled(SAMPLE_RATE).samples
        phrase = phrases[number % len(phrases)] if number >= WARM and phrases else ""
        words = (
            cooks[number % len(cooks)].render(phrase).resampled(SAMPLE_RATE).samples if phrase else own[:0]
        )
        yield Said(own=own, phrase=phrase, cook=words)


def laid_out(
    said: Sequence[Said], scene: Scene, seed: int = 1
) -> tuple[Samples, list[tuple[int, Samples]], list[int]]:
    """What the microphone gets of all of it; when each utterance is said to begin; and when it ends."""
    chance = np.random.default_rng(seed)
    length = sum(len(one.own) + len(one.cook) + int(GAP_S * SAMPLE_RATE) for one in said) + SAMPLE_RATE
    heard = chance.normal(0.0, HISS, length).astype(np.float32)
    way = None if scene.room is None else response(next(r for r in ROOMS if r.name == scene.room))
    plays, ends, at = [], [], SAMPLE_RATE
    for one in said:
        told = at - int((LATE_S + chance.uniform(-PROMISE_S, PROMISE_S)) * SAMPLE_RATE)
        plays.append((told, one.own))
        back = drifted(one.own, scene.drift_ppm)
        back = back if way is None else heard_in(back, way)
        _add(heard, back, at)
        end = at + len(back)
        if len(one.cook) and scene.ratio_db is not None:
            level = loudness(back) / loudness(one.cook) * 10 ** (scene.ratio_db / 20)
            start = at + int(AFTER_S * SAMPLE_RATE)
            _add(heard, one.cook * np.float32(level), start)
            end = max(end, start + len(one.cook))
        at = end + int(GAP_S * SAMPLE_RATE)
        ends.append(at)
    return heard[: at + SAMPLE_RATE], plays, ends


def drifted(sound: Samples, ppm: float) -> Samples:
    """The sound by a clock that runs so many millionths fast."""
    return np.asarray(soxr.resample(sound, 1.0 + ppm * 1e-6, 1.0), np.float32) if ppm else sound


def loudness(sound: Samples) -> float:
    """The root mean square of what is not silence."""
    loud = sound[np.abs(sound) > 0.01 * np.abs(sound).max()]
    return float(np.sqrt(np.mean(np.square(loud, dtype=np.float64))))


def _add(heard: Samples, sound: Samples, at: int) -> None:
    part = heard[at : at + len(sound)]
    part += sound[: len(part)]


def heard_in_scene(said: Sequence[Said], scene: Scene) -> list[list[Heard]]:
    """What the listener made of each utterance's time, the warming ones among them."""
    own = OwnVoice() if scene.cancels else None
    listener: SoundListener = build(ears="both", seconds=running_s, own=own)
    listener.listen_for(sayable_of(SCENE, True))
    sound, plays, ends = laid_out(said, scene)
    found: list[list[Heard]] = [[] for _ in said]

    def keep(heard: Heard) -> None:
        at = source.received
        number = next((n for n, end in enumerate(ends) if at <= end), len(ends) - 1)
        found[number].append(heard)

    source = Told(sound, own, plays)
    listener.listen(source, keep, lambda: None)
    listener.close()
    return found


def report(said: Sequence[Said], scene: Scene) -> None:
    """A line of the table."""
    found = heard_in_scene(said, scene)
    right = sum(
        any(h.accepted and same_words(h.text, one.phrase) for h in got)
        for one, got in zip(said[WARM:], found[WARM:], strict=True)
    )
    wrong = [
        h.text
        for one, got in zip(said, found, strict=True)
        for h in got
        if h.accepted and not same_words(h.text, one.phrase)
    ]
    print(f"| {scene.name} | {right} of {len(said) - WARM} | {len(wrong)} |", "; ".join(wrong), flush=True)


def own_alone(count: int, scene: Scene, voice: EspeakVoice) -> None:
    """How often kitchend takes its own sentences for the cook's."""
    said = list(utterances(count, (), voice))
    found = heard_in_scene(said, scene)
    taken = [heard.text for got in found for heard in got if heard.accepted]
    phrases = sum(map(len, found))
    print(
        f"| {scene.name} | {len(said)} sentences | {phrases} phrases opened, {len(taken)} accepted |",
        "; ".join(taken),
        flush=True,
    )


def cost() -> None:
    """What cancelling takes of one core while kitchend speaks."""
    chance = np.random.default_rng(1)
    own = chance.normal(0, 0.1, 20 * SAMPLE_RATE).astype(np.float32)
    known = OwnVoice()
    known.begins_at(own, 0)
    taking, watch = BargeIn(known), Stopwatch()
    for start in range(0, len(own), 512):
        list(taking.take(own[start : start + 512]))
    print(f"cancelling takes {watch.took_s / 20:.1%} of one core while kitchend speaks, none else")


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--trials", type=int, default=60)
    parser.add_argument("--own", type=int, default=120, help="own sentences to run without a cook")
    parser.add_argument("--only", default="", help="only scenes with this in their name")
    wish = parser.parse_args()
    voice = EspeakVoice()
    candidates = [text for text in sayable_of(SCENE, True).candidates() if text not in {"yes", "no"}]
    phrases = ["quiet", "heard", *candidates[:: max(1, len(candidates) // 28)]]
    cost()
    print("\n| what is heard | own sentences | taken for the cook |\n|---|---|---|")
    alone = [Scene(room=room, ratio_db=None) for room in (None, "square", "tiled")]
    for scene in (*alone, Scene(room="square", ratio_db=None, drift_ppm=100.0)):
        if wish.own and wish.only in scene.name:
            own_alone(wish.own, scene, voice)
    said = list(utterances(wish.trials, phrases, voice))
    print("\n| what is heard | right | wrongly accepted |\n|---|---|---|")
    for scene in SCENES_HEARD:
        if wish.only in scene.name:
            report(said, scene)


if __name__ == "__main__":
    main()
