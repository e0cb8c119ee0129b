"""The corpus of `make bench-hearing` is as large and mixed as it claims, and its two parts share nothing."""

from __future__ import annotations

from itertools import islice
from pathlib import Path

import numpy as np
import pytest

from kitchend.core.intents import _NAMES as INTENTS
from kitchend.files.plan_yaml import read_plan
from kitchend.hearing.ports import SAMPLE_RATE
from kitchend.speaking.sound import from_samples
from tests.bench.hear.chatter import sentences
from tests.bench.hear.corpus import SCENES, part_of, phrases, scenes
from tests.bench.hear.kitchen import state_of
from tests.bench.hear.noise import clips
from tests.bench.hear.outcomes import is_in_grammar
from tests.bench.hear.rooms import ROOMS
from tests.bench.hear.run import FULL, Size
from tests.bench.hear.trials import RATIOS_DB
from tests.bench.hear.voices import SPEAKERS, SPEEDS

ONE_QUESTION_ONLY = {"number", "away"}
"""Answers to one question each: recordings are heard at a moment when it is not asked."""

NAMED_BY_HOW = {"start", "finish"}
"""What `intent_name` calls a step that is said to be on, or done."""


def test_the_phrases_are_of_five_dinners_that_are_no_demo_plans() -> None:
    demos = {read_plan(path).name for path in (Path(__file__).parents[2] / "plans").rglob("*.yaml")}
    plans = {read_plan(SCENES / f"{scene}.yaml").name for scene in scenes()}
    assert len(plans) == 5
    assert not plans & demos
    assert len(phrases()) >= 300
    assert all(sum(phrase.scene == scene for phrase in phrases()) >= 60 for scene in scenes())


def test_every_intent_is_said() -> None:
    every = (set(INTENTS.values()) | NAMED_BY_HOW | {"step"}) - {"unclear"} - ONE_QUESTION_ONLY
    assert {phrase.intent for phrase in phrases()} == every


@pytest.mark.parametrize("scene", scenes())
def test_every_phrase_can_be_read_as_what_is_meant(scene: str) -> None:
    state = state_of(scene)
    mine = [phrase for phrase in phrases() if phrase.scene == scene]
    astray = [f"[{p.intent}] {p.text}" for p in mine if not is_in_grammar(p, state)]
    # A corpus made only of what the grammar holds would measure nothing of what it leaves out.
    assert len(astray) <= len(mine) // 10, astray


def test_the_parts_share_no_phrase_no_voice_no_room_and_no_frame_of_talk() -> None:
    tune, report = ({p.text for p in phrases() if part_of(p) == part} for part in ("tune", "report"))
    assert not tune & report
    assert min(len(tune), len(report)) > 0.4 * (len(tune) + len(report))
    people = {part: {one.voice for one in SPEAKERS if one.part == part} for part in ("tune", "report")}
    assert not people["tune"] & people["report"]
    assert {room.part for room in ROOMS} == {"tune", "report"}
    talk = {part: set(islice(sentences(part), 400)) for part in ("tune", "report")}
    assert not talk["tune"] & talk["report"]


def test_the_clips_of_a_noise_are_split(tmp_path: Path) -> None:
    for name in ("hood-1", "hood-2", "hood-3", "tap-1", "tap-2", "bell"):
        from_samples(np.zeros(1600, np.float32), SAMPLE_RATE).to_wav(tmp_path / f"{name}.wav")
    found = clips(tmp_path)
    for kind in ("hood", "tap"):
        assert {clip.part for clip in found if clip.kind == kind} == {"tune", "report"}


def test_the_full_form_is_as_long_as_it_must_be() -> None:
    assert len(SPEAKERS) >= 8
    assert len(SPEEDS) >= 3
    assert len({speaker.throat for speaker in SPEAKERS}) >= 3
    assert {None, 20.0, 15.0, 10.0, 5.0, 0.0} == set(RATIOS_DB) == set(FULL.ratios)
    assert isinstance(FULL, Size)
    assert FULL.phrases >= len(phrases())
    assert FULL.talk_min >= 60
    assert FULL.noise_min >= 30
