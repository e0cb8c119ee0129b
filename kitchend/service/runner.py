"""The loop: an event in, kept in the journal, `step`, effects carried out in their order. Decides nothing.

Events come in by `put` from any thread and are taken one by one by whoever calls `run_pending` or
`run_forever`; only that thread touches the state. Every event is journalled before its effects. The same
runner serves a dinner, the service and a rehearsal; they differ in the adapters they hand in.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from queue import Empty, SimpleQueue

from kitchend.core.clock import Instant, Now
from kitchend.core.dinner import begin, step
from kitchend.core.effects import Effect, OpenPlan, WakeAt
from kitchend.core.events import (
    Event,
    MannersSet,
    PhraseHeard,
    PhraseRefused,
    PlansKnown,
    Resumed,
    SpeechEnded,
)
from kitchend.core.state import DinnerState, Manners
from kitchend.service.carrying import Carrier, Job, Work
from kitchend.service.guard import attempt
from kitchend.service.pace import Pace
from kitchend.service.ports import (
    Alarms,
    Clock,
    Complain,
    Journal,
    Listener,
    Mouth,
    Planner,
    Plans,
    Pulse,
    Snapshot,
    Snapshots,
)
from kitchend.service.replaying import fits, has_end, is_idle, moved, opening_after

LOOK_AGAIN_S = 0.5
"""How long the loop rests at most before it looks at clocks and alarms; a set clock or a sleep costs that."""

LOOK_AT_PLANS_S = 10.0
"""How often, between dinners, the plans are looked at."""

SNAPSHOT_EVERY = 10
"""Events between snapshots, at most. After each phrase there is one as well: reading it anew after a start
takes a tenth of a second and more, keeping a snapshot a millisecond."""

PREPARE_EVERY = 10
"""Events that are taken, at most, before ears and mouth are told what to expect; one if they come singly."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stepped:
    """One event and what came of it, for those who watch."""

    event: Event
    now: Now
    before: DinnerState
    state: DinnerState
    effects: tuple[Effect, ...]


Observer = Callable[[Stepped], None]
Forgetting = Callable[[bool], None]
"""What is told whether that which was said has been put away."""


def at_once(job: Job) -> None:
    """Run the job before going on; for rehearsal and tests."""
    job()


def unheard(line: str) -> None:
    """Complain to nobody."""


