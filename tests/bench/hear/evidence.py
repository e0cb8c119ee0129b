"""What the ears made of the tuning part, as the numbers the rule judges by, kept in `evidence.jsonl`.

One line a phrase of speech, with the places of its right readings; talk has none. The fit needs nothing
else, so anyone can run it again without the sound; this script makes the lines anew from the sound:
    PYTHONPATH=. .venv/bin/python -m tests.bench.hear.evidence --noise FOLDER
With `--ears first` it is what they make of them without Whisper, in `evidence-alone.jsonl`.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

from kitchend.core.intents import understand
from kitchend.hearing.accept import Evidence
from kitchend.hearing.ports import (
    FirstEar,
    Heard,
    IsWanted,
    Judgement,
    Proposal,
    Samples,
    Sayable,
    SecondEar,
    always,
)
from kitchend.service.wall_clock import running_s
from tests.bench.hear.chatter import people, read_aloud
from tests.bench.hear.corpus import scenes
from tests.bench.hear.fit import ALONE, BOTH
from tests.bench.hear.kitchen import sayable_of, state_of
from tests.bench.hear.noise import Clip, clips, mixed, noise_folder
from tests.bench.hear.trials import trials

PRE_ROLL_S = 0.3
MOST_READINGS = 12
DIGITS = 3


class Remembering:
    """Both ears, or the first and what judges in place of a second, remembering what they last said."""

    def __init__(self, first: FirstEar, second: SecondEar) -> None:
        self._first = first
        self._second = second
        self.proposal = Proposal(readings=())
        self.judgement: Judgement | None = None

    def listen_for(self, sayable: Sayable) -> None:
        """As the first ear does."""
        self._first.listen_for(sayable)

    def feed(self, samples: Samples) -> str:
        """As the first ear does."""
        return self._first.feed(samples)

    def finish(self) -> Proposal:
        """As the first ear does."""
        self.proposal = self._first.finish()
        return self.proposal

    def judge(
        self, phrase: Samples, sayable: Sayable, proposed: tuple[str, ...], is_wanted: IsWanted = always
    ) -> Judgement:
        """As the second ear does."""
        self.judgement = self._second.judge(phrase, sayable, proposed, is_wanted)
        return self.judgement

    def evidence_of(self, heard: Heard) -> Evidence:
        """What the rule was given for a phrase that has just been heard."""
        speech_s = max(0.0, heard.ended_s - heard.started_s - PRE_ROLL_S)
        return Evidence(speech_s=speech_s, proposed=self.proposal.best, judgement=self.judgement)


def _ears(*, is_alone: bool) -> Remembering:
    from kitchend.hearing.denoise import DeepFilter, Denoised
    from kitchend.hearing.phone_ear import PhoneEar
    from kitchend.hearing.pocketsphinx_ear import PocketSphinxEar
    from kitchend.hearing.weights import whisper_folder
    from kitchend.hearing.whisper_ear import WhisperEar

    first, phones = Denoised(PocketSphinxEar(), DeepFilter()), PhoneEar()
    return Remembering(first, phones if is_alone else WhisperEar(whisper_folder(), phones=phones))


def lines(
    noises: tuple[Clip, ...], most: int, talk_min: float, cache: Path, *, is_alone: bool = False
) -> Iterator[dict[str, Any]]:
    """All of it, commands first."""
    from kitchend.hearing.listener import SoundListener
    from kitchend.hearing.silero import Silero

    ears = _ears(is_alone=is_alone)
    listener = SoundListener(first=ears, second=ears, chance=Silero(), seconds=running_s)
    for trial in trials("tune", noises, most, (None, 10.0, 5.0)):
        phrase = trial.phrase
        listener.listen_for(sayable_of(phrase.scene, not phrase.is_addressed))
        for heard in listener.hear_all(trial.sound(cache)):
            yield _line(ears.evidence_of(heard), phrase.scene, phrase.text) | {
                "said": phrase.said,
                "ratio_db": trial.ratio_db,
            }
    own = [clip for clip in noises if clip.part == "tune"]
    for number, one in enumerate([*read_aloud("tune", talk_min, cache), *people("tune", talk_min / 2)]):
        scene = scenes()[number % len(scenes())]
        listener.listen_for(sayable_of(scene, number % 3 != 0))
        clip = own[number % len(own)] if own and number % 2 else None
        for heard in listener.hear_all(mixed(one.sound, clip, 10.0, one.name)):
            yield _line(ears.evidence_of(heard), scene, None) | {"said": None}
    listener.close()


def _line(evidence: Evidence, scene: str, meant: str | None) -> dict[str, Any]:
    state, judgement = state_of(scene), evidence.judgement
    readings = judgement.ranked if judgement is not None else ()
    command = understand(meant, state).command if meant is not None else None
    right = [reading for reading in readings if understand(reading.text, state).command == command]
    meanings: list[object] = []
    kept = [*right[:1], *(reading for reading in readings if reading not in right[:1])][:MOST_READINGS]
    return {
        "right": [place for place, reading in enumerate(kept) if reading in right],
        "proposed": evidence.proposed,
        "speech_s": round(evidence.speech_s, DIGITS),
        "free": None if judgement is None else [judgement.free.text, round(judgement.free.score, DIGITS)],
        "address": None if judgement is None else _digits(judgement.address),
        "readings": [
            _rounded(asdict(reading))
            | {"meaning": _number(understand(reading.text, state).command, meanings)}
            for reading in kept
        ],
    }


def _number(command: object, known: list[object]) -> int:
    """The command's place among those met before, where it is put if it is new."""
    if command not in known:
        known.append(command)
    return known.index(command)


def _rounded(reading: dict[str, Any]) -> dict[str, Any]:
    return {key: _digits(value) for key, value in reading.items()}


def _digits(value: Any) -> Any:
    return round(value, DIGITS) if isinstance(value, float) else value


def main() -> None:
    """Make the file anew."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--noise", type=Path)
    parser.add_argument("--cache", type=Path, default=Path.home() / ".cache" / "kitchend" / "bench")
    parser.add_argument("--phrases", type=int, default=100)
    parser.add_argument("--talk", type=float, default=6.0, help="minutes of talk")
    parser.add_argument("--ears", choices=("first", "both"), default="both")
    parser.add_argument("--out", type=Path)
    wish = parser.parse_args()
    is_alone = wish.ears == "first"
    noises = clips(noise_folder(wish.noise))
    with (wish.out or (ALONE if is_alone else BOTH).evidence).open("w", encoding="utf-8") as out:
        for line in lines(noises, wish.phrases, wish.talk, wish.cache, is_alone=is_alone):
            out.write(json.dumps(line) + "\n")
            out.flush()


if __name__ == "__main__":
    main()
