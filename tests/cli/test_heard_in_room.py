"""What a real kitchend makes of real sound in a room without hardware: called, answered, overheard.

Each test says something that must be obeyed as well, so that ears which hear nothing pass none of them.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from itertools import cycle
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from kitchend.errors import DeviceError
from kitchend.rehearsal.cook_voices import available, cook_voice
from kitchend.rehearsal.room import Room, Tape
from kitchend.speaking.sound import Sound, joined
from tests.cli.process import Process, done, hours_on, kitchend
from tests.cli.test_in_room import room as room

pytestmark = [pytest.mark.sound, pytest.mark.slow]

PLAN = """
plan: Ferry supper
equipment:
  hob: {rings: 2}
dishes:
  - dish: noodles
    steps:
      - step: boil the noodles
        hands: 1 s
        takes: 3 s
        on: hob
        keeps: all day
  - dish: barley
    steps:
      - step: simmer the barley
        hands: 1 min
        takes: 40 min
        on: hob
        keeps: all day
"""
WINDOW_S = 12.0
"""How long commands are taken without the address phrase, see `window_s` in the settings."""

TURNS = (
    "did you hear that the noodles at the station were cold again",
    "no and she said the barley was off the menu for five weeks",
    "my brother is done with noodles he says for good",
    "we had fifteen minutes and then the train was gone",
    "they put the barley in a sack and drop it on the quay",
    "you told me that when we were at the market with the children",
)
"""Talk with the names of dishes, numbers and words of commands in it; none of it is a command."""


@pytest.fixture
def plan(tmp_path: Path) -> str:
    path = tmp_path / "ferry.yaml"
    path.write_text(PLAN)
    return str(path)


def voices(count: int) -> list[str]:
    found: list[str] = [name for name in ("slt", "rms", "awb") if name in available()]
    if len(found) < count:
        pytest.skip("flite is not installed: apt install flite")
    return found[:count]


def said(words: str, voice: str = "slt") -> Sound:
    try:
        return cook_voice(voice).render(words)
    except DeviceError as error:
        pytest.skip(str(error))


def status() -> dict[str, Any]:
    answer = done("status", "--json")
    assert answer.returncode == 0, answer.stderr
    shape: dict[str, Any] = json.loads(answer.stdout)
    return shape


def by_cook(process: Process) -> list[str]:
    """What was taken for something said to kitchend."""
    return [line for line in process.lines if "  you  " in line]


def until_quiet(tape: Tape, for_s: float = 0.35) -> None:
    """Until something was said in the room and has been over for so long."""
    has_spoken = False
    for _ in range(600):
        heard = tape.sound.samples[-round(for_s * tape.sound.rate) :]
        is_loud = len(heard) > 0 and float(np.max(np.abs(heard))) > 0.01
        if has_spoken and not is_loud:
            return
        has_spoken |= is_loud
        threading.Event().wait(0.05)
    raise AssertionError("the room never fell quiet")


@pytest.fixture
def cooking(room: Room, plan: str) -> Iterator[Process]:
    """A dinner whose first words are over, with the noodles on."""
    with kitchend("cook", plan, "--serve", hours_on()) as process:
        process.wait_for("The pass is at")
        process.type("noodles are on")
        process.wait_for("Noodles on.")
        process.wait_for("Up: the noodles.")
        yield process


def test_outside_the_answer_window_only_what_is_addressed_counts(room: Room, cooking: Process) -> None:
    with room.recording(16_000) as tape:
        cooking.type("heard")
        cooking.wait_for("Good.")
        until_quiet(tape, for_s=1.0)
    threading.Event().wait(WINDOW_S + 1.0)
    before, timer = by_cook(cooking), said("time the eggs for nine minutes")
    room.play(timer)
    assert not cooking.has_come("ggs", within_s=6), cooking.told
    assert by_cook(cooking) == before
    assert status()["timers"] == []
    assert status()["let_go"][-1]["reason"] in ("not addressed", "half understood outside the answer window")
    for _ in range(3):
        room.play(said("hey kitchen time the eggs for nine minutes"))
        if cooking.has_come("Eggs", within_s=8):
            break
    (timed,) = status()["timers"]
    assert (timed["name"].lower(), timed["left_s"] > 480) == ("eggs", True), cooking.told


def test_in_the_answer_window_a_command_needs_no_address(room: Room, cooking: Process) -> None:
    with room.recording(16_000) as tape:
        cooking.type("hey kitchen how long on the barley")
        until_quiet(tape)
        room.play(said("noodles are done"))
    assert cooking.has_come("Noodles boiled.", within_s=15), cooking.told


def test_a_command_straight_after_a_call_is_taken_whole(room: Room, plan: str) -> None:
    with kitchend("cook", plan, "--serve", hours_on()) as process, room.recording(16_000) as tape:
        process.wait_for("The pass is at")
        until_quiet(tape)
        process.type("noodles are on")
        process.wait_for("Noodles on.")
        until_quiet(tape)
        process.wait_for("Up: the noodles.")
        # A fifth of a second after the last sound of the call: nobody waits longer.
        until_quiet(tape, for_s=0.2)
        room.play(said("noodles are done", "rms" if "rms" in available() else "slt"))
        assert process.has_come("Noodles boiled.", within_s=15), process.told


def talk(turns: tuple[str, ...], names: list[str], gap_s: float) -> Sound:
    return joined(*(said(text, name) for text, name in zip(turns, cycle(names), strict=False)), gap_s=gap_s)


@pytest.mark.parametrize("is_at_once", [False, True], ids=["in turns", "over each other"])
def test_two_people_talking_move_nothing(is_at_once: bool, room: Room, cooking: Process) -> None:
    one, other = voices(2)
    before, steps = by_cook(cooking), status()["going"]
    # They begin in the answer window, the worst moment for it, and go on beyond it.
    if is_at_once:
        with room.playing(talk(TURNS[::2], [one], 0.5)):
            room.play(talk(TURNS[1::2], [other], 0.3))
    else:
        room.play(talk(TURNS, [one, other], 0.4))
    threading.Event().wait(3.0)
    now = status()
    assert [(step["step"], step["state"]) for step in now["going"]] == [
        (step["step"], step["state"]) for step in steps
    ], cooking.told
    assert now["timers"] == []
    assert now["asked"] is None
    assert now["serve"] == status()["serve"]
    assert by_cook(cooking) == before, cooking.told
    waited = iter(range(60))
    while not status()["let_go"]:  # what is said without a pause ends late
        assert next(waited, None) is not None, "nothing of it was heard at all"
        threading.Event().wait(0.5)
    for _ in range(3):
        room.play(said("hey kitchen noodles are done"))
        if cooking.has_come("Noodles boiled.", within_s=8):
            return
    cooking.wait_for("Noodles boiled.")


def test_it_never_takes_its_own_words_for_the_cooks(room: Room, cooking: Process) -> None:
    for words in ("what's on", "what's next", "how long on the barley", "when do we eat", "say again"):
        with room.recording(16_000) as tape:
            cooking.type(words)
            until_quiet(tape, for_s=1.0)
    # What was typed stands there as said by the cook; nothing else does.
    typed = ("noodles are on", "what's on", "what's next", "how long on the barley", "when do we eat")
    strange = [line for line in by_cook(cooking) if not line.endswith((*typed, "say again"))]
    assert strange == [], cooking.told
    for _ in range(3):
        room.play(said("hey kitchen noodles are done"))
        if cooking.has_come("Noodles boiled.", within_s=8):
            return
    cooking.wait_for("Noodles boiled.")
