"""The demo plans rehearsed aloud: flite's voices through the real listener, both ears, a steady cook."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.rehearsal import rehearse
from kitchend.rehearsal.cook_voices import available
from kitchend.speaking.sound import from_wav
from tests.rehearsal.kitchen import PLANS, supper

pytestmark = [
    pytest.mark.slow,
    pytest.mark.timeout(900),
    pytest.mark.skipif("slt" not in available(), reason="flite is not installed: apt-get install flite"),
]


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_a_steady_cook_heard_by_both_ears_serves_every_demo_plan(path: Path) -> None:
    lines: list[str] = []

    score = rehearse(path, ears="both", on_line=lines.append)

    assert score.steps_done == score.steps
    assert score.lost_timers == ()
    assert score.unsaid == ()
    assert score.late_by_s is not None
    assert abs(score.late_by_s) <= 120
    assert score.right_share >= 0.95, score.summary()


def test_a_rehearsal_can_be_listened_to_afterwards(tmp_path: Path) -> None:
    wav = tmp_path / "dinner.wav"

    score = rehearse(supper(tmp_path), ears="first", wav=wav)

    turns = score.calls + score.replies + len(score.phrases)
    sound = from_wav(wav)
    assert turns < sound.duration_s < 6.0 * turns
    assert sound.peak > 0.3
