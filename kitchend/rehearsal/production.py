"""Puts a rehearsal together: the real runner, planner, voice and ears; a made-up clock, journal and cook.

Decides when the dinner begins and how a line of the conversation looks; what happens in it is the stage's.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from random import Random
from typing import Final

from kitchend.core.clock import DAY_S, Instant, Now, TimeOfDay, WallTime
from kitchend.core.events import DinnerStarted
from kitchend.core.intents import intent_name
from kitchend.core.plan import Plan, Step, StepId
from kitchend.core.state import DinnerState, Manners
from kitchend.core.steps import StepRecord, StepState
from kitchend.core.tongue import language_of, speaking
from kitchend.rehearsal.character import Character
from kitchend.rehearsal.cook import Cook
from kitchend.rehearsal.cores import curves_of
from kitchend.rehearsal.ears import Ears
from kitchend.rehearsal.ledger import Ledger
from kitchend.rehearsal.mouth import StageMouth
from kitchend.rehearsal.probe import Probe
from kitchend.rehearsal.recording import Recording
from kitchend.rehearsal.stage import Stage, Turn
from kitchend.rehearsal.world import Curve, World
from kitchend.reports.cautions import USUAL
from kitchend.reports.rehearsal import PhraseScore, Rehearsal
from kitchend.service.memory import MemoryAlarms, MemoryJournal, MemoryPlans, SimulatedClock
from kitchend.service.planner import SolvingPlanner
from kitchend.service.ports import Opened
from kitchend.service.pronouncing import PronouncingVoice
from kitchend.service.runner import Observer, Runner
from kitchend.speaking.ports import Voice
from kitchend.speaking.sound import Sound

EVENING: Final = WallTime(1_767_376_800.0)
"""Friday, 2 January 2026, 18:00 UTC: when rehearsals play, so that they are alike every day."""

SPARE_S: Final = 600.0
"""How much sooner than it must the cook begins."""

OnLine = Callable[[str], None]
"""Takes one line of the conversation as it happens."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Roast:
    """What really happens in one core: when it is there, and how it rises to that."""

    takes_s: float
    curve: Curve


