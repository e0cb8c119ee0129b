"""Puts the real parts together around one runner, and takes them apart again in the right order.

Both `cook` and `run` live in such a house. Which parts there are is decided here and in `sound`; what they do
is not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, ExitStack, closing, contextmanager
from dataclasses import dataclass, field
from functools import partial

from kitchend.core.clock import Now
from kitchend.core.complaints import told_in
from kitchend.core.events import MishapNoticed
from kitchend.errors import DeviceError
from kitchend.service.alarms import SchedulerAlarms
from kitchend.service.control import serving
from kitchend.service.desk import RunnerDesk
from kitchend.service.guard import OnceEach, one_line
from kitchend.service.intake import Intake
from kitchend.service.journal import open_journal
from kitchend.service.lean_memory import lean_memory
from kitchend.service.only_one import only_one
from kitchend.service.overheard import Overheard
from kitchend.service.places import Places
from kitchend.service.planner_apart import PlannerApart
from kitchend.service.ports import Clock, Complain, Planner, Plans, Pulse
from kitchend.service.pronouncing import PronouncingMouth
from kitchend.service.pulse import FilePulse
from kitchend.service.runner import Observer, Runner
from kitchend.service.safe_journal import CatchingUp, SafeJournal
from kitchend.service.settings import Settings
from kitchend.service.snapshot import FileSnapshots
from kitchend.service.sound import open_sound
from kitchend.service.sources import open_sources
from kitchend.service.tidying import TidyingPulse
from kitchend.service.wall_clock import SystemClock, wall_now
from kitchend.service.watchdog import WatchedPulse
from kitchend.service.worker import Worker


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """A runner with everything real around it.

    `last` is the journal's last present, None for a new one; `is_kept` tells whether all of it is on disk.
    """

    runner: Runner
    clock: Clock
    planner: Planner
    last: Now | None
    hears: bool
    speaks: bool
    language: str = "en"
    is_kept: Callable[[], bool] = lambda: True
    overheard: Overheard = field(default_factory=Overheard)


Beside = Callable[[House, Plans], AbstractContextManager[None]]
"""Something that stands beside a dinner while its house does, such as the board."""


@contextmanager
def nothing_beside(house: House, plans: Plans) -> Iterator[None]:
    """Nothing stands beside the dinner."""
    yield


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
    """Everything a dinner needs, until left; DeviceError if another is on or the journal is too new."""
    lean_memory()
    with ExitStack() as stack:
        complain = OnceEach(in_language(settings.language, complain))
        stack.enter_context(only_one(places.journal))
        journal = _journal(stack, places, settings.keep_days, complain)
        kept = journal.last()
        clock = SystemClock(kept)
        journal.begin_run(clock.boot)
        planner = stack.enter_context(closing(PlannerApart(settings.preheat, settings.chance)))
        worker = stack.enter_context(closing(Worker()))
        alarms = stack.enter_context(closing(SchedulerAlarms(clock).start()))
        sound = stack.enter_context(open_sound(settings, clock, complain, places.sounds))
        runner = Runner(
            clock=clock,
            journal=journal,
            alarms=alarms,
            mouth=PronouncingMouth(sound.mouth, lambda: runner.state.plan),
            listener=sound.listener,
            planner=planner,
            plans=plans,
            manners=settings.manners,
            observers=observers,
            complain=complain,
            work=worker,
            pulse=_pulse(places, settings.keep_days, journal, lambda: runner.forget()),
            snapshots=FileSnapshots(places.snapshot),
            knows_away=clock.knows_away,
            on_end=on_end,
        )
        journal.tell(lambda mishap: runner.put(MishapNoticed(mishap=mishap)))
        sound.connect(runner.put)
        _open_doors(stack, settings, places, runner, clock, sound.overheard, complain)
        house = partial(House, runner=runner, clock=clock, planner=planner, is_kept=journal.is_whole)
        yield house(
            last=kept.now if kept else None,
            hears=sound.hears,
            speaks=sound.speaks,
            language=settings.language,
            overheard=sound.overheard,
        )


def in_language(tag: str, complain: Complain) -> Complain:
    """Complains in this language."""
    return lambda line: complain(told_in(tag, line))


def _journal(stack: ExitStack, places: Places, keep_days: int, complain: Complain) -> SafeJournal:
    opens = partial(open_journal, places.journal, wall=wall_now, complain=complain, keep_days=keep_days)
    journal = SafeJournal(opens, complain)
    stack.callback(journal.close)
    return journal


def _pulse(places: Places, keep_days: int, journal: SafeJournal, put_away: Callable[[], None]) -> Pulse:
    """What is seen to each time the loop comes round."""
    catching_up = CatchingUp(WatchedPulse(FilePulse(places.pulse)), journal)
    return TidyingPulse(catching_up, journal, places.journal, keep_days, put_away)


def _open_doors(
    stack: ExitStack,
    settings: Settings,
    places: Places,
    runner: Runner,
    clock: Clock,
    overheard: Overheard,
    complain: Complain,
) -> None:
    """Let thermometers in, and whoever asks at the control socket."""
    thermometers = stack.enter_context(open_sources(settings, Intake(runner), complain))
    desk = RunnerDesk(runner, clock, thermometers=thermometers.status, overheard=overheard)
    _serve(stack, places, desk, complain)


def _serve(stack: ExitStack, places: Places, desk: RunnerDesk, complain: Complain) -> None:
    """Open the control socket; without a place for it a dinner goes on by voice and keyboard."""
    try:
        stack.enter_context(serving(places.socket, desk))
    except DeviceError as error:
        if error.device != "control socket":
            raise
        complain(f"{one_line(str(error))}; so `kitchend tell` and `status` cannot reach this one")
