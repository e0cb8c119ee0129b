"""The dinner's whole state as one frozen value. Data and lookups; what moves it is in `dinner`.

Nothing outside edits it. Two states made by the same events are equal. Records hold only steps that have
moved; `record_of` gives the rest their beginning.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from kitchend.core.clock import Instant, TimeOfDay, WallTime
from kitchend.core.commands import Command
from kitchend.core.effects import CallKind
from kitchend.core.forecasts import Forecast, Outlook, Owed, Probe, Refused
from kitchend.core.plan import Plan, Step, StepId
from kitchend.core.safety_rules import SafetyRules
from kitchend.core.steps import StepRecord, StepState
from kitchend.core.timeline import Timeline
from kitchend.core.timers import Timer, TimerId


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeats:
    """Pauses in seconds before an unanswered call is said again, by its kind.

    After the last pause it stops and stays listed; *careful* goes on with its last pause until answered.
    """

    now: tuple[float, ...] = (30.0, 60.0, 120.0, 240.0)
    up: tuple[float, ...] = (30.0, 60.0, 120.0, 240.0)
    careful: tuple[float, ...] = (60.0, 120.0, 240.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Manners:
    """How kitchend behaves towards the cook; from the settings.

    `address` is the address phrase, `language` a tag of `languages`. With `is_open` commands need no address
    phrase. After a call, a question or a reply commands are taken without it for `window_s` seconds. `rules`
    is the food-safety guidance to go by. Between the `quiet_hours` kitchend whispers.
    """

    address: str = "hey kitchen"
    language: str = "en"
    is_open: bool = False
    window_s: float = 12.0
    repeats: Repeats = Repeats()
    rules: SafetyRules | None = None
    quiet_hours: tuple[TimeOfDay, TimeOfDay] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tone:
    """How the cook wants kitchend to speak: louder by so many dB (below zero: softer), whispering, not yet.

    `whispers` None: as the quiet hours of the settings have it; `is_hour` is whether they were on when the
    cook said otherwise, which holds until that changes.
    """

    louder_db: float = 0.0
    whispers: bool | None = None
    is_hour: bool = False
    quiet_until: Instant | None = None

    def is_quiet_at(self, at: Instant) -> bool:
        """Whether calls wait at this instant."""
        return self.quiet_until is not None and at < self.quiet_until


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A temperature the cook reported: of a step or a piece of equipment, by id, in degrees Celsius."""

    of: str
    celsius: float
    at: Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class Minded:
    """What the cook was warned of, each once: readings of pieces called done too low, cooked food that stood,
    raw food before clean, food kept too cool, coolings by what was said of them, reheatings that take long.
    `heard_at` is when a call was last acknowledged."""

    below: tuple[Reading, ...] = ()
    stood: tuple[StepId, ...] = ()
    hands: tuple[StepId, ...] = ()
    kept: tuple[StepId, ...] = ()
    cooled: tuple[tuple[StepId, str], ...] = ()
    reheated: tuple[StepId, ...] = ()
    heard_at: Instant | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One answer to a question: the spoken name that picks it and the command it stands for."""

    name: str
    command: Command
    step: StepId | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question put to the cook. `yes` is what a yes does; an unanswered question lapses at `lapses`.

    `stays` keeps it open while the cook says other things; `is_again`: it was asked a second time.
    """

    text: str
    lapses: Instant
    choices: tuple[Choice, ...] = ()
    yes: Choice | None = None
    stays: bool = False
    is_again: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """One thing to say because it is due, or said and not yet answered.

    `step` is what it is about, `state` the state in which that step waits for an answer (None: a cook's own
    timer, or a reply). `again` counts repeats, `at` is when it is due again; None: it has stopped repeating.

    `short` and `least` are how it comes back the first time and later. `clause` is how it is said beside
    others in one sentence, with `tail` after that sentence. `is_news` is about kitchend itself, not the food.
    `asks` is the question that a reply answers, where it can be asked again.
    """

    kind: CallKind
    text: str
    short: str = ""
    least: str = ""
    clause: str = ""
    tail: str = ""
    at: Instant | None
    step: StepId | None = None
    state: StepState | None = None
    timer: TimerId | None = None
    again: int = 0
    is_news: bool = False
    asks: Command | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """What a command changed, as it stood before, so that it can be taken back; a `tone` only if it did."""

    what: str
    records: Mapping[StepId, StepRecord] = field(default_factory=dict)
    timers: Mapping[TimerId, Timer | None] = field(default_factory=dict)
    serve: WallTime | None = None
    tone: Tone | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsure:
    """Timers that ran while kitchend was away for nobody knows how long.

    They were taken to have run for `counted_s`; the clock on the wall came back `behind_s` behind.
    """

    timers: tuple[TimerId, ...]
    counted_s: float = 0.0
    behind_s: float = 0.0


