"""What a recording comes to in words and numbers."""

from __future__ import annotations

import pytest

from kitchend.core.clock import Now, WallTime
from kitchend.hearing.ports import Heard
from kitchend.reports.hear import hear_json
from kitchend.service.full_swing import in_full_swing
from tests.core.lighthouse import BUSY, NOW

MOMENT = Now(NOW, WallTime(1_780_077_600.0, 0))
VALUES = {
    "fifteen": (None, None, 15),
    "one": (None, None, 1),
    "no fifty two degrees": (None, None, 52),
    "half past seven": (None, None, None),
    "five more minutes on the leeks": (5, None, None),
    "the salmon is at sixty two": (None, 62, None),
}


@pytest.mark.parametrize(("text", "values"), VALUES.items(), ids=VALUES)
def test_minutes_degrees_and_numbers_on_their_own(
    text: str, values: tuple[float | None, float | None, int | None]
) -> None:
    heard = Heard(text=text, accepted=True, reason="", started_s=0.5, ended_s=1.5, audio_s=2.0, took_s=0.1)
    found = hear_json("a.wav", heard, in_full_swing(BUSY, MOMENT), MOMENT)
    assert (found["minutes"], found["degrees"], found["number"]) == values
