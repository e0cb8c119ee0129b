"""The phrases that are spoken: five dinners, what a cook may say at each, by intent; who says what, and how.

Nothing here knows what the grammar holds, so that a phrase it cannot hear counts as missed. Half the phrases
begin with the address phrase. Phrases, voices and noise clips each fall into a part to tune on and a part to
report, by their own names, so that what is added later moves nobody.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, TypeVar

SCENES = Path(__file__).parent / "scenes"
ADDRESS = "hey kitchen"
TUNED_SHARE = 0.5

Part = Literal["tune", "report"]
T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Phrase:
    """What is said at a dinner, without the address phrase, and what is meant."""

    scene: str
    intent: str
    text: str
    is_addressed: bool

    @property
    def said(self) -> str:
        """All the words."""
        return f"{ADDRESS} {self.text}" if self.is_addressed else self.text

    @property
    def plan(self) -> Path:
        """The file of the dinner."""
        return SCENES / f"{self.scene}.yaml"


def share_of(*names: object) -> float:
    """A number from 0 to 1 that is always the same for the same names."""
    digest = hashlib.sha256(" ".join(map(str, names)).encode()).digest()
    return int.from_bytes(digest[:6]) / 2**48


def scenes() -> tuple[str, ...]:
    """The dinners by name."""
    return tuple(sorted(path.stem for path in SCENES.glob("*.yaml")))


def phrases(part: Part | None = None) -> tuple[Phrase, ...]:
    """All phrases, or those of one part."""
    found = (phrase for scene in scenes() for phrase in _phrases_of(scene))
    return tuple(phrase for phrase in found if part in (None, part_of(phrase)))


def part_of(phrase: Phrase) -> Part:
    """Which part a phrase belongs to: the same words are in the same part at every dinner."""
    return "tune" if share_of("part", phrase.text) < TUNED_SHARE else "report"


def _phrases_of(scene: str) -> Iterator[Phrase]:
    intent = ""
    for line in (SCENES / f"{scene}.txt").read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            intent = line.strip("[]")
        elif line and not line.startswith("#"):
            is_addressed = share_of("addressed", scene, line) < 0.5
            yield Phrase(scene=scene, intent=intent, text=line, is_addressed=is_addressed)


def thinned(things: Sequence[T], most: int) -> tuple[T, ...]:
    """At most so many of them, evenly spread."""
    if len(things) <= most:
        return tuple(things)
    return tuple(things[i * len(things) // most] for i in range(most))
