"""Kills the real service at random moments while timers run and a dinner is on, and keeps its own book of it.

The book knows only what was told to the service and what the service printed, each with the moment; it never
looks into the journal. What it holds against the service is a list of sentences; empty is good.
"""

from __future__ import annotations

import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from threading import Condition, Thread, Timer
from typing import Any

PLAN = """
plan: Night watch
equipment:
  hob: {rings: 4}
dishes:
  - dish: stock
    steps:
      - step: simmer the stock
        hands: 1 s
        takes: 50 s
        on: hob
        keeps: all day
      - step: strain the stock
        hands: 5 s
        keeps: all day
  - dish: dumplings
    steps:
      - step: knead the dumplings
        hands: 5 s
        keeps: all day
      - step: steam the dumplings
        hands: 1 s
        takes: 70 s
        on: hob
        keeps: all day
"""
COLOURS = "amber blue copper crimson golden ivory olive pearl purple silver".split()
THINGS = "buns figs flans leeks onions pears pies plums scones tarts".split()
SIZES = "broad great large little narrow plain round small thick thin".split()
NAMES = [f"{size} {colour} {thing}" for size in SIZES for colour in COLOURS for thing in THINGS]
ALL_NAMES = frozenset(NAMES)
"""More than are ever set: a name is never used twice, so that each call belongs to one timer."""

NEAR_S = 1.0
"""How close to its due moment a timer rings while the service is up."""
CUT_OFF_S = 1.0
"""A kill this near to when a call was read may have come before the journal knew that it was made.

Time in which the service stood in line for a processor does not count: on a crowded machine that is seconds.
"""
PATIENCE_S = 30.0

CALL = re.compile(r"([\w ]+?): time (is up|was up [\w ]+? ago)")
NOW = re.compile(r"([A-Z][\w ]*?) now\.")
UP = re.compile(r"(?:^|(?<=[.!?] ))Up: ([\w ,]+?)(?:, (?!the )[\w ]+? ago)?\.")
THINGS_UP = re.compile(r", | and ")
"""Several at once are one sentence: "Up: the round blue figs and the thin red pies one minute ago."."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line the service printed and when it came, in seconds of this machine's running time."""

    at_s: float
    text: str
    queued_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Kill:
    """When it was killed, and how long it had stood in line for a processor by then."""

    at_s: float
    queued_s: float


@dataclass(slots=True, kw_only=True)
class Entry:
    """One timer in the book: when it is due at the earliest and latest, and the calls that came for it."""

    name: str
    low_s: float
    high_s: float
    is_sure: bool = True
    calls: list[Line] = field(default_factory=list)
    is_late: bool = False
    """Whether the first call said so."""


@dataclass(slots=True, kw_only=True)
class Book:
    """What is known from outside, and what was wrong."""

    running: dict[str, Entry] = field(default_factory=dict)
    rung: dict[str, Entry] = field(default_factory=dict)
    ups: dict[str, list[Line]] = field(default_factory=dict)
    kills: list[Kill] = field(default_factory=list)
    ready_s: list[float] = field(default_factory=list)
    starts_s: list[float] = field(default_factory=list)
    late_s: list[float] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)

    def was_cut_off(self, call: Line) -> bool:
        """Whether it was killed so soon after this call that nobody can tell if it was made to its end."""
        kill = next((kill for kill in self.kills if kill.at_s >= call.at_s - CUT_OFF_S), None)
        if kill is None:
            return False
        queued_s = max(0.0, kill.queued_s - call.queued_s)
        return kill.at_s - call.at_s - queued_s <= CUT_OFF_S