class Runner:
    """Runs a dinner: holds the state and carries out what `step` orders."""

    def __init__(
        self,
        *,
        clock: Clock,
        journal: Journal,
        alarms: Alarms,
        mouth: Mouth,
        planner: Planner,
        plans: Plans,
        listener: Listener | None = None,
        manners: Manners | None = None,
        observers: Sequence[Observer] = (),
        complain: Complain = unheard,
        work: Work = at_once,
        pulse: Pulse | None = None,
        snapshots: Snapshots | None = None,
        knows_away: bool = True,
        on_end: Callable[[], None] | None = None,
    ) -> None:
        self._clock = clock
        self._journal = journal
        self._alarms = alarms
        self._plans = plans
        self._manners = manners or Manners()
        self._observers = list(observers)
        self._complain = complain
        self._queue: SimpleQueue[Event | Forgetting | None] = SimpleQueue()
        self._made: deque[SpeechEnded] = deque()
        self._state: DinnerState = begin(self._manners)
        self._has_ended = False
        self._snapshots = snapshots
        self._knows_away = knows_away
        self._opening: OpenPlan | None = None
        self._count = self._snapped = self._unprepared = 0
        self._last: Now | None = None
        self._pace = Pace()
        self._plans_at: Instant | None = None
        self._on_end = on_end
        self._pulse = pulse
        self._carrier = Carrier(
            alarms=alarms,
            mouth=mouth,
            planner=planner,
            plans=plans,
            listener=listener,
            work=work,
            complain=complain,
            put=self.put,
        )

    @property
    def state(self) -> DinnerState:
        """The dinner as it is; frozen, so any thread may look at it."""
        return self._state

    def put(self, event: Event) -> None:
        """Hand in an event; from any thread. That a call was made is taken before phrases that wait."""
        if isinstance(event, SpeechEnded):
            self._made.append(event)
        self._queue.put(event)

    def forget(self, on_done: Forgetting = lambda has_gone: None) -> None:
        """Have what was said put away while nothing is on, then tell whether it was; from any thread."""
        self._queue.put(on_done)

    def watch(self, observer: Observer) -> Callable[[], None]:
        """Tell `observer` of every event and what came of it; gives what ends the watching."""
        self._observers.append(observer)
        return lambda: self._observers.remove(observer)

    def let_in_by(self, make_words: Callable[[], str] | None) -> None:
        """Have words that let a device in to the board made so; None: nobody is let in."""
        self._carrier.make_words = make_words

    def restore(self) -> bool:
        """Replay the journal, effects left out. True if a dinner or a timer was on; then `Resumed` is put."""
        self._state = begin()
        self._replay()
        last, opening = self._last, self._opening
        if last is None:
            self._state = begin(self._manners)
            return False
        if self._state.plan is None and not self._state.timers and opening is None:
            self.start_afresh()
            return False
        # Another crash costs no second replay, and how long one takes is known from here on.
        self._keep_snapshot(last)
        now = self._clock.now()
        away_s = self._away_s(last)
        counted_s = 0.0 if away_s is not None else now.instant - last.instant
        self.put(Resumed(away_s=away_s, counted_s=counted_s, clock=moved(last, now)))
        self._last = now
        if opening is not None:
            self._carrier.carry_out(opening, self._state, now)
        return True

    def _replay(self) -> None:
        """Live through the journal again, from the last snapshot of it on."""
        kept = tuple(self._journal.events())
        snapshot = None if self._snapshots is None else self._snapshots.last()
        if snapshot is not None and fits(snapshot, kept):
            self._state, self._last, self._opening = snapshot.state, snapshot.now, snapshot.opening
            self._has_ended = snapshot.has_ended
            self._count = snapshot.count
        for event, now in kept[self._count :]:
            self._count_in(event, self._move(event, now))
            self._last = now
        self._snapped = self._count

    def _count_in(self, event: Event, effects: tuple[Effect, ...]) -> None:
        self._count += 1
        self._has_ended |= has_end(effects)
        self._opening = opening_after(event, effects, self._opening)

    def _snap(self, now: Now, *, is_phrase: bool) -> None:
        """Keep a snapshot after each phrase, or if the last is old enough; not while something falls due."""
        is_due = self._count > self._snapped and (is_phrase or self._count - self._snapped >= SNAPSHOT_EVERY)
        if is_due and self._pace.allows(self._clock.now().instant):
            self._keep_snapshot(now)

    def _keep_snapshot(self, now: Now) -> None:
        """Keep what all events up to `now` add up to."""
        if self._snapshots is None:
            return
        began = self._clock.now().instant
        self._snapped = self._count
        self._snapshots.keep(
            Snapshot(
                count=self._count,
                now=now,
                state=self._state,
                has_ended=self._has_ended,
                opening=self._opening,
            )
        )
        self._pace.kept(began, self._clock.now().instant)

    def start_afresh(self) -> None:
        """Put away whatever the journal holds and forget it."""
        self._last = None
        self._put_away(self._clock.now())

    def _put_away(self, now: Now) -> None:
        self._has_ended, self._opening = False, None
        self._count = self._snapped = 0
        if self._snapshots is not None:
            self._snapshots.forget()
        self._journal.finish(now)
        self._state = begin(self._manners)

    def introduce(self) -> None:
        """Tell the dinner how to behave and which plans may be started by voice; at every start."""
        self.put(MannersSet(manners=self._manners))
        self.put(PlansKnown(names=self._plans.names()))

    def run_pending(self) -> int:
        """Take every event that is waiting, and those that come of them; how many there were."""
        taken = 0
        while True:
            try:
                event = self._queue.get_nowait()
            except Empty:
                return taken
            if event is not None:
                self._take_next(event)
                taken += 1

    def run_forever(self) -> None:
        """Take events as they come until `stop`."""
        while True:
            self._guarded("leave a sign of life", self._beat)
            try:
                event = self._queue.get(timeout=LOOK_AGAIN_S)
            except Empty:
                self._look_around()
                continue
            if event is None:
                return
            self._take_next(event)

    def stop(self) -> None:
        """Let `run_forever` return after the events put before; from any thread."""
        self._queue.put(None)

    def _look_around(self) -> None:
        """Nothing came in: see to what may have come by itself."""
        self._watch_clock(self._clock.now())
        self._guarded("look at the alarms", self._alarms.check)
        self._guarded("look at the plans", self._look_at_plans)

    def _take_next(self, event: Event | Forgetting) -> None:
        """Take it; of a phrase, which is slow to read, behind all that say of a call that it was made.

        So no crash while it is read has that made again.
        """
        if callable(event):
            self._guarded("forget", partial(self._forget, event))
            return
        if isinstance(event, PhraseRefused) and is_idle(self._state):
            return  # a radio would fill a journal that no dinner ends
        while self._made and (isinstance(event, PhraseHeard) or self._made[0] is event):
            self._take(self._made.popleft())
        if isinstance(event, SpeechEnded):
            # Taken by now, here or before: the queue may have been empty but for it.
            self._prepare(self._clock.now())
        else:
            self._take(event)

    def _take(self, event: Event) -> None:
        now = self._clock.now()
        self._watch_clock(now)
        self._take_at(event, now)

    def _watch_clock(self, now: Now) -> None:
        """Take in that the clock on the wall was set before anything goes by it."""
        set_clock = None if self._last is None else moved(self._last, now)
        if set_clock is not None or self._last is None:
            self._last = now
        if set_clock is not None:
            self._take_at(set_clock, now)

    def _take_at(self, event: Event, now: Now) -> None:
        self._guarded("keep the journal", lambda: self._journal.append(event, now))
        before = self._state
        effects = self._move(event, now)
        for effect in effects:
            self._carrier.carry_out(effect, self._state, now)
            if isinstance(effect, WakeAt):
                self._pace.wakes_at = effect.instant
        self._count_in(event, effects)
        self._end_if_over(now)
        stepped = Stepped(event=event, now=now, before=before, state=self._state, effects=effects)
        for observer in tuple(self._observers):
            self._guarded("tell a watcher", partial(observer, stepped))
        self._guarded("keep a snapshot", lambda: self._snap(now, is_phrase=isinstance(event, PhraseHeard)))
        self._unprepared += 1
        self._prepare(now)

    def _prepare(self, now: Now) -> None:
        """Tell ears and mouth. A grammar takes its time, above all after a start: first what waits."""
        if self._unprepared >= (1 if self._queue.empty() else PREPARE_EVERY):
            self._unprepared = 0
            self._carrier.listen(self._state, self._clock.now().instant)
            self._carrier.foresee(self._state, now)

    def _move(self, event: Event, now: Now) -> tuple[Effect, ...]:
        """Step, and keep the new state. An event that `step` fails on changes nothing, live or replayed."""
        moved: list[tuple[DinnerState, tuple[Effect, ...]]] = []
        what = f"take in {type(event).__name__}"
        if not self._guarded(what, lambda: moved.append(step(self._state, event, now))):
            return ()
        self._state, effects = moved[0]
        return effects

    def _away_s(self, last: Now) -> float | None:
        now = self._clock.now()
        seen = self._pulse.last() if self._pulse is not None else None
        instants = [last.instant] if seen is None else [last.instant, seen.instant]
        if not self._knows_away:
            return None
        return max(0.0, now.instant - max(instants))

    def _look_at_plans(self) -> None:
        """Between dinners, tell of plans that came or went; during one nobody asks."""
        now = self._clock.now().instant
        if self._plans_at is not None and now - self._plans_at < LOOK_AT_PLANS_S:
            return
        self._plans_at = now
        if self._state.plan is None and self._plans.names() != self._state.menu:
            self.put(PlansKnown(names=self._plans.names()))

    def _beat(self) -> None:
        if self._pulse is not None:
            self._pulse.beat(self._clock.now())

    def _guarded(self, doing: str, action: Callable[[], None]) -> bool:
        return attempt(action, complain=self._complain, doing=doing)

    def _end_if_over(self, now: Now) -> None:
        """Put the dinner away once it is over and nothing runs on, such as a timer of the cook's own."""
        if not self._has_ended or not is_idle(self._state):
            return
        self._begin_anew(now)
        if self._on_end is not None:
            self._guarded("end", self._on_end)

    def _forget(self, on_done: Forgetting) -> None:
        """As after a dinner; what is on, or about to be, stays."""
        may_go = is_idle(self._state) and self._opening is None
        if may_go:
            self._begin_anew(self._clock.now())
        on_done(may_go)

    def _begin_anew(self, now: Now) -> None:
        self._guarded("put the journal away", lambda: self._put_away(now))
        self._state = begin(self._manners)
        self.introduce()
