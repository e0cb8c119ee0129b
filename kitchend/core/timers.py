"""Named countdowns: what runs, until when, and how a spoken name finds it.

A timer runs to an absolute `due` instant, or is held with `left_s` to go; exactly one of the two is set. It
belongs to a step or was asked for by the cook; a step whose time is a guess rings at the low end, with
`spread_s` more to come up to the high one (below zero once it is past). Which one rings next is asked here;
who rings is not.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import NewType

from kitchend.core.clock import Instant
from kitchend.core.plan import StepId

TimerId = NewType("TimerId", str)


@dataclass(frozen=True, slots=True, kw_only=True)
class Timer:
    """One countdown. `step` is None for a timer the cook asked for; `remind` is what a reminder says."""

    id: TimerId
    name: str
    due: Instant | None
    left_s: float | None = None
    spread_s: float = 0.0
    step: StepId | None = None
    remind: str | None = None

    @property
    def is_held(self) -> bool:
        """Whether it was stopped on purpose."""
        return self.due is None

    def remaining_s(self, now: Instant) -> float:
        """Seconds to go, below zero when overdue."""
        return self.left_s or 0.0 if self.due is None else self.due - now

    def hold(self, now: Instant) -> Timer:
        """The same timer stopped, keeping what is left."""
        return self if self.due is None else replace(self, due=None, left_s=self.due - now)

    def carry_on(self, now: Instant) -> Timer:
        """The same timer running again with what was left."""
        return self if self.due is not None else replace(self, due=now + (self.left_s or 0.0), left_s=None)

    def give(self, seconds: float) -> Timer:
        """The same timer with more time (or less, below zero)."""
        if self.due is None:
            return replace(self, left_s=max(0.0, (self.left_s or 0.0) + seconds))
        return replace(self, due=self.due + seconds)


def next_deadline(timers: Iterable[Timer]) -> Instant | None:
    """The earliest due instant among running timers; None when nothing runs."""
    due_s = [timer.due.s for timer in timers if timer.due is not None]
    return Instant(min(due_s)) if due_s else None


def due_timers(timers: Iterable[Timer], now: Instant) -> tuple[Timer, ...]:
    """Running timers whose time has come, the longest overdue first."""
    due = [(timer.due, timer.id, timer) for timer in timers if timer.due is not None and timer.due.s <= now.s]
    return tuple(timer for _, _, timer in sorted(due, key=lambda item: item[:2]))


def timer_of_step(timers: Iterable[Timer], step: StepId) -> Timer | None:
    """The countdown of a step, if it has one."""
    return next((timer for timer in timers if timer.step == step), None)