class Service:
    """`kitchend run` in folders of its own, and what it prints."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.env = os.environ | {
            "PYTHONUNBUFFERED": "1",
            "XDG_STATE_HOME": str(folder / "state"),
            "XDG_CONFIG_HOME": str(folder / "config"),
            "XDG_RUNTIME_DIR": str(folder / "run"),
        }
        plans = folder / "plans"
        plans.mkdir(parents=True, exist_ok=True)
        (plans / "watch.yaml").write_text(PLAN)
        self.errors: list[str] = []
        self.kills: list[Kill] = []
        self.lines: list[Line] = []
        self._changed = Condition()

    def start(self) -> None:
        self.child = subprocess.Popen(
            [sys.executable, "-m", "kitchend", "run"],
            cwd=self.folder,
            env=self.env,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        self._has_ended = False
        self._readers = [Thread(target=self._read), Thread(target=self._read_errors)]
        for reader in self._readers:
            reader.start()

    def wait_ready(self) -> bool:
        """Whether it came up; False if it was killed before."""
        since = len(self.lines)

        def is_ready() -> bool:
            return any(line.text.startswith("ready, ") for line in self.lines[since:])

        with self._changed:
            self._changed.wait_for(lambda: is_ready() or self._has_ended, PATIENCE_S)
        return is_ready()

    def kill(self) -> None:
        self.kills.append(Kill(at_s=time.monotonic(), queued_s=queued_s(self.child.pid)))
        self.child.send_signal(signal.SIGKILL)

    def wait(self) -> None:
        self.child.wait(PATIENCE_S)
        for reader in self._readers:
            reader.join(PATIENCE_S)

    def ask(self, request: dict[str, Any]) -> dict[str, Any] | None:
        """The answer; None if it died over it."""
        try:
            with socket.socket(socket.AF_UNIX) as channel:
                channel.settimeout(PATIENCE_S)
                channel.connect(str(self.folder / "run" / "kitchend" / "control.sock"))
                channel.sendall(json.dumps(request).encode() + b"\n")
                answer = channel.makefile("rb").readline()
        except OSError:
            return None
        shape: dict[str, Any] | None = json.loads(answer) if answer.endswith(b"\n") else None
        return shape

    def _read(self) -> None:
        assert self.child.stdout is not None
        with self.child.stdout as stream:
            for text in stream:
                with self._changed:
                    queued = queued_s(self.child.pid)
                    self.lines.append(Line(at_s=time.monotonic(), text=text.rstrip("\n"), queued_s=queued))
                    self._changed.notify_all()
        with self._changed:
            self._has_ended = True
            self._changed.notify_all()

    def _read_errors(self) -> None:
        assert self.child.stderr is not None
        with self.child.stderr as stream:
            self.errors.extend(line.rstrip("\n") for line in stream)


class Siege:
    """Sets timers, answers calls, kills, looks again; `run` gives the book."""

    def __init__(self, folder: Path, *, timers: int, seed: int, spans_s: tuple[int, int]) -> None:
        self._service = Service(folder)
        self._rng = Random(seed)
        self._timers = timers
        self._spans_s = spans_s
        self._read = 0
        self._free = list(NAMES)
        self._rng.shuffle(self._free)
        self._wants_on: list[str] = []
        self._wants_done: list[str] = []
        self.book = Book(kills=self._service.kills)

    def run(self, kills: int, on_kill: Callable[[int, Book], None] | None = None) -> Book:
        for number in range(kills):
            self._live(*self._life())
            if on_kill is not None:
                on_kill(number + 1, self.book)
        self._live(None, None)
        self.book.wrong += [line for line in self._service.errors if "bug" in line or "Traceback" in line]
        return self.book

    def _life(self) -> tuple[float | None, float | None]:
        """When to kill, from the start or from when it is ready: some while they start, most at work."""
        if self._rng.random() < 0.15:
            return self._rng.uniform(0.0, 1.5), None
        return None, self._rng.uniform(0.0, 2.0)

    def _live(self, after_start_s: float | None, after_ready_s: float | None) -> None:
        began_s = time.monotonic()
        self._service.start()
        killers = [] if after_start_s is None else [self._killer(after_start_s)]
        if self._service.wait_ready():
            self.book.ready_s.append(time.monotonic())
            self.book.starts_s.append(self.book.ready_s[-1] - began_s)
            if not self.book.running and not self.book.rung:
                # Nothing is at stake before the first timers are set.
                self._compare()
                self._refill(True)
            killers += [] if after_ready_s is None else [self._killer(after_ready_s)]
            self._work(until_quiet=not killers)
        if not killers:
            self._service.kill()
        self._service.wait()
        for killer in killers:
            killer.cancel()
        self._take_in()

    def _killer(self, after_s: float) -> Timer:
        killer = Timer(after_s, self._service.kill)
        killer.start()
        return killer

    def _work(self, *, until_quiet: bool) -> None:
        if not self._compare():
            return
        while self._service.child.poll() is None:
            self._take_in()
            if until_quiet and not self.book.running:
                return
            if not (self._answer() and self._refill(not until_quiet)):
                return
            time.sleep(0.05)

    def _compare(self) -> bool:
        """Whether what runs by the book runs in the service; False if it died meanwhile."""
        asked_s = time.monotonic()
        answer = self._service.ask({"status": True})
        if answer is None:
            return False
        self._take_in()
        status = answer["status"]
        there = {timer["name"]: timer["left_s"] for timer in status["timers"]}
        for name, entry in list(self.book.running.items()):
            if name in there:
                entry.is_sure = True
                off_s = asked_s + there[name] - entry.low_s
                if not -2.5 < off_s < entry.high_s - entry.low_s + 2.5:
                    self.book.wrong.append(f"{name} moved by {off_s:.1f} s")
            elif not entry.is_sure:
                del self.book.running[name]
            elif entry.high_s > asked_s and not entry.calls:
                self.book.wrong.append(f"{name} is missing, due in {entry.high_s - asked_s:.1f} s")
                del self.book.running[name]
        if status["plan"] is None:
            self._wants_on, self._wants_done = [], []
            self.book.ups.clear()
            return self._service.ask({"tell": "cook the night watch"}) is not None
        going = {step["step"]: step["state"] for step in status["going"]}
        self._wants_on = [step for step, state in going.items() if state == "called"]
        self._wants_done = [
            step for step, state in going.items() if state in ("up", "on") and _is_short(step)
        ]
        self._wants_done += [step for step, state in going.items() if state == "up" and not _is_short(step)]
        return True

    def _answer(self) -> bool:
        for step in self._wants_on:
            if self._service.ask({"tell": step}) is None:
                return False
        self._wants_on = []
        for step in self._wants_done:
            if self._service.ask({"tell": step}) is None:
                return False
        self._wants_done = []
        if self._rng.random() < 0.05:
            return self._service.ask({"tell": "heard"}) is not None
        return True

    def _refill(self, is_wanted: bool) -> bool:
        while is_wanted and len(self.book.running) < self._timers and self._free:
            # A full minute is said as one; its words are another matter.
            seconds = self._rng.choice([s for s in range(*self._spans_s) if s % 60])
            name = self._free.pop()
            asked_s = time.monotonic()
            answer = self._service.ask({"tell": f"time the {name} for {seconds} seconds"})
            entry = Entry(name=name, low_s=asked_s + seconds, high_s=time.monotonic() + seconds)
            entry.is_sure = answer is not None
            if answer is not None and not any(name in said.lower() for said in answer["said"]):
                self.book.wrong.append(f"{name} was not taken in: {answer}")
            self.book.running[name] = entry
            if answer is None:
                return False
        return True

    def _take_in(self) -> None:
        """Enter what was printed since the last look."""
        lines, self._read = self._service.lines[self._read :], len(self._service.lines)
        for line in lines:
            said = line.text.partition("  kitchend  ")[2]
            for name, how in CALL.findall(said):
                self._called(name.strip().lower(), line, is_late=how != "is up")
            self._wants_on += [name.lower() for name in NOW.findall(said)]
            for thing in (thing for things in UP.findall(said) for thing in THINGS_UP.split(things)):
                name = " ".join(thing.removeprefix("the ").split()[:3])
                if name in ALL_NAMES:
                    self._called(name, line, is_late=thing.endswith(" ago"))
                else:
                    self._up(name.split()[0], line)
        for entry in list(self.book.running.values()):
            since_s = max(entry.high_s, max(self.book.ready_s, default=0.0))
            if entry.calls and time.monotonic() > entry.calls[-1].at_s + 4.0:
                self.book.rung[entry.name] = self.book.running.pop(entry.name)
            elif entry.is_sure and not entry.calls and self._is_up and time.monotonic() > since_s + 5.0:
                over_s = time.monotonic() - entry.high_s
                self.book.wrong.append(f"{entry.name} has not rung, due {over_s:.1f} s ago")
                del self.book.running[entry.name]

    @property
    def _is_up(self) -> bool:
        return self._service.child.poll() is None

    def _called(self, name: str, line: Line, *, is_late: bool) -> None:
        at_s = line.at_s
        entry = self.book.running.get(name) or self.book.rung.get(name)
        if entry is None:
            self.book.wrong.append(f"{name} was called, and no such timer was set")
            return
        if entry.calls and not self.book.was_cut_off(entry.calls[-1]):
            apart_s = at_s - entry.calls[-1].at_s
            self.book.wrong.append(f"{name} was called twice, {apart_s:.1f} s apart: {line.text}")
        since_s = max([entry.high_s, *(ready_s for ready_s in self.book.ready_s if ready_s <= at_s)])
        if not entry.calls:
            self.book.late_s.append(at_s - since_s)
            entry.is_late = is_late
        if at_s < entry.low_s - 0.1:
            self.book.wrong.append(f"{name} was called {entry.low_s - at_s:.1f} s early")
        if not is_late and at_s - entry.high_s > NEAR_S + 1.0:
            self.book.wrong.append(f"{name} rang {at_s - entry.high_s:.1f} s late and did not say so")
        entry.calls.append(line)

    def _up(self, name: str, line: Line) -> None:
        before = self.book.ups.setdefault(name, [])
        if before and not self.book.was_cut_off(before[-1]):
            self.book.wrong.append(f"{name} came up twice")
        before.append(line)
        self._wants_done.append(name)


def queued_s(process: int) -> float:
    """How long its threads have stood in line for a processor so far, in seconds; 0 once it has ended."""
    queued_ns = 0
    for task in Path(f"/proc/{process}/task").glob("*/schedstat"):
        # Second of three numbers, in nanoseconds: Documentation/scheduler/sched-stats.rst of the kernel.
        with suppress(OSError):
            queued_ns += int(task.read_text("utf-8").split()[1])
    return queued_ns / 1e9


def _is_short(step: str) -> bool:
    """Whether it is hands only, so that no clock ends it."""
    return step.startswith(("strain", "knead"))
