"""The bench counts what talk would have moved."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from kitchend.hearing.ports import SAMPLE_RATE, Heard, Samples
from tests.bench.hear.chatter import Stretch
from tests.bench.hear.kitchen import Kitchen
from tests.bench.hear.run import chatter


class OneHearing(Kitchen):
    """A kitchen whose listener makes the same of every recording."""

    def __init__(self, text: str, *, accepted: bool) -> None:
        self._heard = Heard(
            text=text, accepted=accepted, reason="", started_s=0, ended_s=1, audio_s=1, took_s=0
        )

    def expect(self, scene: str, in_window: bool) -> None:
        """Any dinner will do."""

    def hear_all(self, sound: Samples) -> Iterator[Heard]:
        """One phrase."""
        yield self._heard


@pytest.mark.parametrize(
    ("text", "accepted", "false"),
    [
        ("time the eggs for ten minutes", True, 2),
        ("time the eggs for ten minutes", False, 0),
        ("what's next", True, 0),
    ],
)
def test_only_what_would_move_something_is_a_false_action(text: str, accepted: bool, false: int) -> None:
    talk = [Stretch(name=name, sound=np.zeros(30 * SAMPLE_RATE, np.float32)) for name in ("one", "two")]
    found = chatter(OneHearing(text, accepted=accepted), talk, (), "tune", in_window=True)
    assert found["false_actions"] == false
    assert found["an_hour"] == pytest.approx(false / (found["minutes"] / 60), rel=0.1)
