"""One dinner that breaks off at any point one likes between a journal write and an effect, and goes on.

The points are counted by wrapping the journal, the carrier of effects and the mouth; at the chosen one an
error that nobody catches ends the first life as a power cut would. The second life opens the same file.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, cast

from kitchend.core.clock import Instant, Now
from kitchend.core.effects import CallKind, Effect
from kitchend.core.events import Event, SpeechEnded
from kitchend.core.plan import Plan
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.service.carrying import Carrier
from kitchend.service.journal import SqliteJournal, open_journal
from kitchend.service.memory import MemoryMouth
from kitchend.service.ports import SpeechDone
from kitchend.speaking.ports import PLAIN, Manner
from tests.service.kitchen import START, Kitchen

AWAY_S = 3.0


class PowerCutError(BaseException):
    """Nobody may catch it: it stands for the end of the process."""


@dataclass(slots=True, kw_only=True)
class Fuse:
    """Counts points and burns through at one of them."""

    at: int | None
    passed: list[str] = field(default_factory=list)

    def burn(self, where: str) -> None:
        self.passed.append(where)
        if self.at == len(self.passed):
            raise PowerCutError(where)


class FusedJournal:
    """A journal on disk with a point before and after each write."""

    def __init__(self, inner: SqliteJournal, fuse: Fuse) -> None:
        self._inner = inner
        self._fuse = fuse
        self.events = inner.events
        self.ended: set[int] = set()

    def append(self, event: Event, now: Now) -> None:
        self._fuse.burn(f"before {type(event).__name__} is kept")
        self._inner.append(event, now)
        if isinstance(event, SpeechEnded):
            self.ended.add(event.utterance)
        self._fuse.burn(f"after {type(event).__name__} is kept")

    def finish(self, now: Now) -> None:
        self._fuse.burn("before the dinner is put away")
        self._inner.finish(now)
        self._fuse.burn("after the dinner is put away")


class FusedMouth(MemoryMouth):
    """A mouth with a point before the words and one after them, before anybody knows that they were said."""

    def __init__(self, fuse: Fuse) -> None:
        super().__init__()
        self._fuse = fuse

    def say(self, text: str, kind: CallKind, on_done: SpeechDone, manner: Manner = PLAIN) -> None:
        self._fuse.burn("before words are said")
        super().say(text, kind, lambda ok: self._end(on_done, ok), manner)

    def _end(self, on_done: SpeechDone, ok: bool) -> None:
        self._fuse.burn("after words are said")
        on_done(ok)


class FusedCarrier:
    """A carrier of effects with a point before and after each."""

    def __init__(self, inner: Carrier, fuse: Fuse) -> None:
        self._inner = inner
        self._fuse = fuse

    def carry_out(self, effect: Effect, state: DinnerState, now: Now) -> None:
        self._fuse.burn(f"before {type(effect).__name__}")
        self._inner.carry_out(effect, state, now)
        self._fuse.burn(f"after {type(effect).__name__}")

    def listen(self, state: DinnerState, at: Instant) -> None:
        self._inner.listen(state, at)

    def foresee(self, state: DinnerState, now: Now) -> None:
        self._inner.foresee(state, now)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What the cook says at a minute, and how the cook sees that it was taken in."""

    minute: float
    words: str
    is_taken: Callable[[DinnerState], bool]
    reply: str | None = None


def _step(name: str, *states: StepState) -> Callable[[DinnerState], bool]:
    def is_taken(state: DinnerState) -> bool:
        step = next((step for step in state.steps if step.name == name), None)
        return step is None or state.state_of(step.id) in states

    return is_taken


def _timer(name: str) -> Callable[[DinnerState], bool]:
    return lambda state: any(timer.name == name for timer in state.timers)


ON, UP, DONE = StepState.ON, StepState.UP, StepState.DONE
WISHES = (
    Wish(minute=0.0, words="cook the quay supper", is_taken=lambda state: state.plan is not None),
    Wish(minute=0.2, words="rice is on", is_taken=_step("boil the rice", ON, UP, DONE)),
    Wish(minute=0.4, words="time the eggs for three minutes", is_taken=_timer("eggs"), reply="Eggs: three"),
    Wish(minute=0.5, words="time the figs for three minutes", is_taken=_timer("figs"), reply="Figs: three"),
    Wish(minute=2.0, words="greens trimmed", is_taken=_step("trim the greens", DONE)),
    Wish(minute=6.0, words="heard", is_taken=lambda state: not state.timers or not state.open_calls),
    Wish(minute=8.0, words="greens are on", is_taken=_step("steam the greens", ON, UP, DONE)),
    Wish(minute=12.5, words="rice is done", is_taken=_step("boil the rice", DONE)),
    Wish(minute=13.0, words="greens are done", is_taken=_step("steam the greens", DONE)),
)
END_MINUTE = 30.0

