"""`kitchend cook`: one dinner in the foreground, from its plan to the table.

Decides whether a dinner is carried on or begun afresh, and when there is nothing left to wait for. The dinner
itself is the core's business.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from signal import SIGINT
from typing import TextIO

from kitchend.core.clock import Now, WallTime
from kitchend.core.events import DinnerStarted
from kitchend.core.papers import counted, written_time
from kitchend.core.passes import passes_of
from kitchend.core.plan import Plan
from kitchend.core.tongue import clause, speaking
from kitchend.reports.why import conflicts
from kitchend.service.guard import FINE, INTERRUPTED, UseError
from kitchend.service.house import Beside, House, nothing_beside, open_house
from kitchend.service.memory import MemoryPlans
from kitchend.service.opening import opened
from kitchend.service.places import Places
from kitchend.service.ports import Complain, Opened
from kitchend.service.runner import Stepped
from kitchend.service.serving import Dinner, dinner_of
from kitchend.service.settings import Settings, for_plan
from kitchend.service.signals import stop_on_signals
from kitchend.service.transcript import Transcript
from kitchend.service.typing_in import read_typed
from kitchend.service.wall_clock import SystemClock

AFTER_PASS_S = 1800.0
"""With nobody able to answer any more, kitchend calls until this long after the pass."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What was asked for on the command line. `carries_on` None: ask, if there is something to carry on."""

    paths: Sequence[Path]
    serves: Sequence[str] = ()
    carries_on: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """The terminal: where lines go, where typed ones come from, and whether somebody sits there."""

    write: Callable[[str], None]
    complain: Complain
    lines: TextIO
    is_interactive: bool


def screen_of_process() -> Screen:
    """The process's own terminal or pipes; every line is flushed."""

    def write(line: str) -> None:
        print(line, flush=True)

    def complain(line: str) -> None:
        print(line, file=sys.stderr, flush=True)

    return Screen(write=write, complain=complain, lines=sys.stdin, is_interactive=sys.stdin.isatty())


def cook(
    wish: Wish, settings: Settings, places: Places, screen: Screen, beside: Beside = nothing_beside
) -> int:
    """Cook the plans to their end; the exit code. PlanError for bad plans, UseError for a wrong pass."""
    dinner = dinner_of(wish.paths, wish.serves, SystemClock().now().wall)
    plan, found = dinner.plan, Opened(plan=dinner.plan, source=dinner.source)
    settings = for_plan(settings, plan)
    stop: list[Callable[[], None]] = []
    transcript = Transcript(screen.write, echoes=not screen.is_interactive)
    with open_house(
        settings,
        places,
        plans=MemoryPlans({plan.name: found}),
        complain=screen.complain,
        observers=(transcript,),
        on_end=lambda: stop[0](),
    ) as house:
        stop.append(house.runner.stop)
        with speaking(settings.language):
            _begin(house, found, dinner, wish, screen)
        with beside(house, MemoryPlans({plan.name: found})), speaking(settings.language):
            return _see_through(house, screen)


def _begin(house: House, found: Opened, dinner: Dinner, wish: Wish, screen: Screen) -> None:
    """Carry on with what was on, or begin; UseError if that can't be told without asking."""
    is_back = house.runner.restore()
    house.runner.introduce()
    was = house.runner.state.plan
    if is_back and was is not None:
        if _carries_on(was, found.plan, house.last, wish, screen):
            if was != found.plan:
                screen.write(clause("screen.changed"))
            screen.write(clause("screen.carrying", plan=was.name))
            return
        house.runner.start_afresh()
    screen.write(clause("screen.planning", plan=found.plan.name))
    for note in dinner.notes:
        screen.write(f"  {clause('screen.note', note=note)}")
    now = house.clock.now()
    plans = MemoryPlans({found.plan.name: found})
    started = opened(found.plan.name, dinner.serve, plans=plans, planner=house.planner, now=now)
    _show(started, now.wall, screen)
    house.runner.put(started)


def _carries_on(was: Plan, plan: Plan, last: Now | None, wish: Wish, screen: Screen) -> bool:
    since = clause("screen.was.on", plan=was.name, at=_when(last))
    is_same = was.name == plan.name
    if wish.carries_on is not None:
        if wish.carries_on and not is_same:
            raise UseError(clause("screen.own.plan", was=since))
        return wish.carries_on
    if is_same:
        return not screen.is_interactive or _asked(clause("screen.carry.on", was=since), screen, default=True)
    leaves = clause("screen.leave", was=since, plan=plan.name)
    if screen.is_interactive and _asked(leaves, screen, default=False):
        return False
    raise UseError(clause("screen.either", was=since))


def _when(last: Now | None) -> str:
    return clause("screen.lately") if last is None else f"{last.wall.local:%H:%M}"


def _asked(question: str, screen: Screen, *, default: bool) -> bool:
    screen.write(question)
    answer = screen.lines.readline().strip().lower()
    return default if not answer else answer in {"y", *clause("screen.yes").split()}


def _show(started: DinnerStarted, now: WallTime, screen: Screen) -> None:
    timeline = started.timeline
    count = len(timeline.planned)
    steps = counted(count, "check.step", "check.steps")
    first = min((planned.start for planned in timeline.planned), key=lambda wall: wall.epoch_s, default=None)
    begins = clause("screen.first", at=written_time(first, now)) if first is not None else ""
    passes = [written_time(one.at(started.serve), now) for one in passes_of(started.plan)]
    at = passes[0]
    for one in passes[1:]:
        at = clause("screen.and", first=at, last=one)
    told = clause("head.pass" if len(passes) == 1 else "head.passes", at=at)
    screen.write(clause("screen.begun", plan=started.plan.name, steps=steps, first=begins, passes=told))
    if timeline.conflicts:
        screen.write(conflicts(timeline))
    screen.write(clause("screen.how"))


def _see_through(house: House, screen: Screen) -> int:
    """Run until served, stopped, or nobody is left who could answer."""
    last_call = _LastCall(house, screen)
    house.runner.watch(last_call.see)
    read_typed(
        screen.lines, house.clock, house.runner.put, at_end=last_call.nobody_types, complain=screen.complain
    )
    with stop_on_signals(house.runner.stop) as caught:
        house.runner.run_forever()
    if not caught.number:
        return FINE
    screen.write(clause("screen.stopped" if house.is_kept() else "screen.stopped.lost"))
    return INTERRUPTED if caught.number == SIGINT else FINE


class _LastCall:
    """Ends a dinner that nobody can answer: no microphone, no more typed lines, and long past the pass."""

    def __init__(self, house: House, screen: Screen) -> None:
        self._house = house
        self._screen = screen
        self._is_alone = False

    def nobody_types(self) -> None:
        if self._house.hears:
            return
        self._is_alone = True
        self._write("screen.no.lines")

    def _write(self, key: str) -> None:
        """Where it runs nothing is known of the language: say it in the dinner's."""
        with speaking(self._house.runner.state.language):
            self._screen.write(clause(key))

    def see(self, stepped: Stepped) -> None:
        state = stepped.state
        if not self._is_alone or state.serve is None or state.timers:
            return
        if stepped.now.wall - state.serve > AFTER_PASS_S:
            self._write("screen.long.past")
            self._house.runner.stop()
