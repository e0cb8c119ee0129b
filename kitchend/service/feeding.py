"""`kitchend feed`: what a program prints, or what comes in on standard input, handed to the running kitchend.

One thread reads, one hands on; between them stands only the newest reading of each name, so that neither
waits for the other. What is wrong is told once for each kind of it and then counted. A service that is away
is waited for, while more may come.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from signal import SIGINT
from threading import Event, Thread
from typing import Protocol

from kitchend.core.quantities import QuantityError, Scale, parse_duration
from kitchend.errors import DeviceError
from kitchend.service.control import Answer, ask
from kitchend.service.guard import FINE, INTERRUPTED, MISSING, PROBLEMS, UseError, attempt
from kitchend.service.newest import Newest
from kitchend.service.ports import Complain
from kitchend.service.printed_lines import MAX_LINE, lines_of
from kitchend.service.program import Program
from kitchend.service.signals import stop_on_signals
from kitchend.service.supervisor import PAUSES_S
from kitchend.service.taking import ReadingError, Taking, scale_named, taking_of_line
from kitchend.service.wall_clock import running_s

LOOK_S = 0.1
PATIENCE_S = 15.0
"""How long the service may take over one reading."""

LEAST_EVERY_S, MOST_EVERY_S = 1, 3600


class Source(Protocol):
    """Where lines come from. `failed` says how it ended, if that was badly."""

    failed: str

    def lines(self) -> Iterator[bytes | None]:
        """Line by line until the end; None for one that is too long."""
        ...

    def stop(self) -> None:
        """Let `lines` come to its end soon."""
        ...


class Handle:
    """Lines out of an open file handle, such as standard input."""

    failed = ""

    def __init__(self, handle: int) -> None:
        self._handle = handle
        self._stopped = Event()

    def lines(self) -> Iterator[bytes | None]:
        """Line by line until its end."""
        return lines_of(self._handle, self._stopped.is_set)

    def stop(self) -> None:
        """Read no more."""
        self._stopped.set()


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What holds where a line does not say, and how often a reading of one name is handed on at most."""

    of: str = ""
    scale: Scale | None = None
    every_s: float = 5.0
    as_json: bool = False


