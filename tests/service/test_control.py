"""The control socket, through real sockets: answers, junk, who may talk, who may serve."""

from __future__ import annotations

import json
import socket
import stat
from collections.abc import Iterator
from pathlib import Path
from threading import Barrier, Thread
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchend.core.quantities import Scale
from kitchend.errors import DeviceError
from kitchend.service.control import MAX_LINE, Answer, answer_to, ask, serving
from kitchend.service.intake import Took
from kitchend.service.taking import Taking


class ParrotDesk:
    """Says back what it is told."""

    def tell(self, words: str) -> tuple[str, ...]:
        if words == "break":
            raise RuntimeError("broken")
        return (f"You said {words}.",)

    def status(self) -> Answer:
        return {"plan": None}

    def forget(self) -> bool:
        return True

    def reading(self, taking: Taking) -> Took:
        celsius = taking.celsius(Scale.CELSIUS)
        if taking.of == "drawer":
            return Took(celsius=celsius, why="drawer is not on now")
        return Took(celsius=celsius, of=taking.of, said=("Well done.",))


@pytest.fixture
def path(tmp_path: Path) -> Iterator[Path]:
    socket_path = tmp_path / "run" / "control.sock"
    with serving(socket_path, ParrotDesk()):
        yield socket_path


def exchange(path: Path, sent: bytes, answers: int = 1) -> list[dict[str, Any]]:
    with socket.socket(socket.AF_UNIX) as channel:
        channel.settimeout(10)
        channel.connect(str(path))
        channel.sendall(sent)
        lines = channel.makefile("rb")
        return [json.loads(lines.readline()) for _ in range(answers)]


def test_words_are_answered_with_what_was_said(path: Path) -> None:
    assert ask(path, {"tell": "what's  on "}) == {"said": ["You said what's on."]}


def test_the_status_is_given(path: Path) -> None:
    assert ask(path, {"status": True}) == {"status": {"plan": None}}


def test_forgetting_is_answered_with_whether_it_was_done(path: Path) -> None:
    assert ask(path, {"forget": True}) == {"forgotten": True}
    assert "true" in ask(path, {"forget": "everything"})["error"]


READINGS = {
    "celsius": ({"of": "pork", "celsius": 58.5}, 58.5),
    "fahrenheit": ({"of": "pork", "fahrenheit": 212}, 100.0),
    "degrees and unit": ({"of": "pork", "degrees": 32, "unit": "F"}, 0.0),
    "degrees as the plan has them": ({"of": "pork", "degrees": 58}, 58.0),
}


@pytest.mark.parametrize(("reading", "celsius"), READINGS.values(), ids=READINGS)
def test_a_reading_is_answered_with_what_it_was_taken_for(
    path: Path, reading: dict[str, Any], celsius: float
) -> None:
    answer = ask(path, {"reading": reading})
    assert answer == {"taken": {"of": "pork", "celsius": pytest.approx(celsius)}, "said": ["Well done."]}


def test_a_reading_that_nothing_wants_is_answered_with_why(path: Path) -> None:
    answer = ask(path, {"reading": {"of": "drawer", "celsius": 21}})
    assert answer == {"taken": None, "why": "drawer is not on now", "celsius": 21.0, "said": []}


def test_one_connection_may_ask_often(path: Path) -> None:
    sent = b'{"tell": "one"}\n{"status": true}\n{"tell": "two"}\n'
    assert exchange(path, sent, 3) == [
        {"said": ["You said one."]},
        {"status": {"plan": None}},
        {"said": ["You said two."]},
    ]


def test_many_may_ask_at_once(path: Path) -> None:
    start, answers = Barrier(8), []

    def talk(number: int) -> None:
        start.wait()
        answers.append(ask(path, {"tell": str(number)})["said"][0])

    threads = [Thread(target=talk, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(answers) == [f"You said {number}." for number in range(8)]


JUNK = {
    "no JSON": b"hello\n",
    "no object": b"[1]\n",
    "no known key": b'{"sing": true}\n',
    "two keys": b'{"tell": "x", "status": true}\n',
    "words that are none": b'{"tell": 5}\n',
    "empty words": b'{"tell": "  "}\n',
    "no UTF-8": b'{"tell": "\xff"}\n',
    "a deep nest": b"[" * 3000 + b"\n",
    "nothing": b"\n",
    "a reading that is none": b'{"reading": 58}\n',
    "a reading of nothing": b'{"reading": {"celsius": 58}}\n',
    "a reading with a key too many": b'{"reading": {"of": "pork", "celsius": 58, "note": "\\n"}}\n',
    "a reading that is no number": b'{"reading": {"of": "pork", "celsius": NaN}}\n',
    "a reading of a star": b'{"reading": {"of": "pork", "celsius": 1e9}}\n',
    "a reading and more": b'{"reading": {"of": "pork", "celsius": 58}, "status": true}\n',
    "far too long": b'{"tell": "' + b"x" * (MAX_LINE * 3) + b'"}\n',
}


@pytest.mark.parametrize("sent", JUNK.values(), ids=JUNK)
def test_junk_is_answered_with_one_clear_line(path: Path, sent: bytes) -> None:
    (answer,) = exchange(path, sent)
    assert list(answer) == ["error"]
    assert answer["error"]
    assert "\n" not in answer["error"]
    assert ask(path, {"tell": "still there"}) == {"said": ["You said still there."]}


@given(st.binary(max_size=200))
def test_any_bytes_get_an_answer(sent: bytes) -> None:
    assert isinstance(answer_to(sent, ParrotDesk()), dict)


def test_a_desk_that_breaks_is_told_and_does_not_end_the_service(path: Path) -> None:
    assert "this is a bug" in ask(path, {"tell": "break"})["error"]
    assert ask(path, {"tell": "on"}) == {"said": ["You said on."]}


def test_a_caller_who_hangs_up_does_not_end_the_service(path: Path) -> None:
    for sent in (b"", b'{"tell": "half'):
        with socket.socket(socket.AF_UNIX) as channel:
            channel.connect(str(path))
            channel.sendall(sent)
    assert ask(path, {"status": True}) == {"status": {"plan": None}}


def test_only_its_owner_may_talk(path: Path) -> None:
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


def test_a_second_service_is_refused_and_the_first_goes_on(path: Path) -> None:
    with pytest.raises(DeviceError, match="already running"), serving(path, ParrotDesk()):
        pass
    assert ask(path, {"status": True}) == {"status": {"plan": None}}


def test_a_stale_socket_is_replaced(tmp_path: Path) -> None:
    path = tmp_path / "control.sock"
    with socket.socket(socket.AF_UNIX) as dead:
        dead.bind(str(path))
    assert path.exists()
    with serving(path, ParrotDesk()):
        assert ask(path, {"status": True}) == {"status": {"plan": None}}


def test_when_it_ends_its_socket_goes(tmp_path: Path) -> None:
    path = tmp_path / "control.sock"
    with serving(path, ParrotDesk()):
        assert path.exists()
    assert not path.exists()


def test_nobody_there_is_one_line(tmp_path: Path) -> None:
    with pytest.raises(DeviceError, match="none is running here; start one with `kitchend run`"):
        ask(tmp_path / "control.sock", {"status": True})


def test_a_path_too_long_for_a_socket_is_one_line(tmp_path: Path) -> None:
    with pytest.raises(DeviceError, match="short path"), serving(tmp_path / ("x" * 120), ParrotDesk()):
        pass
