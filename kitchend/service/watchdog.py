"""Tells systemd that the loop turns and what is on: watchdog signs and a status line, see sd_notify(3).

A sign is given only by the loop itself, each time it comes round; a loop that hangs gives none, and systemd
starts kitchend anew. Without systemd nothing happens.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping

from kitchend.core.clock import Instant, Now
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.service.notify import notify
from kitchend.service.ports import Pulse
from kitchend.service.runner import Stepped

SIGN = "WATCHDOG=1"

Notify = Callable[[str], object]


class WatchedPulse:
    """A pulse whose beats reach systemd too, three times as often as it asks for."""

    def __init__(
        self, pulse: Pulse, tell: Notify = notify, environment: Mapping[str, str] | None = None
    ) -> None:
        self._pulse = pulse
        self._tell = tell
        self._every_s = sign_every_s(os.environ if environment is None else environment)
        self._told_at: Instant | None = None

    def beat(self, now: Now) -> None:
        """The loop has come round."""
        self._pulse.beat(now)
        if self._every_s is None:
            return
        if self._told_at is None or now.instant - self._told_at >= self._every_s:
            self._told_at = now.instant
            self._tell(SIGN)

    def last(self) -> Now | None:
        """The last present that was kept."""
        return self._pulse.last()


def sign_every_s(environment: Mapping[str, str]) -> float | None:
    """Seconds between signs, a third of what WATCHDOG_USEC gives; None if nobody waits for any."""
    asked = environment.get("WATCHDOG_USEC", "")
    whose = environment.get("WATCHDOG_PID", "")
    if not asked.isdecimal() or int(asked) == 0 or (whose and whose != str(os.getpid())):
        return None
    return int(asked) / 1e6 / 3


class StatusLine:
    """Watches the dinner and tells systemd in one line what is on, when that changes."""

    def __init__(self, tell: Notify = notify) -> None:
        self._tell = tell
        self._last = ""

    def __call__(self, stepped: Stepped) -> None:
        """Tell, if it is news."""
        line = status_line(stepped.state)
        if line != self._last:
            self._last = line
            self._tell(f"STATUS={line}")


def status_line(state: DinnerState) -> str:
    """What is on, in one line: "Quay supper, the pass at 19:30, 2 on, 1 timer"."""
    parts = ["waits for a plan"]
    if state.plan is not None:
        parts = [state.plan.name]
        if state.serve is not None:
            parts.append(f"the pass at {state.serve.local:%H:%M}")
        on = sum(state.record_of(step.id).state is StepState.ON for step in state.steps)
        parts.append(f"{on} on")
    own = sum(timer.step is None for timer in state.timers)
    if own:
        parts.append(f"{own} timer{'' if own == 1 else 's'}")
    return ", ".join(parts).replace("\n", " ")
