"""Which utterances are heard in which noise: each phrase by a voice, in a room and in a noise of its part.

The same phrase is said by the same voice in the same room at every ratio, so that ratios can be compared.
Given the same folder of noise, the trials are always the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from kitchend.hearing.ports import Samples
from tests.bench.hear.corpus import Part, Phrase, T, phrases, share_of, thinned
from tests.bench.hear.noise import Clip, mixed
from tests.bench.hear.rooms import ROOMS, Room, heard_in, response
from tests.bench.hear.voices import Speaker, speakers, spoken

RATIOS_DB: tuple[float | None, ...] = (None, 20.0, 15.0, 10.0, 5.0, 0.0)
DRY_SHARE = 0.3
"""Phrases spoken right into the microphone."""

_click = cache(response)


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One utterance as it reaches the microphone."""

    phrase: Phrase
    speaker: Speaker
    room: Room | None
    clip: Clip | None
    ratio_db: float | None

    def speech(self, cache_folder: Path) -> Samples:
        """The voice in the room."""
        dry = spoken(self.phrase.said, self.speaker, cache_folder)
        return dry if self.room is None else heard_in(dry, _click(self.room))

    def sound(self, cache_folder: Path) -> Samples:
        """The voice in the room and the noise."""
        return mixed(self.speech(cache_folder), self.clip, self.ratio_db, self.phrase.said)


def trials(
    part: Part, noises: Sequence[Clip], most: int, ratios: Sequence[float | None] = RATIOS_DB
) -> Iterator[Trial]:
    """The trials of a part, at most so many phrases, dinner by dinner."""
    voices = speakers(part)
    rooms = [room for room in ROOMS if room.part == part]
    clips = [clip for clip in noises if clip.part == part]
    chosen = thinned(phrases(part), most)
    for phrase in sorted(chosen, key=lambda phrase: (phrase.scene, phrase.is_addressed)):
        speaker = _pick(voices, "voice", phrase)
        is_dry = share_of("dry", phrase) < DRY_SHARE
        room = None if is_dry else _pick(rooms, "room", phrase)
        for ratio in ratios:
            if ratio is not None and not clips:
                continue
            clip = None if ratio is None else _pick(clips, f"clip {ratio}", phrase)
            yield Trial(phrase=phrase, speaker=speaker, room=room, clip=clip, ratio_db=ratio)


def _pick(things: Sequence[T], what: str, phrase: Phrase) -> T:
    return things[int(share_of(what, phrase) * len(things))]
