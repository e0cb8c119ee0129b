"""Where readings come from by themselves: the sensor files and the broker of the settings, supervised.

A thermometer that is lost is told in one line, once, and stands in the status until it is back; the dinner
goes on by the clock as it would without one. Nothing runs that the settings do not ask for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from threading import Event, Lock
from typing import Any

from kitchend.errors import DeviceError
from kitchend.service.intake import Intake
from kitchend.service.ports import Complain
from kitchend.service.sensor_files import SensorError, celsius_of, found
from kitchend.service.settings import Settings
from kitchend.service.settings_sources import SensorWish
from kitchend.service.supervisor import PAUSES_S, Run, Supervisor
from kitchend.service.taking import ReadingError, Taking
from kitchend.service.wall_clock import running_s

TRIES, TRY_AGAIN_S = 3, 1.0
"""A wrong checksum now and then is how wires are; so many in a row are a fault."""

STILL_S = 60.0
"""A sensor that gives no answer for so long hangs; a 1-Wire probe takes a second."""

LOOK_S = 5.0
HINT = "it is looked for again and again"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One thermometer as it stands. `works` None: nothing has come of it yet. `at_s` is running time."""

    of: str
    where: str
    works: bool | None = None
    why: str = ""
    celsius: float | None = None
    at_s: float | None = None


class Thermometers:
    """What is known of every source; any thread may write and look."""

    def __init__(self, seconds: Callable[[], float] = running_s) -> None:
        self._seconds = seconds
        self._lock = Lock()
        self._known: dict[str, Source] = {}

    def expect(self, of: str, where: str) -> None:
        """There is to be such a thermometer."""
        with self._lock:
            self._known[where] = Source(of=of, where=where)

    def showed(self, where: str, celsius: float) -> None:
        """It works, and this is what it showed."""
        with self._lock:
            of = self._known[where].of
            self._known[where] = Source(of=of, where=where, works=True, celsius=celsius, at_s=self._seconds())

    def lost(self, where: str, why: str) -> None:
        """It does not work, and this is why; what it showed last stays known."""
        with self._lock:
            was = self._known[where]
            self._known[where] = Source(
                of=was.of, where=where, works=False, why=why, celsius=was.celsius, at_s=was.at_s
            )

    def status(self) -> list[dict[str, Any]]:
        """All of them, for `kitchend status --json`: age in seconds, null where nothing was shown yet."""
        with self._lock:
            known = list(self._known.values())
        return [
            {
                "of": one.of,
                "where": one.where,
                "works": one.works,
                "why": one.why,
                "celsius": None if one.celsius is None else round(one.celsius, 2),
                "age_s": None if one.at_s is None else round(self._seconds() - one.at_s),
            }
            for one in known
        ]


class SensorRun:
    """One run of one sensor file, from its first reading to its loss."""

    def __init__(self, wish: SensorWish, thermometers: Thermometers, intake: Intake) -> None:
        self._wish = wish
        self._thermometers = thermometers
        self._intake = intake
        self._stopped = Event()
        self._last_c: float | None = None

    def work(self, alive: Callable[[], None]) -> None:
        """Read again and again until stopped; DeviceError once it gives no temperature any more."""
        failures = 0
        while not self._stopped.is_set():
            try:
                self._read()
            except (SensorError, ReadingError) as error:
                failures += 1
                if failures == TRIES or getattr(error, "is_gone", False):
                    raise DeviceError(f"thermometer of the {self._wish.of}", str(error), HINT) from None
                self._stopped.wait(TRY_AGAIN_S)
                continue
            failures = 0
            self._rest(alive)

    def stop(self) -> None:
        """Read no more."""
        self._stopped.set()

    def _read(self) -> None:
        wish = self._wish
        path = found(wish.path)
        celsius = celsius_of(path, scale=wish.scale, unit=wish.unit, last_c=self._last_c)
        self._intake.hand_in(Taking.in_celsius(wish.of, celsius))
        self._last_c = celsius
        self._thermometers.showed(wish.path, celsius)

    def _rest(self, alive: Callable[[], None]) -> None:
        left_s = self._wish.every_s
        while left_s > 0 and not self._stopped.is_set():
            alive()
            self._stopped.wait(min(LOOK_S, left_s))
            left_s -= LOOK_S


@contextmanager
def open_sources(
    settings: Settings,
    intake: Intake,
    complain: Complain,
    *,
    pauses_s: Sequence[float] = PAUSES_S,
) -> Iterator[Thermometers]:
    """Every source of the settings, kept at work until left."""
    thermometers = Thermometers()
    supervisor = Supervisor(running_s, pauses_s)
    try:
        for wish in settings.sensors:
            thermometers.expect(wish.of, wish.path)
            news = News(f"thermometer of the {wish.of}", [wish.path], thermometers, complain)
            make = partial(SensorRun, wish, thermometers, intake)
            supervisor.keep(f"thermometer {wish.of}", make, news, patience_s=STILL_S)
        if settings.mqtt is not None:
            from kitchend.service.broker import BrokerRun, where_of

            broker = settings.mqtt
            places = [where_of(broker, topic) for topic in broker.topics]
            for topic, where in zip(broker.topics, places, strict=True):
                thermometers.expect(topic.of, where)
            news = News("mqtt", places, thermometers, complain)
            listen: Callable[[], Run] = partial(BrokerRun, broker, thermometers, intake, complain)
            supervisor.keep("mqtt", listen, news, patience_s=STILL_S)
        yield thermometers
    finally:
        supervisor.close()


class News:
    """Tells of a part that was lost or is back: a line for the screen, a word for the status."""

    def __init__(
        self, name: str, where: Sequence[str], thermometers: Thermometers, complain: Complain
    ) -> None:
        self._name = name
        self._where = tuple(where)
        self._thermometers = thermometers
        self._complain = complain
        self._told = ""

    def __call__(self, works: bool, why: str) -> None:
        """It works, or does not."""
        if works:
            if self._told:
                self._complain(f"{self._name}: it is there again")
            self._told = ""
            return
        for where in self._where:
            self._thermometers.lost(where, why)
        if why != self._told:
            self._complain(why)
        self._told = why
