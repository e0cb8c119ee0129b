"""A small dinner with the service around it in memory, but the real core and the real planner."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.effects import EndDinner
from kitchend.core.events import Event, PhraseHeard
from kitchend.core.plan import Plan
from kitchend.core.state import Manners
from kitchend.files.plan_yaml import read_plan
from kitchend.service.memory import (
    MemoryAlarms,
    MemoryJournal,
    MemoryListener,
    MemoryMouth,
    MemoryPlans,
    SimulatedClock,
)
from kitchend.service.opening import opened
from kitchend.service.planner import SolvingPlanner
from kitchend.service.ports import Journal, Opened
from kitchend.service.runner import Runner, Stepped

PLAN_TEXT = """
plan: Quay supper
equipment:
  hob: {rings: 2}
dishes:
  - dish: rice
    steps:
      - step: boil the rice
        hands: 1 min
        takes: 12 min
        on: hob
  - dish: greens
    steps:
      - step: trim the greens
        hands: 3 min
        keeps: 2 h
      - step: steam the greens
        hands: 1 min
        takes: 4 min
        on: hob
        keeps: 3 min
"""
START = Now(Instant(1000.0), WallTime(1_780_077_600.0, 0))
"""Six in the evening, UTC."""


def plan_in(folder: Path, text: str = PLAN_TEXT) -> Path:
    """The plan as a file."""
    path = folder / "quay.yaml"
    path.write_text(text, encoding="utf-8")
    return path


class Kitchen:
    """A runner with parts in memory and a clock that is moved by hand."""

    def __init__(self, plan: Plan, journal: Journal | None = None, at: Now = START, **more: Any) -> None:
        self.plan = plan
        self.clock = SimulatedClock(at.wall, at.instant)
        self.alarms = MemoryAlarms(self.clock)
        self.journal = journal if journal is not None else MemoryJournal()
        self.mouth = more.pop("mouth", None) or MemoryMouth()
        self.listener = MemoryListener()
        self.plans = MemoryPlans({plan.name: Opened(plan=plan, source="quay.yaml")})
        self.planner = more.pop("planner", None) or SolvingPlanner()
        self.complaints: list[str] = []
        self.stepped: list[Stepped] = []
        self.runner = Runner(
            clock=self.clock,
            journal=self.journal,
            alarms=self.alarms,
            mouth=self.mouth,
            listener=self.listener,
            planner=self.planner,
            plans=self.plans,
            manners=more.pop("manners", Manners()),
            observers=(self.stepped.append,),
            complain=self.complaints.append,
            **more,
        )

    @property
    def said(self) -> list[str]:
        return [said.text for said in self.mouth.said]

    @property
    def has_ended(self) -> bool:
        return any(isinstance(effect, EndDinner) for stepped in self.stepped for effect in stepped.effects)

    def begin(self) -> None:
        """Start the dinner, as early as it can be."""
        started = opened(self.plan.name, None, plans=self.plans, planner=self.planner, now=self.clock.now())
        self.runner.introduce()
        self.put(started)

    def put(self, *events: Event) -> None:
        for event in events:
            self.runner.put(event)
        self.runner.run_pending()

    def type(self, words: str) -> None:
        self.put(PhraseHeard(text=words, started=self.clock.now().instant, is_typed=True))

    def cook_it_all(self) -> None:
        """Do every step of the dinner, and wait until it is served."""
        for words in ("rice is on", "greens trimmed", "greens are on"):
            self.type(words)
        self.wait(13)
        for words in ("rice is done", "greens are done"):
            self.type(words)
        self.wait(10)

    def wait(self, minutes: float) -> None:
        """Let time pass, ringing whenever an alarm is due."""
        end = self.clock.now().instant + 60 * minutes
        while self.alarms.next_at is not None and self.alarms.next_at <= end:
            self.clock.advance_to(self.alarms.next_at)
            self.alarms.check()
            self.runner.run_pending()
        self.clock.advance_to(end)
        self.runner.run_pending()


def quay_plan(folder: Path) -> Plan:
    return read_plan(plan_in(folder))