class Production:
    """Everything a rehearsal needs. `voice` is kitchend's own; without one it makes no sound.

    With `probe_every_s` a probe sends readings that often. `roasts` are cores that rise otherwise than drawn.
    """

    def __init__(
        self,
        plan: Plan,
        character: Character,
        seed: int,
        *,
        ears: Ears,
        voice: Voice | None = None,
        recording: Recording | None = None,
        on_line: OnLine,
        probe_every_s: float | None = None,
        roasts: Mapping[StepId, Roast] | None = None,
    ) -> None:
        self._plan = plan
        self._character = character
        self._seed = seed
        self._ears = ears
        self._voice = None if voice is None else PronouncingVoice(voice, lambda: plan)
        self._recording = recording
        self._on_line = on_line
        self._planner = SolvingPlanner()
        rng = Random(f"{plan.name} {character.name} {seed}")
        world = World(natures={}, hands=[Instant(0.0)] * max(1, plan.cooks))
        world.learn(plan.steps, character.pace, rng)
        for step, roast in (roasts or {}).items():
            world.natures[step] = replace(world.natures[step], takes_s=roast.takes_s)
        drawn = {step: roast.curve for step, roast in (roasts or {}).items()}
        world.curves = {**curves_of(plan.steps), **drawn}
        world.has_probe = probe_every_s is not None
        self._probe = None if probe_every_s is None else Probe(world, probe_every_s, Random(seed))
        self._cook = Cook(character, world, rng)

    def play(self, serve: TimeOfDay | None, ears_name: str, observer: Observer | None = None) -> Rehearsal:
        """Live through the dinner, begun early enough for this pass (None: none is given)."""
        with speaking(self._plan.language):
            stage = self._set(serve)
            if observer is not None:
                stage.runner.watch(observer)
            stage.play()
        return self._score(stage, ears_name)

    def _set(self, serve: TimeOfDay | None) -> Stage:
        clock = SimulatedClock(self._begin_at(serve))
        mouth = StageMouth(clock, self._voice, self._began)
        alarms = MemoryAlarms(clock)
        runner = Runner(
            clock=clock,
            journal=MemoryJournal(),
            alarms=alarms,
            mouth=mouth,
            planner=self._planner,
            plans=MemoryPlans({self._plan.name: Opened(plan=self._plan, source=self._plan.name)}),
            listener=self._ears,
            manners=Manners(
                address=language_of(self._plan.language).address, language=self._plan.language, rules=USUAL
            ),
            complain=lambda line: self._on_line(f"          ! {line}"),
        )
        now = clock.now()
        wanted = None if serve is None else now.wall.next_at(serve)
        timeline = self._planner.first(self._plan, wanted, now)
        runner.put(
            DinnerStarted(plan=self._plan, serve=timeline.serve, timeline=timeline, source=self._plan.name)
        )
        return Stage(
            clock=clock,
            alarms=alarms,
            mouth=mouth,
            runner=runner,
            cook=self._cook,
            ears=self._ears,
            ledger=Ledger(),
            told=self._told,
            probe=self._probe,
        )

    def _begin_at(self, serve: TimeOfDay | None) -> WallTime:
        """A moment from which the dinner can be made in time for the pass, with a little to spare."""
        if serve is None:
            return EVENING
        now = Now(Instant(0.0), EVENING)
        far = EVENING.next_at(serve) + DAY_S
        timeline = self._planner.first(self._plan, far, now)
        first = min((planned.start.epoch_s for planned in timeline.planned), default=far.epoch_s)
        return EVENING.next_at(serve) - (timeline.ready.epoch_s - first + SPARE_S)

    def _began(self, text: str, now: Now, sound: Sound | None) -> None:
        self._line(now, "kitchend", text)
        if self._recording is not None and sound is not None:
            self._recording.add(sound, now.instant)

    def _told(self, turn: Turn) -> None:
        heard = turn.arrived.text
        said = turn.said
        note = "" if heard == said else f'   (heard: "{heard}")' if heard else "   (not taken)"
        self._line(turn.now, "cook", said + note)
        if self._recording is not None and turn.arrived.sound is not None:
            self._recording.add(turn.arrived.sound, turn.now.instant)

    def _line(self, now: Now, who: str, words: str) -> None:
        self._on_line(f"{now.wall.local:%H:%M:%S}  {who:<8}  {words}")

    def _score(self, stage: Stage, ears_name: str) -> Rehearsal:
        last = stage.last
        if last is None or last.serve is None:
            raise RuntimeError("the stage was never played")
        needed = [step for step in self._plan.steps if is_needed(step, last)]
        done = [step for step in needed if last.state_of(step.id) is StepState.DONE]
        served = last.served_at
        return Rehearsal(
            plan=self._plan.name,
            cook=self._character.name,
            seed=self._seed,
            ears=ears_name,
            serve=last.serve,
            served=served,
            late_by_s=None if served is None else round(served - last.serve),
            steps_done=len(done),
            steps=len(needed),
            calls=len(stage.ledger.calls),
            busiest=stage.ledger.busiest(),
            replies=stage.ledger.replies,
            phrases=tuple(_score(turn) for turn in stage.turns),
            lost_timers=tuple(stage.ledger.lost_timers),
            unsaid=tuple(map(str, stage.ledger.unsaid)),
            lasted_s=stage.clock.now().instant.s,
            took_s=0.0,
            language=self._plan.language,
        )


def is_needed(step: Step, state: DinnerState) -> bool:
    """Whether a step was to be done: not a reminder whose host ended before there was need of it.

    One that gave way to its next turn was needed, and missed.
    """
    record = state.record_of(step.id)
    if step.during is None or record.state is not StepState.DROPPED:
        return True
    return record.called_at is not None and any(
        other.name == step.name and other.during == step.during and _was_called_later(other, record, state)
        for other in state.steps
    )


def _was_called_later(other: Step, than: StepRecord, state: DinnerState) -> bool:
    at = state.record_of(other.id).called_at
    return at is not None and than.called_at is not None and than.called_at < at


def _score(turn: Turn) -> PhraseScore:
    intent = None if turn.understood is None else intent_name(turn.understood)
    return PhraseScore(said=turn.said, text=turn.arrived.text, intent=intent, right=turn.is_right)
