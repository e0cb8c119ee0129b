"""The planner in a process of its own, behind the planner's port.

A solver's memory goes back to the board when it rests, its work takes nothing from the threads that listen
and speak, and its crash costs one question. A question goes out and its timeline comes back over a pair of
pipes; the process ends by itself when this one does. Where it cannot be had, planning is done here: a cook is
never without a timeline.
"""

from __future__ import annotations

import subprocess
import sys
from contextlib import suppress
from multiprocessing.connection import Connection, Pipe
from threading import Lock, Timer
from typing import Literal, TypeVar

from kitchend.core.clock import Now, WallTime
from kitchend.core.forecasts import Forecast
from kitchend.core.plan import Plan, StepId
from kitchend.core.state import DinnerState
from kitchend.core.timeline import Timeline
from kitchend.service.planner import SolvingPlanner

IDLE_S = 60.0
"""A planner that was asked nothing for this long gives its memory back; starting it takes half a second."""

PATIENCE_S = 60.0
"""Longer than any search may take: who has not answered by then never will."""

Kind = Literal["first", "rest", "forecast"]
Answer = TypeVar("Answer", Timeline, Forecast)


class PlannerApart:
    """Plans in a process of its own, started at once. Ask from one thread or many; `close` it in the end."""

    def __init__(
        self, preheat_s: int | None = None, chance: float | None = None, *, idle_s: float = IDLE_S
    ) -> None:
        self._here = SolvingPlanner(preheat_s, chance)
        self._arguments = [str(preheat_s), str(chance)]
        self._idle_s = idle_s
        self._lock = Lock()
        self._is_closed = False
        self._rest: Timer | None = None
        self._desk: _Desk | None = None
        with suppress(OSError):
            self._desk = _Desk(self._arguments)
            self._rest_later()

    def first(self, plan: Plan, serve: WallTime | None, now: Now) -> Timeline:
        """The whole dinner for a pass at `serve`; None: as early as it can be."""
        return self._asked(Timeline, "first", plan, serve, now) or self._here.first(plan, serve, now)

    def rest(self, state: DinnerState, now: Now) -> Timeline:
        """What is left of the dinner that is on."""
        return self._asked(Timeline, "rest", state, now) or self._here.rest(state, now)

    def forecast(self, state: DinnerState, step: StepId, now: Now) -> Forecast:
        """When the core of a step that ends by a reading is expected to be there."""
        found = self._asked(Forecast, "forecast", state, step, now)
        return found or self._here.forecast(state, step, now)

    def close(self) -> None:
        """End the process."""
        with self._lock:
            self._is_closed = True
            self._let_go()

    @property
    def process(self) -> int | None:
        """The process id of the planner that waits or works, None while there is none."""
        desk = self._desk
        return None if desk is None else desk.child.pid

    def _asked(self, wanted: type[Answer], kind: Kind, *question: object) -> Answer | None:
        """The answer; None if there is none to be had, once a fresh process was tried as well."""
        with self._lock:
            for _ in range(2):
                with suppress(OSError, EOFError):
                    return self._answer(wanted, kind, question)
                self._let_go()
        return None

    def _answer(self, wanted: type[Answer], kind: Kind, question: tuple[object, ...]) -> Answer:
        if self._is_closed:
            raise EOFError
        if self._rest is not None:
            self._rest.cancel()
        if self._desk is None:
            self._desk = _Desk(self._arguments)
        answer = self._desk.ask(wanted, (kind, *question))
        self._rest_later()
        return answer

    def _rest_later(self) -> None:
        self._rest = Timer(self._idle_s, self._rests)
        self._rest.daemon = True
        self._rest.start()

    def _rests(self) -> None:
        with self._lock:
            self._let_go()

    def _let_go(self) -> None:
        if self._rest is not None:
            self._rest.cancel()
        if self._desk is not None:
            self._desk.end()
        self._desk = self._rest = None


class _Desk:
    """The process and the two pipes to it."""

    def __init__(self, arguments: list[str]) -> None:
        questions, self._out = Pipe(duplex=False)
        self._back, answers = Pipe(duplex=False)
        with questions, answers:
            fds = (questions.fileno(), answers.fileno())
            # -P: what lies about in the folder the command was given in is none of its modules.
            module = ["-P", "-m", "kitchend.service.planning_desk"]
            command = [sys.executable, *module, *map(str, fds), *arguments]
            self.child = subprocess.Popen(command, pass_fds=fds, stdin=subprocess.DEVNULL)

    def ask(self, wanted: type[Answer], question: tuple[object, ...]) -> Answer:
        """The answer. EOFError when the process is gone or silent, or planning failed in it."""
        self._out.send(question)
        answer = self._back.recv() if self._back.poll(PATIENCE_S) else None
        if not isinstance(answer, wanted):
            raise EOFError
        return answer

    def end(self) -> None:
        """Kill it: it holds nothing that could be lost."""
        self.child.kill()
        self.child.wait()
        for pipe in (self._out, self._back):
            _close(pipe)


def _close(pipe: Connection) -> None:
    with suppress(OSError):
        pipe.close()
