"""The process in which planning is done: a question comes in, its timeline goes out, until nobody asks.

Started by `planner_apart` with the numbers of two pipes. It gives way to whoever listens and speaks, and ends
when the other end of its pipe does.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from multiprocessing.connection import Connection
from typing import Any

from kitchend.core.forecasts import Forecast
from kitchend.core.timeline import Timeline
from kitchend.planning.solver import Model
from kitchend.service.guard import attempt
from kitchend.service.planner import SolvingPlanner

GIVES_WAY = 5
"""Added to its niceness."""


def main(arguments: Sequence[str]) -> None:
    """Answer questions. Arguments: the two pipes' numbers, seconds of preheating, the chance wanted."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # a terminal's Ctrl-C is for the one who asks
    with suppress(OSError):  # a sandbox may forbid it
        os.nice(GIVES_WAY)
    questions = Connection(int(arguments[0]), writable=False)
    answers = Connection(int(arguments[1]), readable=False)
    preheat_s, chance = arguments[2:]
    planner = SolvingPlanner(
        None if preheat_s == "None" else int(preheat_s), None if chance == "None" else float(chance)
    )
    Model()  # loads the solver before anybody waits for it
    while True:
        try:
            kind, *question = questions.recv()
            answers.send(_answer(planner, kind, question))
        except (EOFError, OSError):
            return


def _answer(planner: SolvingPlanner, kind: str, question: Sequence[Any]) -> Timeline | Forecast | None:
    """The answer; None where planning failed, which the one who asks will then see for itself."""
    found: list[Timeline | Forecast] = []
    asks: dict[str, Callable[..., Timeline | Forecast]] = {
        "first": planner.first,
        "rest": planner.rest,
        "forecast": planner.forecast,
    }
    attempt(lambda: found.append(asks[kind](*question)), complain=_say_nothing, doing="plan")
    return found[0] if found else None


def _say_nothing(line: str) -> None:
    """The one who asks plans in its own process then, and complains there."""


if __name__ == "__main__":
    main(sys.argv[1:])
