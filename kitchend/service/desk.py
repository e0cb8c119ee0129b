"""Answers for the dinner to whoever is not in the kitchen: words in, what was said back out; how it stands.

Works from other threads than the runner's, through its queue and its watchers only. Decides nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from queue import Empty, SimpleQueue
from threading import Event as Flag
from typing import Any

from kitchend.core.effects import CallKind, MakeDoorWords, MakeForecast, OpenPlan, Speak
from kitchend.core.events import DinnerRefused, DinnerStarted, DoorWordsMade, ForecastMade, PhraseHeard
from kitchend.reports.status import status_json
from kitchend.service.intake import Intake, Took
from kitchend.service.overheard import Overheard
from kitchend.service.ports import Clock
from kitchend.service.runner import Runner, Stepped
from kitchend.service.taking import Taking

PATIENCE_S = 30.0
"""How long words wait for their answer: planning a dinner first may take a while on a small board."""

SENTENCE_TRIES, TRY_AGAIN_S = 40, 0.25
"""How often, and after how many seconds, forgetting is tried again while a sentence is being said."""


class RunnerDesk:
    """Puts words to a runner and waits for what is said back."""

    def __init__(
        self,
        runner: Runner,
        clock: Clock,
        patience_s: float = PATIENCE_S,
        *,
        thermometers: Callable[[], list[dict[str, Any]]] = list,
        overheard: Overheard | None = None,
    ) -> None:
        self._runner = runner
        self._clock = clock
        self._patience_s = patience_s
        self._intake = Intake(runner)
        self._thermometers = thermometers
        self._overheard = overheard or Overheard()

    def tell(self, words: str) -> tuple[str, ...]:
        """Say the words as if typed; what was said back, nothing if nothing was."""
        event = PhraseHeard(text=words, started=self._clock.now().instant, is_typed=True)
        reply = _Reply(event)
        end_watch = self._runner.watch(reply.see)
        try:
            self._runner.put(event)
            reply.is_complete.wait(self._patience_s)
        finally:
            end_watch()
        return tuple(reply.said)

    def status(self) -> dict[str, Any]:
        """How the dinner stands, in the shape `kitchend status --json` prints."""
        status = status_json(self._runner.state, self._clock.now())
        return status | {"thermometers": self._thermometers(), "let_go": self._overheard.let_go_json()}

    def forget(self) -> bool:
        """Have what was said put away; False if something is on. Waits for a sentence that is being said."""
        for _ in range(SENTENCE_TRIES):
            answer: SimpleQueue[bool] = SimpleQueue()
            self._runner.forget(answer.put)
            try:
                has_gone = answer.get(timeout=self._patience_s)
            except Empty:
                return False
            state = self._runner.state
            if has_gone:
                self._overheard.forget()
            if has_gone or state.plan is not None or state.timers:
                return has_gone
            Flag().wait(TRY_AGAIN_S)
        return False

    def reading(self, taking: Taking) -> Took:
        """Give a thermometer's reading to the dinner; ReadingError for what no thermometer gives."""
        return self._intake.ask(taking)


class _Reply:
    """Watches a runner until the answer to one phrase has been said."""

    def __init__(self, event: PhraseHeard) -> None:
        self._event = event
        self._is_taken = False
        self._is_opening = False
        self.said: list[str] = []
        self.is_complete = Flag()

    def see(self, stepped: Stepped) -> None:
        if stepped.event is self._event:
            self._is_taken = True
        if not self._is_taken or self.is_complete.is_set():
            return
        spoken = [effect for effect in stepped.effects if isinstance(effect, Speak)]
        self.said.extend(speak.text for speak in spoken)
        self._is_opening = self._still_opening(stepped)
        if self._is_opening:
            return
        replied = any(speak.kind is CallKind.REPLY for speak in spoken)
        nothing_to_come = stepped.state.speaking is None and not stepped.state.waiting_calls
        if replied or nothing_to_come:
            self.is_complete.set()

    def _still_opening(self, stepped: Stepped) -> bool:
        if any(isinstance(effect, OpenPlan | MakeDoorWords | MakeForecast) for effect in stepped.effects):
            return True
        return self._is_opening and not isinstance(
            stepped.event, DinnerStarted | DinnerRefused | DoorWordsMade | ForecastMade
        )
