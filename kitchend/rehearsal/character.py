"""Who the made-up cook is: how quick, how forgetful, how talkative. Numbers only.

Times are seconds, chances are between 0 and 1. What a cook does with them is decided in `cook`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from kitchend.rehearsal.world import HUMAN_PACE, STEADY_PACE, Pace


@dataclass(frozen=True, slots=True, kw_only=True)
class Character:
    """One kind of cook.

    `answers_s` is how long the cook takes to answer, `walks_off` the chance to be in another room and not
    answer a call before it is repeated, `rewords` the chance to use other words than the plainest,
    `gives_time` the chance that a thing looks not ready when its time is up, `takes_back` the chance of
    having misspoken. `muses_every_s` is how often a question or a remark comes to mind (None: never),
    `moves_pass` whether the guests change the hour once.
    """

    name: str
    pace: Pace
    answers_s: tuple[float, float]
    walks_off: float = 0.0
    rewords: float = 0.0
    gives_time: float = 0.0
    takes_back: float = 0.0
    muses_every_s: float | None = None
    chatters: float = 0.0
    moves_pass: bool = False
    reads_every_s: float = 1200.0


STEADY: Final = Character(name="steady", pace=STEADY_PACE, answers_s=(3.0, 8.0), rewords=0.25)

HUMAN: Final = Character(
    name="human",
    pace=HUMAN_PACE,
    answers_s=(4.0, 45.0),
    walks_off=0.15,
    rewords=0.6,
    gives_time=0.12,
    takes_back=0.06,
    muses_every_s=420.0,
    chatters=0.2,
    moves_pass=True,
    reads_every_s=700.0,
)

CHARACTERS: Final = {character.name: character for character in (STEADY, HUMAN)}
