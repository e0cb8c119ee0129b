"""One listener at the five dinners: sounds in, what was heard out, by the live chain of `kitchend hear`."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.phrases import Sayable
from kitchend.core.state import DinnerState
from kitchend.hearing import Ears, SoundListener, build
from kitchend.hearing.ports import Heard, Samples
from kitchend.service.full_swing import in_full_swing, sayable_in_full_swing
from kitchend.service.listening_back import dinner_of
from kitchend.service.settings import settings_for
from kitchend.service.wall_clock import running_s
from tests.bench.hear.corpus import SCENES

NOW = Now(Instant(1000.0), WallTime(1_780_077_600.0, 0))
"""Any moment will do; always the same one, so that figures can be compared."""


@cache
def state_of(scene: str) -> DinnerState:
    """The dinner in full swing."""
    plan: Path = SCENES / f"{scene}.yaml"
    return in_full_swing(dinner_of(plan, settings_for(None), NOW), NOW)


@cache
def sayable_of(scene: str, in_window: bool) -> Sayable:
    """What may be said at it."""
    return sayable_in_full_swing(state_of(scene), NOW, in_window=in_window)


class Kitchen:
    """A listener and the dinners it may be told to be at; grammars are made once."""

    def __init__(self, ears: Ears) -> None:
        self.listener: SoundListener = build(ears=ears, seconds=running_s)

    def expect(self, scene: str, in_window: bool) -> None:
        """Be at this dinner from now on."""
        self.listener.listen_for(sayable_of(scene, in_window))

    def hear(self, sound: Samples) -> Heard:
        """What is made of a recording of one phrase."""
        return self.listener.hear(sound)

    def hear_all(self, sound: Samples) -> Iterator[Heard]:
        """Every phrase of a longer recording."""
        return self.listener.hear_all(sound)

    def close(self) -> None:
        """Let go of it."""
        self.listener.close()
