"""The feed: real programs and real pipes on one side, a real control socket on the other."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from itertools import pairwise
from pathlib import Path
from threading import Event, Thread

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchend.core.quantities import Scale
from kitchend.service.control import Answer, serving
from kitchend.service.feeding import Feed, Handle, Source, Wish, feed, wish_of
from kitchend.service.guard import UseError
from kitchend.service.intake import Took
from kitchend.service.newest import MOST_NAMES, Newest
from kitchend.service.printed_lines import MAX_LINE, Lines
from kitchend.service.program import Program
from kitchend.service.taking import ReadingError, Taking

AT_ONCE = Wish(of="pork", every_s=0.0)


class KeepingDesk:
    """Keeps every reading; nothing wants one of the drawer."""

    def __init__(self) -> None:
        self.kept: list[tuple[str, float]] = []
        self.may_answer = Event()
        self.may_answer.set()

    def tell(self, words: str) -> tuple[str, ...]:
        return ()

    def status(self) -> Answer:
        return {}

    def forget(self) -> bool:
        return True

    def reading(self, taking: Taking) -> Took:
        self.may_answer.wait(20)
        celsius = taking.celsius(Scale.CELSIUS)
        if taking.of == "drawer":
            return Took(celsius=celsius, why="drawer is not on now")
        self.kept.append((taking.of, celsius))
        return Took(celsius=celsius, of=f"{taking.of}/roast")


@pytest.fixture
def desk() -> KeepingDesk:
    return KeepingDesk()


@pytest.fixture
def socket(own_folders: Path) -> Path:
    return own_folders / "runtime" / "control.sock"


class Told:
    """What was shown and complained of."""

    def __init__(self) -> None:
        self.shown: list[str] = []
        self.complaints: list[str] = []


def fed(source: Source, wish: Wish, socket: Path) -> tuple[int, Told]:
    told = Told()
    code = Feed(source, wish, socket, show=told.shown.append, complain=told.complaints.append).run()
    return code, told


@contextmanager
def piped(*pieces: bytes) -> Iterator[Handle]:
    """A pipe that these pieces come out of, and then its end."""
    out, into = os.pipe()

    def write() -> None:
        for piece in pieces:
            os.write(into, piece)
        os.close(into)

    writer = Thread(target=write)
    writer.start()
    yield Handle(out)
    os.close(out)
    writer.join(timeout=10)


def program(script: str, *, again: bool = False, tell: Callable[[str], None] = print) -> Program:
    return Program([sys.executable, "-u", "-c", script], again=again, tell=tell, pauses_s=(0.01,))


# Lines, in whatever pieces they come.

TEXT = b"58\r\n\n59.5\n" + b"x" * (MAX_LINE + 1) + b"\n60\n61"
WHOLE: list[bytes | None] = [b"58", b"59.5", None, b"60", b"61"]


@given(cuts=st.lists(st.integers(0, len(TEXT)), max_size=12))
def test_lines_are_the_same_however_they_are_cut(cuts: list[int]) -> None:
    lines, places = Lines(), [0, *sorted(cuts), len(TEXT)]
    pieces = [TEXT[begin:end] for begin, end in pairwise(places)]
    assert [line for piece in pieces for line in lines.feed(piece)] + list(lines.end()) == WHOLE


def test_a_line_without_end_is_told_once_and_held_by_nobody() -> None:
    lines = Lines(longest=100)
    found = [line for _ in range(1000) for line in lines.feed(b"x" * 1000)]
    assert found == [None]
    assert list(lines.feed(b"\n58\n")) == [b"58"]


# The newest of each name.


def test_only_the_newest_waits_and_each_name_has_its_turn() -> None:
    now = [0.0]
    newest = Newest(5.0, lambda: now[0])
    for degrees in (58.0, 58.5):
        newest.put(Taking(of="pork", degrees=degrees))
    newest.put(Taking(of="oven", degrees=190.0))
    assert [one.degrees for one in newest.due()] == [58.5, 190.0]
    newest.put(Taking(of="pork", degrees=59.0))
    assert newest.due() == ()
    now[0] = 5.0
    assert [one.degrees for one in newest.due()] == [59.0]
    assert newest.is_empty


def test_what_is_put_back_gives_way_to_what_is_newer() -> None:
    newest = Newest(0.0, lambda: 0.0)
    newest.put(Taking(of="pork", degrees=58.0))
    (old,) = newest.due()
    newest.put(Taking(of="pork", degrees=59.0))
    newest.put_back(old)
    assert [one.degrees for one in newest.due()] == [59.0]


def test_names_without_end_are_refused() -> None:
    newest = Newest(0.0, lambda: 0.0)
    for number in range(MOST_NAMES):
        newest.put(Taking(of=str(number), degrees=58.0))
    with pytest.raises(ReadingError, match="more than 64 names"):
        newest.put(Taking(of="one more", degrees=58.0))
    newest.put(Taking(of="0", degrees=59.0))


# A feed from its first line to its last.


def test_numbers_and_objects_reach_the_service(desk: KeepingDesk, socket: Path) -> None:
    with serving(socket, desk), piped(b'58\n{"name": "oven", "fahrenheit": 374}\n') as pipe:
        code, told = fed(pipe, AT_ONCE, socket)
    assert code == 0
    assert [(of, round(celsius, 6)) for of, celsius in desk.kept] == [("pork", 58.0), ("oven", 190.0)]
    assert told.shown == [
        "pork: 58.0 C, kept for pork/roast",
        "oven: 190.0 C, kept for oven/roast",
        "2 readings taken, 0 not wanted, 0 that were none",
    ]
    assert told.complaints == []


def test_numbers_may_be_in_fahrenheit(desk: KeepingDesk, socket: Path) -> None:
    with serving(socket, desk), piped(b"212\n") as pipe:
        fed(pipe, Wish(of="pork", scale=Scale.FAHRENHEIT, every_s=0), socket)
    assert [(of, round(celsius, 6)) for of, celsius in desk.kept] == [("pork", 100.0)]


def test_each_kind_of_mistake_is_told_once_and_the_readings_between_are_kept(
    desk: KeepingDesk, socket: Path
) -> None:
    junk = (
        b"warm\nhot\n" * 500
        + b"58\n"
        + b"x" * 9000
        + b"\n"
        + b"y" * 9000
        + b'\n{"celsius": "58"}\n\xff\xfe\n'
    )
    with serving(socket, desk), piped(junk) as pipe:
        code, told = fed(pipe, AT_ONCE, socket)
    assert code == 0
    assert desk.kept == [("pork", 58.0)]
    assert [line.split(" (told")[0] for line in told.complaints] == [
        '"warm" is neither a number nor a JSON object such as {"of": "pork", "celsius": 58}',
        "a line of more than 4096 bytes is no reading",
        '"celsius" needs a number such as 58.5, not "58"',
    ]
    assert told.shown[-1] == "1 readings taken, 0 not wanted, 1004 that were none"


def test_nothing_but_mistakes_is_a_failure(desk: KeepingDesk, socket: Path) -> None:
    with serving(socket, desk), piped(b"warm\n") as pipe:
        code, _ = fed(pipe, AT_ONCE, socket)
    assert code == 1


def test_what_no_kitchen_has_is_refused_by_the_service_and_told_once(desk: KeepingDesk, socket: Path) -> None:
    def lines() -> Iterator[bytes]:
        for _ in range(3):
            yield b"58250\n"
            Event().wait(0.3)

    with serving(socket, desk), piped(*lines()) as pipe:
        code, told = fed(pipe, AT_ONCE, socket)
    assert code == 1
    assert len(told.complaints) == 1
    assert "58250 C is nothing a kitchen has" in told.complaints[0]


def test_what_nothing_wants_is_no_failure_and_said_when_it_changes(desk: KeepingDesk, socket: Path) -> None:
    with serving(socket, desk), piped(b'{"of": "drawer", "celsius": 21}\n') as pipe:
        code, told = fed(pipe, AT_ONCE, socket)
    assert code == 0
    assert told.shown[0] == "drawer: drawer is not on now"


def test_json_has_a_line_for_each_reading_and_one_for_the_sum(desk: KeepingDesk, socket: Path) -> None:
    with serving(socket, desk), piped(b'58\n{"of": "drawer", "celsius": 21}\nwarm\n') as pipe:
        _, told = fed(pipe, Wish(of="pork", every_s=0, as_json=True), socket)
    assert [json.loads(line) for line in told.shown] == [
        {"of": "pork", "celsius": 58.0, "taken": "pork/roast"},
        {"of": "drawer", "celsius": 21.0, "taken": None, "why": "drawer is not on now"},
        {"sum": {"lines": 3, "taken": 1, "unwanted": 1, "wrong": 1}},
    ]


def test_without_a_service_the_end_of_the_lines_is_the_end(socket: Path) -> None:
    with piped(b"58\n") as pipe:
        code, told = fed(pipe, AT_ONCE, socket)
    assert code == 3
    assert told.complaints == [
        "service: none is running here; start one with `kitchend run`; readings wait for it"
    ]


def test_a_service_that_comes_and_goes_gets_the_newest_of_each_time(desk: KeepingDesk, socket: Path) -> None:
    out, into = os.pipe()
    source, told, code = Handle(out), Told(), []
    feeder = Feed(source, AT_ONCE, socket, show=told.shown.append, complain=told.complaints.append)
    # A signal is for the main thread alone, and what is tried here needs none.
    feeding = Thread(target=lambda: code.append(quietly(feeder)))
    with serving(socket, desk):
        feeding.start()
        os.write(into, b"58\n")
        wait_until(lambda: desk.kept == [("pork", 58.0)])
    os.write(into, b"59\n")
    wait_until(lambda: len(told.complaints) == 1)
    os.write(into, b"60\n")
    with serving(socket, desk):
        wait_until(lambda: desk.kept[-1] == ("pork", 60.0))
        os.close(into)
        feeding.join(timeout=20)
    os.close(out)
    assert code == [0]
    assert desk.kept == [("pork", 58.0), ("pork", 60.0)]
    assert told.complaints[1] == "service: it is there again"


def test_a_slow_service_does_not_stop_the_program_nor_pile_readings_up(
    desk: KeepingDesk, socket: Path
) -> None:
    desk.may_answer.clear()
    script = "for n in range(200_000): print(20 + n % 50 + n / 1e7)\nprint(69.5)"
    source = program(script)
    with serving(socket, desk):
        waiting = Thread(target=answer_after, args=(desk, source))
        waiting.start()
        code, told = fed(source, AT_ONCE, socket)
        waiting.join(timeout=30)
    assert code == 0
    assert desk.kept[-1] == ("pork", 69.5)
    assert len(desk.kept) <= 3
    assert told.complaints == []


# Programs.


def test_a_program_that_ends_well_ends_the_feed(desk: KeepingDesk, socket: Path) -> None:
    with serving(socket, desk):
        code, _ = fed(program("print(58)"), AT_ONCE, socket)
    assert (code, desk.kept) == (0, [("pork", 58.0)])


def test_a_program_that_ends_badly_is_told_with_its_code(desk: KeepingDesk, socket: Path) -> None:
    with serving(socket, desk):
        code, told = fed(program("print(58); raise SystemExit(5)"), AT_ONCE, socket)
    assert (code, desk.kept) == (3, [("pork", 58.0)])
    assert told.complaints == ["the program: it ended with exit code 5"]


def test_a_program_that_is_killed_is_told_with_the_signal(socket: Path) -> None:
    code, told = fed(program("import os; os.kill(os.getpid(), 9)"), AT_ONCE, socket)
    assert (code, told.complaints) == (3, ["the program: it was ended by signal 9"])


@pytest.mark.parametrize("command", [["/no/such/program"], ["/"], ["a\0b"]])
def test_a_program_that_cannot_be_started_is_one_line(socket: Path, command: Sequence[str]) -> None:
    code, told = fed(Program(command, again=True, tell=print), AT_ONCE, socket)
    assert code == 3
    assert len(told.complaints) == 1
    assert "cannot be started: " in told.complaints[0]
    assert "give the program and its arguments after --" in told.complaints[0]


def test_a_program_is_started_again_until_stopped(desk: KeepingDesk, socket: Path) -> None:
    told: list[str] = []
    source = program("import os; print(os.getpid() % 100)", again=True, tell=told.append)
    lines = source.lines()
    assert len({next(lines) for _ in range(3)}) > 1
    source.stop()
    assert list(lines) == []
    assert [line.endswith(": it ended; it is started again") for line in told] == [True, True]


def test_whatever_a_program_started_ends_with_it(socket: Path, tmp_path: Path) -> None:
    script = (
        "import subprocess, sys, time\n"
        "child = subprocess.Popen([sys.executable, '-c', 'import time, signal;"
        'signal.signal(signal.SIGTERM, signal.SIG_IGN); print("ready", flush=True); time.sleep(600)\'])\n'
        "time.sleep(0.5); print(child.pid); time.sleep(600)"
    )
    source = program(script)
    lines = source.lines()
    assert next(lines) == b"ready"
    pid = int(next(lines) or b"0")
    assert Path(f"/proc/{pid}").exists()
    source.stop()
    assert list(lines) == []
    wait_until(lambda: not is_running(pid))


# How it is asked for.


@pytest.mark.parametrize(
    ("options", "told"),
    [
        ({"unit": "K"}, '--unit: "K" is no unit of temperature'),
        ({"every": "often"}, "--every: often is no duration"),
        ({"every": "0 s"}, "--every 0 s: from 1 s to 1 h will do"),
        ({"every": "2 days"}, "--every 2 days: from 1 s to 1 h will do"),
    ],
)
def test_an_option_that_will_not_do_is_told(options: dict[str, str], told: str) -> None:
    with pytest.raises(UseError) as caught:
        wish_of("pork", options.get("unit"), options.get("every", "5 s"), as_json=False)
    assert told in str(caught.value)


def test_a_name_that_will_not_do_is_told_before_anything_begins(socket: Path) -> None:
    with pytest.raises(UseError, match="--of: a name has at most 120 characters"):
        feed((), Wish(of="x" * 200), socket, again=False, show=print, complain=print)
    with pytest.raises(UseError, match="--again starts a program anew"):
        feed((), AT_ONCE, socket, again=True, show=print, complain=print)


def answer_after(desk: KeepingDesk, source: Program) -> None:
    """Let the service answer once the program has ended."""
    wait_until(lambda: source._child is not None and source._child.returncode is not None)
    desk.may_answer.set()


def is_running(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().split(")")[1].split()[0] != "Z"
    except OSError:
        return False


def quietly(feeder: Feed) -> int:
    """Run it where no signal can come."""
    reader = Thread(target=feeder._read, daemon=True)
    reader.start()
    feeder._hand_on(reader)
    reader.join(timeout=10)
    return feeder._code()


def wait_until(is_so: Callable[[], bool], within_s: float = 20.0) -> None:
    for _ in range(round(within_s / 0.05)):
        if is_so():
            return
        Event().wait(0.05)
    raise AssertionError("it never came to that")
