"""Real kitchend processes whose ears or voice crash, hang or flood in mid-dinner, and are well again later.

The parts are the real ones in a room without hardware. What makes them fail is put around them as Python
starts (sitecustomize), and does so as long as a file says it.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from kitchend.rehearsal.room import Room
from tests.cli.process import hours_on, kitchend
from tests.cli.test_cook import QUICK
from tests.cli.test_in_room import room as room
from tests.cli.test_in_room import say_until_answered

pytestmark = [pytest.mark.sound, pytest.mark.slow]

AROUND = """
import os
from pathlib import Path
from threading import Event

from kitchend.hearing import Heard
from kitchend.hearing.listener import SoundListener
from kitchend.speaking.espeak_voice import EspeakVoice
from kitchend.speaking.sound import silence


def fault():
    return Path(os.environ["KITCHEND_TEST_FAULT"]).read_text()


def fail(how):
    if how == "crashes":
        raise RuntimeError("out of its mind")
    if how == "hangs":
        Event().wait()


render, listen = EspeakVoice.render, SoundListener.listen


def failing_render(self, text):
    part, how = fault().split()
    if part == "voice":
        fail(how)
        return silence(600.0, 16_000)
    return render(self, text)


def failing_listen(self, source, on_heard, on_block):
    def block():
        on_block()
        part, how = fault().split()
        if part == "ears":
            fail(how)
            words = "hey kitchen what's on"
            times = {"started_s": 0.0, "ended_s": 0.1, "audio_s": 0.1, "took_s": 0.0}
            on_heard(Heard(text=words, accepted=True, reason="", **times))

    listen(self, source, on_heard, block)


EspeakVoice.render, SoundListener.listen = failing_render, failing_listen
"""
LOST = {"voice": "I cannot speak.", "ears": "I cannot hear you."}
BACK = {"voice": "I can speak again.", "ears": "I can hear you again."}


class Parts:
    """The process's ears and voice, which fail when told to."""

    def __init__(self, folder: Path) -> None:
        self.file = folder / "fault"
        self.are("nothing at-all")

    def are(self, fault: str) -> None:
        fresh = self.file.with_suffix(".new")
        fresh.write_text(fault)
        fresh.replace(self.file)


@pytest.fixture
def parts(room: Room, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Parts:
    assert room.daemon_id
    (tmp_path / "sitecustomize.py").write_text(AROUND)
    parts = Parts(tmp_path)
    path = os.pathsep.join([str(tmp_path), *filter(None, [os.environ.get("PYTHONPATH")])])
    monkeypatch.setenv("PYTHONPATH", path)
    monkeypatch.setenv("KITCHEND_TEST_FAULT", str(parts.file))
    return parts


@pytest.mark.timeout(300)
@pytest.mark.parametrize("how", ["crashes", "hangs", "floods"])
@pytest.mark.parametrize("part", ["voice", "ears"])
def test_a_part_that_fails_is_told_of_the_dinner_goes_on_and_it_is_started_again(
    room: Room, parts: Parts, tmp_path: Path, part: str, how: str
) -> None:
    (tmp_path / "quick.yaml").write_text(QUICK)
    with kitchend("cook", str(tmp_path / "quick.yaml"), "--serve", hours_on()) as process:
        process.wait_for("The pass is at")
        parts.are(f"{part} {how}")
        process.type("noodles are on")
        for words in ("Noodles on.", "Up: the noodles", LOST[part]):
            assert process.has_come(words, within_s=90), process.told
        parts.are("nothing at-all")
        assert process.has_come(BACK[part], within_s=90), process.told
        say_until_answered(room, process, "hey kitchen, noodles are done", "Noodles boiled.")
        assert process.end() == 0
    assert sum(line.count(LOST[part]) for line in process.lines) <= 2, process.told
    told = [line for line in process.errors if part in line or "listener" in line]
    assert len(set(told)) == len(told) <= 4, process.told
    assert "Traceback" not in process.told