class Feed:
    """One feed, from its first line to its last."""

    def __init__(
        self, source: Source, wish: Wish, socket: Path, *, show: Callable[[str], None], complain: Complain
    ) -> None:
        self._source = source
        self._wish = wish
        self._socket = socket
        self._show = show
        self._complain = complain
        self._newest = Newest(wish.every_s, running_s)
        self._stopped = Event()
        self._counts: Counter[str] = Counter()
        self._last: dict[str, str] = {}
        self._failures = 0
        self._broken: list[str] = []

    def run(self) -> int:
        """Feed until the lines end or a signal comes; the exit code."""
        reader = Thread(target=self._read, name="feed reader", daemon=True)
        with stop_on_signals(self._stopped.set) as caught:
            reader.start()
            try:
                self._hand_on(reader)
            finally:
                self._source.stop()
                reader.join(timeout=10)
            self._sum_up()
        if caught.number:
            return INTERRUPTED if caught.number == SIGINT else FINE
        return self._code()

    def _read(self) -> None:
        attempt(self._read_all, complain=self._broken.append, doing="read the lines")

    def _read_all(self) -> None:
        for line in self._source.lines():
            try:
                self._newest.put(self._taking(line))
            except ReadingError as error:
                self._wrong(error.kind, str(error))
            self._counts["lines"] += 1

    def _taking(self, line: bytes | None) -> Taking:
        if line is None:
            raise ReadingError("long", f"a line of more than {MAX_LINE} bytes is no reading")
        text = line.decode("utf-8", errors="replace")
        return taking_of_line(text, of=self._wish.of, scale=self._wish.scale)

    def _wrong(self, kind: str, line: str) -> None:
        self._counts["wrong"] += 1
        self._counts[f"wrong {kind}"] += 1
        if self._counts[f"wrong {kind}"] == 1:
            self._complain(f"{line} (told once; further ones are counted)")

    def _hand_on(self, reader: Thread) -> None:
        while not self._stopped.is_set():
            is_over = not reader.is_alive()
            for taking in self._newest.due(at_once=is_over):
                if not self._handed(taking) and is_over:
                    return
            if is_over and self._newest.is_empty:
                return
            self._stopped.wait(self._pause_s())

    def _pause_s(self) -> float:
        return PAUSES_S[min(self._failures, len(PAUSES_S)) - 1] if self._failures else LOOK_S

    def _handed(self, taking: Taking) -> bool:
        try:
            answer = ask(self._socket, {"reading": _request(taking)}, patience_s=PATIENCE_S)
        except DeviceError as error:
            self._newest.put_back(taking)
            self._failures += 1
            if self._failures == 1:
                self._complain(f"{error}; readings wait for it")
            return False
        if self._failures:
            self._failures = 0
            self._complain("service: it is there again")
        self._answered(taking, answer)
        return True

    def _answered(self, taking: Taking, answer: Answer) -> None:
        if "error" in answer:
            self._wrong("refused", f"{taking.of}: {answer['error']}")
            return
        taken = answer.get("taken")
        self._counts["taken" if taken else "unwanted"] += 1
        if self._wish.as_json:
            celsius = taken["celsius"] if taken else answer.get("celsius")
            kept = {"of": taking.of, "celsius": celsius, "taken": taken["of"] if taken else None}
            self._show(json.dumps(kept if taken else kept | {"why": answer.get("why")}, ensure_ascii=False))
            return
        news = f"kept for {taken['of']}" if taken else str(answer.get("why"))
        if self._last.get(taking.of) != news:
            self._last[taking.of] = news
            degrees = f"{taken['celsius']:.1f} C, " if taken else ""
            self._show(f"{taking.of}: {degrees}{news}")

    def _sum_up(self) -> None:
        counts = {name: self._counts[name] for name in ("lines", "taken", "unwanted", "wrong")}
        if self._wish.as_json:
            self._show(json.dumps({"sum": counts}))
            return
        taken, unwanted, wrong = counts["taken"], counts["unwanted"], counts["wrong"]
        self._show(f"{taken} readings taken, {unwanted} not wanted, {wrong} that were none")

    def _code(self) -> int:
        for line in self._broken:
            self._complain(line)
        if self._source.failed:
            self._complain(f"the program: {self._source.failed}")
        if self._broken or self._source.failed or self._failures:
            return MISSING
        is_all_wrong = self._counts["wrong"] and not self._counts["taken"] + self._counts["unwanted"]
        return PROBLEMS if is_all_wrong else FINE


def _request(taking: Taking) -> Answer:
    request: Answer = {"of": taking.of, "degrees": taking.degrees}
    return request if taking.scale is None else request | {"unit": taking.scale.value}


def feed(
    command: Sequence[str],
    wish: Wish,
    socket: Path,
    *,
    again: bool,
    show: Callable[[str], None],
    complain: Complain,
) -> int:
    """Feed what the command prints, or without one what comes in on standard input; the exit code."""
    if wish.of:
        _check_name(wish.of)
    if again and not command:
        raise UseError("--again starts a program anew; give one after --")
    source: Source = Handle(sys.stdin.fileno())
    if command:
        source = Program(command, again=again, tell=complain)
    return Feed(source, wish, socket, show=show, complain=complain).run()


def wish_of(of: str | None, unit: str | None, every: str, *, as_json: bool) -> Wish:
    """The options as they were typed; UseError says what is wrong with one."""
    try:
        scale = None if unit is None else scale_named(unit)
    except ReadingError as error:
        raise UseError(f"--unit: {error}") from None
    try:
        every_s = parse_duration(every)
    except QuantityError as error:
        raise UseError(f"--every: {error}") from None
    if not LEAST_EVERY_S <= every_s <= MOST_EVERY_S:
        raise UseError(f"--every {every}: from 1 s to 1 h will do")
    return Wish(of=of or "", scale=scale, every_s=every_s, as_json=as_json)


def _check_name(of: str) -> None:
    try:
        taking_of_line("0", of=of)
    except ReadingError as error:
        raise UseError(f"--of: {error}") from None