IS_UP = r"(?:^|(?<=[.!?] ))Up: [\w ,]*\bthe "
"""What is up, alone or among others; never a repeat."""
ONCE = {
    "the eggs": re.compile(rf"Eggs: time (?:is|was) up|{IS_UP}eggs"),
    "the figs": re.compile(rf"Figs: time (?:is|was) up|{IS_UP}figs"),
    "the rice": re.compile(rf"{IS_UP}rice"),
    "the greens": re.compile(rf"{IS_UP}greens"),
    "the rice's start": re.compile(r"Boil the rice now"),
    "the pass": re.compile(r"[Ee]verything to the table"),
}


@dataclass(slots=True, kw_only=True)
class Lives:
    """What was said in each life, which of it was known to have been said, and how it ended."""

    points: list[str]
    where: str
    said: list[str] = field(default_factory=list)
    sure: list[str] = field(default_factory=list)
    said_again: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)
    is_served: bool = False

    def wrong(self) -> list[str]:
        """What is wrong with it, a sentence each."""
        found = [f"{self.where}: {line}" for line in self.complaints]
        for what, form in ONCE.items():
            first, sure, again = (
                sum(bool(form.search(text)) for text in texts)
                for texts in (self.said, self.sure, self.said_again)
            )
            if first + again == 0:
                found.append(f"{self.where}: no call for {what}")
            if first > 1 or again > 1 or (sure and again):
                found.append(f"{self.where}: {first} calls for {what}, {sure} known to be made, then {again}")
        if not self.is_served:
            found.append(f"{self.where}: the dinner was not served")
        return found


def live(plan: Plan, folder: Path, at: int | None) -> Lives:
    """Live through the dinner with a power cut at the point `at` (None: without one)."""
    path = folder / "journal.sqlite3"
    fuse = Fuse(at=at)
    lives = Lives(points=fuse.passed, where="")
    with closing(_journal(path, lives)) as inner:
        journal = FusedJournal(inner, fuse)
        first = _kitchen(plan, journal, fuse, START)
        try:
            first.runner.introduce()
            first.runner.run_pending()
            _cook(first, [])
            lives.is_served = _is_over(first)
        except PowerCutError as cut:
            lives.where = f"point {at}, {cut}"
        lives.said = first.said
        lives.sure = [text for number, text in enumerate(first.said, 1) if number in journal.ended]
        lives.complaints += first.complaints
    was_served = any(ONCE["the pass"].search(text) for text in lives.sure)
    if lives.where:
        with closing(_journal(path, lives)) as inner:
            second = _kitchen(
                plan, FusedJournal(inner, Fuse(at=None)), Fuse(at=None), first.clock.now().after(AWAY_S)
            )
            second.runner.restore()
            second.runner.introduce()
            second.runner.run_pending()
            if not was_served:
                _cook(second, first.said)
            lives.said_again = second.said
            lives.is_served = was_served or _is_over(second)
            lives.complaints += second.complaints
    return lives


def _journal(path: Path, lives: Lives) -> SqliteJournal:
    return open_journal(path, wall=lambda: START.wall, complain=lives.complaints.append)


def _kitchen(plan: Plan, journal: FusedJournal, fuse: Fuse, at: Now) -> Kitchen:
    kitchen = Kitchen(plan, journal, at=at, mouth=FusedMouth(fuse))
    runner: Any = kitchen.runner
    runner._carrier = cast(Carrier, FusedCarrier(runner._carrier, fuse))
    return kitchen


def _cook(kitchen: Kitchen, said_before: list[str]) -> None:
    """Say whatever is due and not yet taken in, as far as a cook can tell, then wait for the end."""
    for wish in WISHES:
        _wait_until(kitchen, wish.minute)
        was_answered = wish.reply is not None and any(wish.reply in text for text in said_before)
        if not (_is_over(kitchen) or was_answered or wish.is_taken(kitchen.runner.state)):
            kitchen.type(wish.words)
    _wait_until(kitchen, END_MINUTE)


def _wait_until(kitchen: Kitchen, minute: float) -> None:
    kitchen.wait(max(0.0, (START.instant + 60 * minute - kitchen.clock.now().instant) / 60))


def _is_over(kitchen: Kitchen) -> bool:
    return kitchen.has_ended
