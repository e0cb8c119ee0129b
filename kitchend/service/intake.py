"""The one way of thermometers into a dinner, from any thread: is the reading wanted, and what came of it.

A reading that nothing wants goes no further, so that a probe in a drawer fills no journal. Everything else
is an event like any other, and the core has the last word.
"""

from __future__ import annotations

from dataclasses import dataclass
from threading import Event as Flag

from kitchend.core.effects import Speak
from kitchend.core.events import ReadingTaken
from kitchend.core.measured import Unwanted, measured
from kitchend.core.names import scale_of
from kitchend.service.runner import Runner, Stepped
from kitchend.service.taking import Taking

PATIENCE_S = 10.0
"""How long to wait for the loop to take a reading in."""

WHY = {
    Unwanted.NO_DINNER: "no dinner is on",
    Unwanted.UNKNOWN: "nothing in this dinner is called {of}",
    Unwanted.NOT_ON: "{of} is not on now",
    Unwanted.SEVERAL: "{of} may be several things that are on now; name the step in full",
}
NOT_TAKEN = "the dinner did not take it"
BUSY = "kitchend is too busy to take it"


@dataclass(frozen=True, slots=True, kw_only=True)
class Took:
    """What came of a reading. `of` is the id it was kept for; empty: it was not, and `why` says so."""

    celsius: float
    of: str = ""
    why: str = ""
    said: tuple[str, ...] = ()


class Intake:
    """Hands readings to a runner."""

    def __init__(self, runner: Runner, patience_s: float = PATIENCE_S) -> None:
        self._runner = runner
        self._patience_s = patience_s

    def hand_in(self, taking: Taking) -> Took:
        """Hand it in and go on; ReadingError for what no thermometer gives."""
        judged, event = self._judged(taking)
        if event is not None:
            self._runner.put(event)
        return judged

    def ask(self, taking: Taking) -> Took:
        """Hand it in and wait for what the dinner makes of it; ReadingError for what no thermometer gives."""
        judged, event = self._judged(taking)
        if event is None:
            return judged
        answer = _Answer(event)
        end_watch = self._runner.watch(answer.see)
        try:
            self._runner.put(event)
            is_answered = answer.is_here.wait(self._patience_s)
        finally:
            end_watch()
        if is_answered and answer.is_kept:
            return Took(celsius=judged.celsius, of=judged.of, said=answer.said)
        return Took(celsius=judged.celsius, why=NOT_TAKEN if is_answered else BUSY, said=answer.said)

    def _judged(self, taking: Taking) -> tuple[Took, ReadingTaken | None]:
        state = self._runner.state
        celsius = taking.celsius(scale_of(state.plan))
        of = measured(state, taking.of)
        if isinstance(of, Unwanted):
            return Took(celsius=celsius, why=WHY[of].format(of=taking.of)), None
        return Took(celsius=celsius, of=of), ReadingTaken(of=of, celsius=celsius)


class _Answer:
    """Watches a runner until it has taken one event in."""

    def __init__(self, event: ReadingTaken) -> None:
        self._event = event
        self.is_kept = False
        self.said: tuple[str, ...] = ()
        self.is_here = Flag()

    def see(self, stepped: Stepped) -> None:
        if stepped.event is not self._event:
            return
        self.is_kept = stepped.state.readings is not stepped.before.readings
        self.said = tuple(effect.text for effect in stepped.effects if isinstance(effect, Speak))
        self.is_here.set()
