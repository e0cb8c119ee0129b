"""Alarms: one contract for memory and APScheduler; and moved wall clocks, which only the latter can meet."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from threading import Event as Flag

import pytest

from kitchend.core.clock import Now, WallTime
from kitchend.service.alarms import SchedulerAlarms
from kitchend.service.memory import MemoryAlarms, SimulatedClock
from kitchend.service.ports import Alarms, Clock
from kitchend.service.wall_clock import SystemClock

PATIENCE_S = 10.0


class Bell:
    """Counts its rings, and can be waited for."""

    def __init__(self) -> None:
        self.rings = 0
        self._rung = Flag()

    def ring(self) -> None:
        self.rings += 1
        self._rung.set()

    def wait(self) -> bool:
        return self._rung.wait(PATIENCE_S)


@dataclass
class World:
    """Alarms with their clock. `pass_time` lets a time pass: really, or on the simulated clock."""

    alarms: Alarms
    clock: Clock
    pass_time: Callable[[float], None]

    def wake_in(self, seconds: float) -> Bell:
        bell = Bell()
        self.alarms.wake_at(self.clock.now().instant + seconds, bell.ring)
        return bell


def let_pass(seconds: float) -> None:
    """Wait for real; kept to fractions of a second."""
    Flag().wait(seconds)


@pytest.fixture(params=["memory", "scheduler"])
def world(request: pytest.FixtureRequest) -> Iterator[World]:
    if request.param == "memory":
        clock = SimulatedClock(WallTime(1e9))
        memory = MemoryAlarms(clock)

        def advance(seconds: float) -> None:
            clock.advance(seconds)
            memory.check()

        yield World(alarms=memory, clock=clock, pass_time=advance)
    else:
        real = SystemClock()
        with closing(SchedulerAlarms(real).start()) as scheduler:
            yield World(alarms=scheduler, clock=real, pass_time=let_pass)


def test_it_rings_when_the_instant_has_come(world: World) -> None:
    bell = world.wake_in(0.2)
    assert bell.rings == 0
    world.pass_time(0.3)
    assert bell.wait()


def test_it_rings_once(world: World) -> None:
    bell = world.wake_in(0.05)
    world.pass_time(0.2)
    assert bell.wait()
    world.alarms.check()
    world.pass_time(0.2)
    assert bell.rings == 1


def test_an_instant_in_the_past_rings_at_once(world: World) -> None:
    bell = world.wake_in(-3600)
    world.pass_time(0.05)
    assert bell.wait()


def test_a_new_wish_replaces_the_old_one(world: World) -> None:
    first = world.wake_in(0.1)
    second = world.wake_in(0.2)
    world.pass_time(0.4)
    assert second.wait()
    assert first.rings == 0


def test_no_wish_rings_nothing(world: World) -> None:
    bell = world.wake_in(0.1)
    world.alarms.wake_at(None, bell.ring)
    world.pass_time(0.3)
    assert bell.rings == 0


def test_after_close_nothing_rings(world: World) -> None:
    bell = world.wake_in(0.1)
    world.alarms.close()
    world.pass_time(0.3)
    world.alarms.check()
    assert bell.rings == 0


def test_wishes_in_quick_succession_all_ring(world: World) -> None:
    bells = []
    for _ in range(12):
        bells.append(world.wake_in(0.01))
        world.pass_time(0.02)
        assert bells[-1].wait()
    assert [bell.rings for bell in bells] == [1] * 12


class MovableClock:
    """Real running time under a wall clock that somebody moves."""

    def __init__(self) -> None:
        self._clock = SystemClock()
        self.moved_s = 0.0

    def now(self) -> Now:
        now = self._clock.now()
        return Now(now.instant, now.wall + self.moved_s)


@pytest.fixture
def movable() -> MovableClock:
    return MovableClock()


def test_a_wall_clock_ahead_does_not_make_it_ring_early(movable: MovableClock) -> None:
    movable.moved_s = -3600
    with closing(SchedulerAlarms(movable).start()) as alarms:
        # An hour behind the system's clock: APScheduler takes the job for overdue and fires at once, and
        # again each time it is set, until running time agrees.
        bell = Bell()
        due = movable.now().instant + 0.3
        alarms.wake_at(due, bell.ring)
        movable.moved_s = 0
        assert bell.wait()
        assert movable.now().instant >= due
        assert bell.rings == 1


def test_a_wall_clock_put_back_is_noticed_by_the_next_look(movable: MovableClock) -> None:
    movable.moved_s = 3600
    with closing(SchedulerAlarms(movable).start()) as alarms:
        # An hour ahead of the system's clock: APScheduler would fire an hour late.
        bell = Bell()
        alarms.wake_at(movable.now().instant + 0.2, bell.ring)
        movable.moved_s = 0
        alarms.check()
        assert bell.wait()


def test_a_look_after_the_instant_rings_whatever_the_wall_clock_says(movable: MovableClock) -> None:
    movable.moved_s = 3600
    with closing(SchedulerAlarms(movable).start()) as alarms:
        bell = Bell()
        alarms.wake_at(movable.now().instant, bell.ring)
        alarms.check()
        assert bell.rings == 1


def test_a_look_before_the_instant_rings_nothing() -> None:
    clock = SystemClock()
    with closing(SchedulerAlarms(clock).start()) as alarms:
        bell = Bell()
        alarms.wake_at(clock.now().instant + 3600, bell.ring)
        alarms.check()
        assert bell.rings == 0
