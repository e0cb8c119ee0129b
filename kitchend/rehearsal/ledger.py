"""Keeps account of a dinner from outside: every call, every move nobody asked for, every timer that kept
silent.

Sees the same events and states as anyone who watches the runner, plus what the cook meant by the phrase on
its way. It believes nothing: a move counts as said only if the cook meant it, a timer as rung only if it was
spoken of.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from kitchend.core.clock import Instant
from kitchend.core.effects import CallKind, Speak
from kitchend.core.events import ForecastMade, PhraseHeard, ReadingTaken
from kitchend.core.forecasting import FRESH_S
from kitchend.core.names import short_name
from kitchend.core.plan import Step, StepId
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timers import Timer
from kitchend.service.runner import Stepped

RING_WITHIN_S: Final = 60.0
"""A timer that is not spoken of this soon after its time is lost."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A moment at which a timer must be spoken of, and the words one of which must be in it."""

    at: Instant
    name: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsaid:
    """A move the cook never spoke of."""

    step: StepId
    was: StepState
    now: StepState

    def __str__(self) -> str:
        return f"{self.step}: {self.was.value} to {self.now.value}"


@dataclass(slots=True)
class Ledger:
    """What was counted so far. `meant` is what the phrase on its way may move."""

    meant: frozenset[tuple[StepId, StepState]] = frozenset()
    calls: list[Instant] = field(default_factory=list)
    replies: int = 0
    unsaid: list[Unsaid] = field(default_factory=list)
    lost_timers: list[str] = field(default_factory=list)
    _due: dict[tuple[str, float], Due] = field(default_factory=dict)

    def watch(self, stepped: Stepped) -> None:
        """Take in one event and what came of it."""
        spoken = [effect for effect in stepped.effects if isinstance(effect, Speak)]
        at = stepped.now.instant
        self.calls += [at for speak in spoken if speak.kind is not CallKind.REPLY]
        self.replies += sum(speak.kind is CallKind.REPLY for speak in spoken)
        is_phrase = isinstance(stepped.event, PhraseHeard)
        # A reading may end a step, and a forecast moves its timer: neither loses one.
        may_stop = is_phrase or isinstance(stepped.event, ReadingTaken | ForecastMade)
        is_read = isinstance(stepped.event, ReadingTaken)
        self.unsaid += self._unsaid(stepped, is_phrase) if not is_read else []
        self._forgive(stepped.state)
        self._settle(at, [speak.text.lower() for speak in spoken])
        self._follow(stepped.state, at, may_stop)

    def close(self, at: Instant) -> None:
        """The dinner is over: what should have been spoken of by now and was not is lost."""
        self._lose(at - RING_WITHIN_S)

    def _unsaid(self, stepped: Stepped, is_phrase: bool) -> list[Unsaid]:
        """Moves that neither the cook meant nor time brings; only a reading brings up what ends by one."""
        meant = self.meant if is_phrase else frozenset()
        return [
            Unsaid(step=step, was=was, now=now)
            for step, was, now in moves_between(stepped.before, stepped.state)
            if (step, now) not in meant and not goes_by_itself(stepped.state.step(step), now)
        ]

    def _settle(self, at: Instant, texts: list[str]) -> None:
        """What is spoken of in time is settled; what is still owed too late is lost."""
        self._lose(at - RING_WITHIN_S)
        for key, due in tuple(self._due.items()):
            if due.at <= at + 1.0 and any(word in text for text in texts for word in due.words):
                del self._due[key]

    def _forgive(self, state: DinnerState) -> None:
        """Nobody is asked to look at a core that was read just before: its timer owes no word."""
        for (timer, at), due in tuple(self._due.items()):
            read = (one.at for one in state.readings if timer == f"step:{one.of}")
            if any(0 <= due.at - moment <= FRESH_S for moment in read):
                del self._due[timer, at]

    def _lose(self, before: Instant) -> None:
        for key, due in tuple(self._due.items()):
            if due.at < before:
                self.lost_timers.append(due.name)
                del self._due[key]

    def _follow(self, state: DinnerState, at: Instant, is_phrase: bool) -> None:
        """Timers that are new are owed; one that is gone after a phrase was the cook's to stop."""
        running = {key_of(timer): timer for timer in state.timers if timer.due is not None}
        for key, due in tuple(self._due.items()):
            if key not in running and (is_phrase or state.plan is None):
                del self._due[key]
            elif key not in running and due.at > at:
                self.lost_timers.append(due.name)
                del self._due[key]
        for key, timer in running.items():
            if timer.due is not None and timer.due > at and not is_kitchends_own(timer, state):
                self._due.setdefault(key, Due(at=timer.due, name=timer.name, words=words_for(timer, state)))

    def busiest(self, window_s: float = 600.0) -> int:
        """The most calls that fell within any ten minutes."""
        return max(
            (sum(0 <= other - first < window_s for other in self.calls) for first in self.calls), default=0
        )


def goes_by_itself(step: Step, to: StepState) -> bool:
    """Whether kitchend may move a step there without a word: calls and what time does need none.

    Nor does what needs no hands and no place, such as a rest, or what kitchend put in itself. A reminder goes
    when its host has ended or its next turn has come, and comes back when its host does.
    """
    match to:
        case StepState.CALLED:
            return True
        case StepState.UP:
            return step.until is None
        case StepState.ON:
            return needs_nobody(step)
        case StepState.DONE:
            return step.added or needs_nobody(step)
        case StepState.WAITING:
            return step.during is not None or needs_nobody(step)
        case StepState.DROPPED:
            return step.during is not None
        case _:
            return False


def needs_nobody(step: Step) -> bool:
    """Whether a step begins as soon as what it follows is over, with nothing for the cook to do."""
    return step.hands_s == 0 and not step.uses and step.during is None and bool(step.after)


def moves_between(before: DinnerState, after: DinnerState) -> list[tuple[StepId, StepState, StepState]]:
    """The steps that stand elsewhere than before, with both states."""
    if after.plan is None or before.plan is None:
        return []
    changed = [step for step in after.records if before.state_of(step) is not after.state_of(step)]
    return [(step, before.state_of(step), after.state_of(step)) for step in changed]


def key_of(timer: Timer) -> tuple[str, float]:
    """One timer running to one moment."""
    return timer.id, -1.0 if timer.due is None else timer.due.s


def is_kitchends_own(timer: Timer, state: DinnerState) -> bool:
    """Whether it counts down what kitchend put in itself, which ends without a word."""
    return timer.step is not None and state.step(timer.step).added


def words_for(timer: Timer, state: DinnerState) -> tuple[str, ...]:
    """What a call about a timer may name: the timer, its step or its dish, in small letters."""
    names = [timer.name, timer.remind or ""]
    if timer.step is not None and state.plan is not None:
        step = state.step(timer.step)
        names += [step.name, *step.also, short_name(step, state.plan)]
        names += [dish.name for dish in state.plan.dishes if dish.id == step.dish]
    return tuple(name.lower() for name in names if name)
