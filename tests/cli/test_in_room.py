"""Real kitchend processes in a room without hardware: they speak, they hear, and they lose their sound."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from kitchend.errors import DeviceError
from kitchend.rehearsal.room import Room, RoomUnavailable
from kitchend.rehearsal.sound_ears import voice_for
from kitchend.speaking.sound import Sound
from tests.cli.process import Process, done, hours_on, kitchend
from tests.cli.test_cook import QUICK

pytestmark = [pytest.mark.sound, pytest.mark.slow]


@pytest.fixture
def room(monkeypatch: pytest.MonkeyPatch) -> Iterator[Room]:
    """A room that the processes started by the test are in."""
    try:
        with Room() as room:
            for name, value in room.environment.items():
                monkeypatch.setenv(name, value)
            yield room
    except RoomUnavailable as error:
        pytest.skip(str(error))


def said(words: str) -> Sound:
    """A person saying the words: a recorded voice, for the first ear reads formants alone as other words."""
    try:
        return voice_for(1).render(words)
    except DeviceError as error:
        pytest.skip(str(error))


def say_until_answered(room: Room, process: Process, words: str, answer: str) -> None:
    """Say it, and again as a person would who gets no answer: kitchend hears nothing while it speaks."""
    sound = said(words)
    for _ in range(5):
        room.play(sound)
        if process.has_come(answer, within_s=8):
            return
    process.wait_for(answer)


@pytest.fixture
def quick(tmp_path: Path) -> str:
    path = tmp_path / "quick.yaml"
    path.write_text(QUICK)
    return str(path)


def test_a_soundcheck_in_a_good_room_finds_all_well(room: Room) -> None:
    person = voice_for(1)
    phrases = (
        "hey kitchen what's on",
        "hey kitchen time the eggs for nine minutes",
        "hey kitchen remind me in ten minutes to turn the bread",
    )
    with kitchend("soundcheck") as process:
        for words in phrases:
            process.wait_for(f'"{words}"')
            room.play(person.render(words))
        assert process.exit_code() == 0, process.told
    assert process.lines[-1] == "All is well."
    assert all(f'"{words}": understood' in process.lines for words in phrases)
    way = next(line for line in process.lines if "The way round" in line)
    assert "not heard" not in way


def test_a_soundcheck_where_nobody_speaks_says_so(room: Room) -> None:
    answer = done("soundcheck", "--json", within_s=110)
    assert answer.returncode == 1, answer.stderr
    assert '"round_trip_s": 0.' in answer.stdout
    assert "Speech is too soft" in answer.stdout
    assert answer.stdout.count('"understood": false') == 3
    assert room.daemon_id


def test_a_dinner_is_cooked_by_voice(room: Room, quick: str) -> None:
    with kitchend("cook", quick, "--serve", hours_on()) as process:
        process.wait_for("The pass is at")
        process.type("noodles are on")
        process.wait_for("Noodles on.")
        process.wait_for("Up: the noodles.")
        say_until_answered(room, process, "hey kitchen, noodles are done", "Noodles boiled.")
        assert any("noodles" in line and "  you  " in line for line in process.lines)
        heard = [line for line in process.lines if "  you  " in line]
        assert [line for line in heard if "noodles are" not in line] == [], "it answered itself"


def test_a_dinner_outlives_its_sound(room: Room, quick: str) -> None:
    with kitchend("cook", quick, "--serve", hours_on()) as process:
        process.wait_for("The pass is at")
        room.pull_the_plug()
        process.type("noodles are on")
        process.wait_for("Noodles on.")
        process.wait_for("Up: the noodles.")
        process.type("noodles are done")
        process.wait_for("Noodles boiled.")
        assert process.end() == 0
    assert "Traceback" not in process.told
    assert "this is a bug" not in process.told


def test_unplugged_and_plugged_in_again_it_speaks_and_hears_again(room: Room, quick: str) -> None:
    with kitchend("cook", quick, "--serve", hours_on()) as process:
        process.wait_for("The pass is at")
        room.pull_the_plug()
        process.type("noodles are on")
        process.wait_for("Noodles on.")
        process.wait_for("Up: the noodles.")
        assert process.has_come("I cannot speak.", within_s=30), process.told
        room.plug_in()
        # What rang while nobody could hear it is said again with the first words.
        assert "the noodles" in process.wait_for("I can speak again.")
        say_until_answered(room, process, "hey kitchen, noodles are done", "Noodles boiled.")
    assert "this is a bug" not in process.told
    assert "Traceback" not in process.told


def test_a_dinner_begun_without_sound_gets_it_when_it_is_plugged_in(room: Room, quick: str) -> None:
    room.pull_the_plug()
    with kitchend("cook", quick, "--serve", hours_on()) as process:
        process.wait_for("The pass is at")
        assert any("type what you would say" in line for line in process.errors), process.told
        room.plug_in()
        process.wait_for("I can speak again.")
        assert process.has_come("I can hear you again.", within_s=60), process.told
        say_until_answered(room, process, "hey kitchen, noodles are on", "Noodles on.")
    assert "this is a bug" not in process.told


def test_without_devices_a_soundcheck_is_one_line_and_exit_3() -> None:
    answer = done("soundcheck")
    if answer.returncode != 3:
        pytest.skip("this machine has a loudspeaker and a microphone")
    (line,) = answer.stderr.splitlines()
    assert re.fullmatch(r"kitchend: (loudspeaker|microphone): there is none; plug one in, .*", line)
