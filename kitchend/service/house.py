"""Puts the real parts together around one runner, and takes them apart again in the right order.

Both `cook` and `run` live in such a house. Which parts there are is decided here and in `sound`; what they do
is not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass

from kitchend.core.clock import Now
from kitchend.service.alarms import SchedulerAlarms
from kitchend.service.control import serving
from kitchend.service.desk import RunnerDesk
from kitchend.service.guard import OnceEach
from kitchend.service.journal import open_journal
from kitchend.service.only_one import only_one
from kitchend.service.places import Places
from kitchend.service.planner import SolvingPlanner
from kitchend.service.ports import Clock, Complain, Planner, Plans
from kitchend.service.pulse import FilePulse
from kitchend.service.runner import Observer, Runner
from kitchend.service.settings import Settings
from kitchend.service.sound import open_sound
from kitchend.service.wall_clock import SystemClock, wall_now
from kitchend.service.worker import Worker


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """A runner with everything real around it. `last` is the journal's last present, None for a new one."""

    runner: Runner
    clock: Clock
    planner: Planner
    last: Now | None
    hears: bool
    speaks: bool


@contextmanager
def open_house(
    settings: Settings,
    places: Places,
    *,
    plans: Plans,
    complain: Complain,
    observers: Sequence[Observer] = (),
    on_end: Callable[[], None] | None = None,
) -> Iterator[House]:
    """Everything a dinner needs, until left; DeviceError if another is on or the journal can't be used."""
    with ExitStack() as stack:
        complain = OnceEach(complain)
        stack.enter_context(only_one(places.journal))
        journal = open_journal(places.journal, wall=wall_now, complain=complain)
        stack.callback(journal.close)
        kept = journal.last()
        clock = SystemClock(kept)
        journal.begin_run(clock.boot)
        alarms = SchedulerAlarms(clock).start()
        worker = Worker()
        stack.callback(worker.close)
        stack.callback(alarms.close)
        planner = SolvingPlanner(settings.preheat, settings.chance)
        sound = stack.enter_context(open_sound(settings, clock, complain))
        runner = Runner(
            clock=clock,
            journal=journal,
            alarms=alarms,
            mouth=sound.mouth,
            listener=sound.listener,
            planner=planner,
            plans=plans,
            manners=settings.manners,
            observers=observers,
            complain=complain,
            work=worker,
            pulse=FilePulse(places.pulse),
            knows_away=clock.knows_away,
            on_end=on_end,
        )
        sound.connect(runner.put)
        stack.enter_context(serving(places.socket, RunnerDesk(runner, clock)))
        yield House(
            runner=runner,
            clock=clock,
            planner=planner,
            last=kept.now if kept else None,
            hears=sound.listener is not None,
            speaks=sound.speaks,
        )