_WAITING = StepRecord()


@dataclass(frozen=True, slots=True, kw_only=True)
class DinnerState:
    """Everything kitchend knows. `plan` is None while no dinner is on."""

    manners: Manners = Manners()
    menu: tuple[str, ...] = ()
    plan: Plan | None = None
    source: str = ""
    serve: WallTime | None = None
    timeline: Timeline | None = None
    added: tuple[Step, ...] = ()
    records: Mapping[StepId, StepRecord] = field(default_factory=dict)
    timers: tuple[Timer, ...] = ()
    readings: tuple[Reading, ...] = ()
    refused: tuple[Refused, ...] = ()
    probes: tuple[Probe, ...] = ()
    forecasts: Mapping[StepId, Forecast] = field(default_factory=dict)
    forecasts_asked: Mapping[StepId, Instant] = field(default_factory=dict)
    outlooks_told: Mapping[StepId, Outlook] = field(default_factory=dict)
    planned_by: Mapping[StepId, Forecast] = field(default_factory=dict)
    owed: tuple[Owed, ...] = ()
    minded: Minded = Minded()
    waiting_calls: tuple[Call, ...] = ()
    open_calls: tuple[Call, ...] = ()
    speaking: int | None = None
    saying: tuple[Call, ...] = ()
    broken_off: int | None = None
    called_lately: tuple[Instant, ...] = ()
    warned: tuple[StepId, ...] = ()
    tone: Tone = Tone()
    spoken: int = 0
    last_words: str = ""
    last_calls: tuple[Call, ...] = ()
    last_said: Instant | None = None
    last_called: tuple[StepId, ...] = ()
    asked: Asked | None = None
    window_until: Instant | None = None
    past: tuple[Past, ...] = ()
    unsure: Unsure | None = None
    revision: int = 0
    planned_revision: int = 0
    planned_at: Instant | None = None
    asked_plan_at: Instant | None = None
    told_late_s: int = 0
    told_in_way: tuple[StepId, ...] = ()
    has_been_late: bool = False
    is_early_told: bool = False
    timers_made: int = 0
    is_all_done: bool = False
    passes_called: tuple[int, ...] = ()
    served_at: WallTime | None = None

    @property
    def language(self) -> str:
        """The language the dinner is run in, by its tag."""
        return self.manners.language

    def record_of(self, step: StepId) -> StepRecord:
        """What has happened to a step; a waiting record if nothing has."""
        return self.records.get(step, _WAITING)

    def state_of(self, step: StepId) -> StepState:
        """Where a step is in its life."""
        return self.record_of(step).state

    @property
    def steps(self) -> tuple[Step, ...]:
        """All steps: the plan's and those kitchend added (called ones first, then the timeline's)."""
        if self.plan is None:
            return ()
        known = {step.id for step in self.added}
        planned = self.timeline.added if self.timeline else ()
        return self.plan.steps + self.added + tuple(step for step in planned if step.id not in known)

    def step(self, step_id: StepId) -> Step:
        """The step with this id, the plan's or added; KeyError if there is none."""
        for step in self.steps:
            if step.id == step_id:
                return step
        raise KeyError(step_id)

    def window_is_open(self, at: Instant) -> bool:
        """Whether commands are taken without the address phrase now: while kitchend speaks, too."""
        is_in_time = self.window_until is not None and at < self.window_until
        return self.manners.is_open or is_in_time or self.speaking is not None
