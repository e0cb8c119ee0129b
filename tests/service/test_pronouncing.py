"""A plan's `say:` from the file to the loudspeaker: the sound differs, and nothing that is shown does.

Phonemes are what espeak-ng itself says it speaks (`espeak-ng -x`).
"""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest

from kitchend.board.view import view_of_dinner
from kitchend.board.watch import Watcher
from kitchend.core.board_words import ENGLISH
from kitchend.core.effects import CallKind
from kitchend.errors import DeviceError
from kitchend.files.plan_yaml import read_plan
from kitchend.reports.status import status_json, status_text
from kitchend.service.keeping import event_of, json_of
from kitchend.service.memory import MemoryMouth
from kitchend.service.pronouncing import PronouncingMouth, PronouncingVoice
from kitchend.speaking.espeak_voice import EspeakVoice
from tests.service.kitchen import PLAN_TEXT, Kitchen, plan_in

WITH_SAY = PLAN_TEXT.replace("rice", "quinoa") + "say: {quinoa: keen wah}\n"
CALL = "Boil the quinoa now. One minute."
AS_SAID = "Boil the keen wah now. One minute."


class Pronounced:
    """A dinner whose mouth says things as the plan has them said."""

    def __init__(self, folder: Path) -> None:
        self.mouth = MemoryMouth()
        outer = PronouncingMouth(self.mouth, lambda: self.kitchen.runner.state.plan)
        self.kitchen = Kitchen(read_plan(plan_in(folder, WITH_SAY)), mouth=outer)
        self.watcher = Watcher(hears=True, speaks=True)
        self.kitchen.runner.watch(self.watcher.see)
        self.kitchen.begin()

    @property
    def said(self) -> str:
        return " ".join(one.text for one in self.mouth.said)


def test_calls_and_replies_are_said_so_and_shown_as_they_are_written(tmp_path: Path) -> None:
    dinner = Pronounced(tmp_path)
    dinner.kitchen.wait(1)
    dinner.kitchen.type("quinoa is on")
    dinner.kitchen.type("how long on the quinoa")
    assert "keen wah" in dinner.said
    assert "quinoa" not in dinner.said.lower()
    state, now = dinner.kitchen.runner.state, dinner.kitchen.clock.now()
    shown = [
        json.dumps(view_of_dinner(state, now, dinner.watcher, ENGLISH)),
        status_text(status_json(state, now)),
        state.last_words,
        *(json_of(event) for event, _ in dinner.kitchen.journal.events()),
    ]
    assert all("quinoa" in text.lower() for text in shown[:3])
    assert not any("keen wah" in text for text in shown[:3])
    started = next(text for text in shown[3:] if '"timeline"' in text)
    assert event_of("DinnerStarted", started) in [event for event, _ in dinner.kitchen.journal.events()]


def test_what_is_made_ready_is_what_will_be_said(tmp_path: Path) -> None:
    dinner = Pronounced(tmp_path)
    dinner.kitchen.wait(0.1)
    dinner.kitchen.type("quinoa is on")
    dinner.kitchen.wait(8)
    ahead = " ".join(dinner.mouth.prepared)
    assert "keen wah" in ahead
    assert "quinoa" not in ahead.lower()


def test_a_mouth_is_stopped_and_answers_as_ever(tmp_path: Path) -> None:
    mouth, answers = MemoryMouth(holds=True), list[bool]()
    outer = PronouncingMouth(mouth, lambda: None)
    outer.say("Quinoa on.", CallKind.REPLY, answers.append)
    outer.stop()
    assert ([one.text for one in mouth.said], answers) == (["Quinoa on."], [False])


def test_the_sound_is_that_of_the_saying(tmp_path: Path) -> None:
    plan = read_plan(plan_in(tmp_path, WITH_SAY))
    voice = EspeakVoice()
    try:
        plain = voice.render(CALL)
    except DeviceError as error:
        pytest.skip(str(error))
    # The same words last the same to a few samples, other words do not.
    said = PronouncingVoice(voice, lambda: plan).render(CALL)
    meant = voice.render(AS_SAID)
    assert said.duration_s == pytest.approx(meant.duration_s, abs=0.01)
    assert abs(said.duration_s - plain.duration_s) > 0.03


def test_the_phonemes_differ_between_the_written_and_the_said() -> None:
    if shutil.which("espeak-ng") is None:
        pytest.skip("espeak-ng is not there: apt-get install espeak-ng")
    written, said = (phonemes(text) for text in ("quinoa", "keen wah"))
    assert written != said
    assert said.replace(" ", "").startswith("k'i:n")


def phonemes(text: str) -> str:
    command = ["espeak-ng", "-q", "-x", "-v", "en-us", text]
    return subprocess.run(command, capture_output=True, text=True, check=True, timeout=60).stdout.strip()
