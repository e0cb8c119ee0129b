"""Where a rehearsal happens: simulated time goes from one thing that happens to the next.

Four things can be next: an utterance of kitchend's ends, an alarm is due, a probe reads, the cook speaks. The
same runner as in a real dinner takes the events; here is only the order in which they come. Nobody talks over
anybody: the cook waits until kitchend is silent, and an alarm that falls into a phrase of the cook's rings
when it is over.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from kitchend.core.clock import Instant, Now
from kitchend.core.commands import Command, Unclear
from kitchend.core.effects import EndDinner
from kitchend.core.events import PhraseHeard
from kitchend.core.intents import understand
from kitchend.core.state import DinnerState
from kitchend.rehearsal.agenda import Errand, Scene
from kitchend.rehearsal.cook import Cook
from kitchend.rehearsal.ears import Arrived, Ears
from kitchend.rehearsal.ledger import Ledger
from kitchend.rehearsal.mouth import StageMouth
from kitchend.rehearsal.probe import Probe
from kitchend.rehearsal.wishes import Aim, Wish
from kitchend.service.memory import MemoryAlarms, SimulatedClock
from kitchend.service.runner import Runner, Stepped

ENDPOINT_S: Final = 0.6
"""From the end of a phrase until the listener takes it for ended, as the real one does."""

PAUSE_S: Final = 0.5
"""How long the cook waits after kitchend's last word."""

GIVES_UP_AFTER_S: Final = 3 * 3600.0
"""A dinner this long after its pass will not be served any more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One phrase of the cook's: what was said, what arrived of it, and what each means."""

    now: Now
    said: str
    arrived: Arrived
    meant: Command | Unclear
    understood: Command | Unclear | None
    wish: Wish

    @property
    def is_right(self) -> bool:
        """Whether what arrived means what was said; for a remark, whether nothing came of it."""
        if self.wish.aim is Aim.CHAT:
            return self.understood is None or isinstance(self.understood, Unclear)
        return self.understood == self.meant and not isinstance(self.meant, Unclear)


@dataclass(slots=True)
class Stage:
    """One dinner on the stage. `last` is the state before the dinner ended, or as it is."""

    clock: SimulatedClock
    alarms: MemoryAlarms
    mouth: StageMouth
    runner: Runner
    cook: Cook
    ears: Ears
    ledger: Ledger
    told: Callable[[Turn], None]
    probe: Probe | None = None
    turns: list[Turn] = field(default_factory=list)
    last: DinnerState | None = None
    is_over: bool = False
    _quiet_from: Instant = field(default_factory=lambda: Instant(0.0))

    def play(self) -> None:
        """Let the dinner happen, to its end or until nothing more can come of it."""
        self.runner.watch(self._watch)
        self.runner.run_pending()
        self.cook.arrive(self.clock.now(), self._pass_at())
        while not (self.is_over and self.mouth.ends_at is None):
            if not self._go_on() or self.clock.now().instant > self._pass_at() + GIVES_UP_AFTER_S:
                break
        self.ledger.close(self.clock.now().instant)

    def _watch(self, stepped: Stepped) -> None:
        self.ledger.watch(stepped)
        if any(isinstance(effect, EndDinner) for effect in stepped.effects):
            self.is_over = True
        ended = self.is_over or stepped.state.plan is None
        self.last = (self.last or stepped.before) if ended else stepped.state

    def _pass_at(self) -> Instant:
        now = self.clock.now()
        serve = None if self.last is None else self.last.serve
        return now.instant if serve is None else now.instant_of(serve)

    def _go_on(self) -> bool:
        """Let the next thing happen; false when nothing is to come."""
        ends, alarm, cook = self.mouth.ends_at, self.alarms.next_at, self._cook_at()
        reads = (
            None if self.probe is None else self.probe.next_at(self.runner.state, self.clock.now().instant)
        )
        soonest = min((at for at in (ends, alarm, reads, cook) if at is not None), default=None)
        if soonest is None:
            return False
        if soonest == ends:
            self._end_utterance(soonest)
        elif soonest == alarm:
            self._ring(soonest)
        elif soonest == reads:
            self._read(soonest)
        else:
            self.clock.advance_to(soonest)
            self._speak(self.cook.agenda.take())
        return True

    def _cook_at(self) -> Instant | None:
        due = self.cook.agenda.next_due()
        if due is None or self.mouth.ends_at is not None:
            return None
        return max(due, self._quiet_from)

    def _end_utterance(self, at: Instant) -> None:
        self.clock.advance_to(at)
        self._quiet_from = at + PAUSE_S
        self.mouth.finish()
        self.runner.run_pending()
        self.cook.listen(self._scene())

    def _ring(self, at: Instant) -> None:
        self.clock.advance_to(at)
        self.alarms.check()
        self.runner.run_pending()

    def _read(self, at: Instant) -> None:
        self.clock.advance_to(at)
        for reading in () if self.probe is None else self.probe.send(self.runner.state, at):
            self.runner.put(reading)
        self.runner.run_pending()

    def _speak(self, errand: Errand) -> None:
        """The cook says something, and what was heard of it moves the dinner."""
        scene = self._scene()
        wish = errand.make(scene)
        if wish is None or self.is_over:
            return
        words = self.cook.words_for(wish, errand.tries)
        if wish.aim is not Aim.CHAT and not scene.state.window_is_open(scene.now.instant):
            words = f"{scene.state.manners.address} {words}"
        arrived = self.ears.hear(words)
        turn = Turn(
            now=scene.now,
            said=words,
            arrived=arrived,
            meant=understand(words, scene.state).command,
            understood=understand(arrived.text, scene.state).command if arrived.text else None,
            wish=wish,
        )
        self.turns.append(turn)
        self.told(turn)
        self._hear(turn, errand)

    def _hear(self, turn: Turn, errand: Errand) -> None:
        arrived = turn.arrived
        self.clock.advance(arrived.said_s + ENDPOINT_S)
        unsaid = len(self.ledger.unsaid)
        if arrived.text:
            self.ledger.meant = turn.wish.may
            self.runner.put(PhraseHeard(text=arrived.text, started=turn.now.instant, doubts=arrived.doubts))
            self.runner.run_pending()
            self.ledger.meant = frozenset()
        wrong = frozenset(move.step for move in self.ledger.unsaid[unsaid:])
        self.cook.learn_of(errand, turn.wish, right=turn.is_right, wrong=wrong, scene=self._scene())

    def _scene(self) -> Scene:
        return Scene(state=self.runner.state, now=self.clock.now())
