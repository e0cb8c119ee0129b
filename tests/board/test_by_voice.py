"""The four words are asked for aloud and said aloud: a real kitchend in a room, and a device of the house."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kitchend.rehearsal.room import Room
from tests.board.asking import ask, post
from tests.board.test_door import house_address
from tests.board.test_parts import free_port
from tests.cli.process import hours_on, kitchend
from tests.cli.test_cook import QUICK
from tests.cli.test_in_room import room, say_until_answered

__all__ = ["room"]
pytestmark = [pytest.mark.sound, pytest.mark.slow]


def test_a_tablet_is_let_in_by_voice(room: Room, tmp_path: Path) -> None:
    address, port = house_address(), free_port()
    settings, plan = tmp_path / "settings.yaml", tmp_path / "quick.yaml"
    settings.write_text(f"board: lan\nboard_port: {port}\n", encoding="utf-8")
    plan.write_text(QUICK, encoding="utf-8")
    wanted = ["--serve", hours_on(), "--board", "--settings", str(settings)]
    with kitchend("cook", str(plan), *wanted) as process:
        process.wait_for("The pass is at")
        say_until_answered(room, process, "hey kitchen, let a tablet in", "The words are: ")
        line = [line for line in process.lines if "The words are: " in line][-1]
        found = re.search(r"The words are: ([A-Za-z ]+)\.", line)
        assert found is not None, line
        words = found[1].lower()
        assert len(words.split()) == 4
        assert not any("loudspeaker" in error for error in process.errors), process.told

        assert ask(port, "GET", "/view", address=address).status == 401
        answer = post(port, "/door", {"words": words, "name": "shelf"}, address=address)
        assert answer.status == 200
        cookie = {"Cookie": answer.headers["set-cookie"].partition(";")[0]}
        assert ask(port, "GET", "/view", headers=cookie, address=address).status == 200
