"""Carries out what `step` orders: says, stops, sets the alarm, has things planned. Decides nothing.

What comes of an order comes back as an event. A part that fails costs its own order only: one line, and for
words that could not be said the event that says so.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from typing import assert_never

from kitchend.core.ahead import expected
from kitchend.core.clock import Instant, Now
from kitchend.core.complaints import told_in
from kitchend.core.effects import (
    Effect,
    EndDinner,
    MakeDoorWords,
    MakeForecast,
    OpenPlan,
    Replan,
    Speak,
    StopSpeaking,
    WakeAt,
)
from kitchend.core.events import (
    DinnerRefused,
    DoorWordsMade,
    Event,
    ForecastMade,
    SpeechEnded,
    TimelinePlanned,
    TimeReached,
)
from kitchend.core.phrases import Sayable, full_book, sayable
from kitchend.core.state import DinnerState
from kitchend.service.guard import attempt
from kitchend.service.opening import opened
from kitchend.service.ports import Alarms, Complain, Listener, Mouth, Planner, Plans
from kitchend.speaking.ports import Manner

Job = Callable[[], object]
Work = Callable[[Job], None]
"""Runs a slow job, at once or in another thread."""


@dataclass(slots=True, kw_only=True, eq=False)
class Carrier:
    """The parts that touch the world, and `put` for what comes of them."""

    alarms: Alarms
    mouth: Mouth
    planner: Planner
    plans: Plans
    listener: Listener | None
    work: Work
    complain: Complain
    put: Callable[[Event], None]
    make_words: Callable[[], str] | None = field(default=None, init=False)
    _stopped: int | None = field(default=None, init=False)
    _newest_revision: int = field(default=0, init=False)
    _foreseen: tuple[str, ...] = field(default=(), init=False)
    _listening_for: Sayable | None = field(default=None, init=False)

    def carry_out(self, effect: Effect, state: DinnerState, now: Now) -> None:
        """Carry out one order; never raises."""
        doing = f"carry out {type(effect).__name__}"
        done = attempt(partial(self._order, effect, state, now), complain=self.complain, doing=doing)
        if not done and isinstance(effect, Speak):
            self._spoken(effect.utterance, ok=False)

    def listen(self, state: DinnerState, at: Instant) -> None:
        """Have the listener expect what can be said now; never raises."""
        attempt(lambda: self._listen(state, at), complain=self.complain, doing="listen anew")

    def foresee(self, state: DinnerState, now: Now) -> None:
        """Have the mouth make ready what will be said soon; never raises."""
        attempt(lambda: self._foresee(state, now), complain=self.complain, doing="make sentences ready")

    def _foresee(self, state: DinnerState, now: Now) -> None:
        texts = expected(state, now)
        if texts != self._foreseen:
            self._foreseen = texts
            self.mouth.prepare(texts)

    def _order(self, effect: Effect, state: DinnerState, now: Now) -> None:
        match effect:
            case Speak():
                self._speak(effect)
            case StopSpeaking():
                self._stopped = effect.utterance
                self.mouth.stop()
            case WakeAt():
                self.alarms.wake_at(effect.instant, lambda: self.put(TimeReached()))
            case Replan():
                self._newest_revision = effect.revision
                self.work(partial(self._replan, effect.revision, state, now))
            case OpenPlan():
                self.work(partial(self._open, effect, state.language, now))
            case EndDinner():
                pass
            case MakeDoorWords():
                self.put(DoorWordsMade(words="" if self.make_words is None else self.make_words()))
            case MakeForecast():
                self.work(partial(self._forecast, effect, state, now))
            case _:
                assert_never(effect)

    def _speak(self, speak: Speak) -> None:
        if self.listener is not None:
            self.listener.deaf(True)
        manner = Manner(louder_db=speak.louder_db, is_whisper=speak.is_whisper)
        self.mouth.say(speak.text, speak.kind, lambda ok: self._spoken(speak.utterance, ok=ok), manner)

    def _spoken(self, utterance: int, *, ok: bool) -> None:
        if self.listener is not None:
            self.listener.deaf(False)
        self.put(SpeechEnded(utterance=utterance, ok=ok or utterance == self._stopped))

    def _open(self, wish: OpenPlan, language: str, now: Now) -> None:
        def job() -> None:
            self.put(opened(wish.name, wish.serve, plans=self.plans, planner=self.planner, now=now))

        def refuse(line: str) -> None:
            self.put(DinnerRefused(message=told_in(language, line)))

        attempt(job, complain=refuse, doing=f"open {wish.name}")

    def _replan(self, revision: int, state: DinnerState, now: Now) -> None:
        def job() -> None:
            # A newer wish is waiting behind this one; its answer is the one that counts.
            if revision == self._newest_revision:
                self.put(TimelinePlanned(timeline=self.planner.rest(state, now), revision=revision))

        attempt(job, complain=self.complain, doing="plan the rest again")

    def _forecast(self, wish: MakeForecast, state: DinnerState, now: Now) -> None:
        def job() -> None:
            self.put(ForecastMade(forecast=self.planner.forecast(state, wish.step, now)))

        attempt(job, complain=self.complain, doing="make a forecast")

    def _listen(self, state: DinnerState, at: Instant) -> None:
        if self.listener is None:
            return
        wanted = sayable(state, at)
        if wanted != self._listening_for:
            self._listening_for = wanted
            self.listener.listen_for(wanted)
            full_book(state)  # the parser's own, made while nobody speaks and kept
