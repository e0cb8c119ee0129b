"""How loudly kitchend speaks, and when it keeps quiet: as the cook asked, and by the hours of the settings.

*Careful* is never silenced and never whispered. What waited while kitchend kept quiet is told in one breath
once that is over, as far as it still matters.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from kitchend.core import repeats
from kitchend.core.clock import Instant, Now, TimeOfDay
from kitchend.core.effects import CallKind
from kitchend.core.progress import coming
from kitchend.core.state import Call, DinnerState

STEP_DB, MOST_DB = 3.0, 12.0
"""By how much "louder" is louder, and by how much at most; softer likewise. Twice the power is 3 dB."""

SPACED = ((repeats.CROWD, repeats.TOGETHER_S), (7, 55.0))
"""After so many calls in ten minutes a call waits so many seconds for the one before it, and for company."""


NEVER_SILENCED = frozenset({CallKind.CAREFUL, CallKind.REPLY})


def is_quiet(state: DinnerState, now: Now) -> bool:
    """Whether the cook asked for quiet and that is not over."""
    return state.tone.is_quiet_at(now.instant)


def has_been_quiet(state: DinnerState, now: Now) -> bool:
    """Whether a quiet is over and what waited for that has not been told."""
    return state.tone.quiet_until is not None and not is_quiet(state, now)


def is_whispering(state: DinnerState, now: Now, kind: CallKind) -> bool:
    """Whether this is whispered: asked for, or the hour for it."""
    if kind is CallKind.CAREFUL:
        return False
    asked = state.tone.whispers
    return is_quiet_hour(state, now) if asked is None else asked


def is_quiet_hour(state: DinnerState, now: Now) -> bool:
    """Whether the quiet hours of the settings are on."""
    hours = state.manners.quiet_hours
    if hours is None:
        return False
    first, last = map(_minute, hours)
    at = _minute(now.wall.time_of_day)
    return first <= at < last if first <= last else at >= first or at < last


def _minute(time: TimeOfDay) -> int:
    return 60 * time.hour + time.minute


def settle(state: DinnerState, now: Now) -> DinnerState:
    """What time brings: at their turn the quiet hours hold again; what spoils in a quiet is *careful*."""
    tone, is_hour = state.tone, is_quiet_hour(state, now)
    if tone.whispers is not None and tone.is_hour != is_hour:
        state = replace(state, tone=replace(tone, whispers=None))
    if has_been_quiet(state, now) and not state.waiting_calls:
        return replace(state, tone=replace(state.tone, quiet_until=None))
    if not is_quiet(state, now):
        return state
    waiting = tuple(_minded(state, call, now) for call in state.waiting_calls)
    return state if waiting == state.waiting_calls else replace(state, waiting_calls=waiting)


def _minded(state: DinnerState, call: Call, now: Now) -> Call:
    spoils = _spoils_at(state, call)
    return call if spoils is None or now.instant < spoils else repeats.again(state, call, now)


def _spoils_at(state: DinnerState, call: Call) -> Instant | None:
    return repeats.spoils_at(state, call) if call.kind in (CallKind.UP, CallKind.NOW) else None


def may_be_said(state: DinnerState, now: Now) -> tuple[Call, ...]:
    """The waiting calls that can be said by now; replies and *careful* always can."""
    if is_quiet(state, now):
        return tuple(call for call in state.waiting_calls if call.kind in NEVER_SILENCED)
    until = _spaced_until(state, now)
    if until is None:
        return state.waiting_calls
    return tuple(call for call in state.waiting_calls if call.kind is CallKind.REPLY)


def moments(state: DinnerState, now: Now) -> Iterator[Instant]:
    """When what waits can be said, or spoils."""
    if is_quiet(state, now) and state.tone.quiet_until is not None:
        yield state.tone.quiet_until
        yield from (at for call in state.waiting_calls if (at := _spoils_at(state, call)) is not None)
    elif state.speaking is None and (until := _spaced_until(state, now)) is not None:
        yield from (at for at in (until, *_spaced_less(state, now)) if at > now.instant)


def _spaced_less(state: DinnerState, now: Now) -> Iterator[Instant]:
    """When calls may wait for less than now: one has waited long enough, or the rush grows less."""
    recent = repeats.lately(state, now, is_call=False)
    pause_s = _pause_s(recent)
    waiting = [call for call in state.waiting_calls if call.kind is not CallKind.REPLY]
    since = [recent[-1], *(call.at for call in waiting if call.at is not None)]
    yield from (max(recent[-1], moment, key=lambda at: at.s) + pause_s for moment in since)
    crowds = (*(crowd for crowd, _ in SPACED), repeats.FULL)
    yield from (recent[-crowd] + repeats.CROWD_S for crowd in crowds if len(recent) >= crowd)


def _pause_s(recent: Sequence[Instant]) -> float:
    """How long calls wait for one another after so many."""
    return max((pause for crowd, pause in SPACED if len(recent) >= crowd), default=0.0)


def _waited_s(call: Call, last: Instant, now: Now) -> float:
    """How long a call has waited beyond its moment and the call before it, in a quiet too."""
    return now.instant - (last if call.at is None else max(last, call.at, key=lambda at: at.s))


def _spaced_until(state: DinnerState, now: Now) -> Instant | None:
    """Until when calls wait, so as not to come one upon the other; None: they do not, or one cannot."""
    recent = repeats.lately(state, now, is_call=False)
    pause_s = _pause_s(recent)
    waiting = [call for call in state.waiting_calls if call.kind is not CallKind.REPLY]
    if not waiting or not pause_s:
        return None
    if any(_never_waits(call) or _waited_s(call, recent[-1], now) >= pause_s for call in waiting):
        return None
    fresh = [call.at for call in waiting if call.at is not None and not call.again]
    wished = [recent[-1] + pause_s]
    if fresh:
        last = min(fresh, key=lambda at: at.s) + pause_s
        wished = [min(wished[0], last), *(at for at in _due_next(state, now) if at <= last)]
    until = max(wished, key=lambda at: at.s)
    is_over = until <= now.instant or not all(_can_wait(state, call, until, now) for call in waiting)
    return None if is_over else until


def _due_next(state: DinnerState, now: Now) -> Iterator[Instant]:
    """When the next timer runs out and the next step is due, which may be told together with what waits."""
    rings = [timer.due for timer in state.timers if timer.due is not None and timer.due > now.instant]
    starts = [now.instant_of(planned.start) for _, planned in coming(state) if planned.start > now.wall]
    yield from (min(several, key=lambda at: at.s) for several in (rings, starts) if several)


def _never_waits(call: Call) -> bool:
    """A cook's own timer rings at once, and so does what is *careful*.

    News of the dinner itself (how late it is) ask for nothing and wait like the rest.
    """
    is_own = call.step is None and (call.timer is not None or call.kind is not CallKind.SOON)
    return is_own or call.kind is CallKind.CAREFUL


def _can_wait(state: DinnerState, call: Call, until: Instant, now: Now) -> bool:
    """What would spoil or hold up dinner is said at once."""
    spoils, spared = _spoils_at(state, call), repeats.spared_until(state, call, now)
    if spoils is not None and spoils < until:
        return False
    is_full = len(repeats.lately(state, now, is_call=False)) >= repeats.FULL
    is_short = call.at is None or until - call.at <= repeats.TOGETHER_S
    return is_full or is_short or spared is None or until <= spared
