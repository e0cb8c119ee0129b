"""Thousands of random events through the core and the planner: does planning again leave people in peace?

Random suppers of 10 to 60 steps are cooked by a cook who is quick, late or silent, gives time, holds, drops,
undoes and moves the pass. Every re-plan the core asks for is made, and looked at without a solver:

* what was called stays called, and is not put back;
* where the timeline before still stands (the checker finds no fault with it), no step moves, and the new one
  is in time and fresh too;
* no lateness that changed by less than a minute is spoken of.

Times are processor times, so that a machine shared with others says the same. `--keep FILE` adds a line a
re-plan (steps, milliseconds, the solver's own units, what was wrong), so that runs of several seeds can be
added up: `--sum FILE...` lives nothing and tells what files say together.

    python tests/soak/replans.py [--events 10000] [--seed 1] [--steps 30] [--keep FILE | --sum FILE...]
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections import Counter
from contextlib import nullcontext
from dataclasses import dataclass, field, replace
from pathlib import Path
from random import Random
from typing import TextIO

from kitchend.core.clock import Instant
from kitchend.core.dinner import step as live
from kitchend.core.effects import Replan, Speak, WakeAt
from kitchend.core.events import DinnerStarted, Event, SpeechEnded, TimelinePlanned, TimeReached
from kitchend.core.plan import Dish, DishId, Plan, Step, StepId
from kitchend.core.quantities import DurationRange
from kitchend.core.replans import TELL_S
from kitchend.core.steps import StepState
from kitchend.core.timeline import Planned, Timeline
from kitchend.planning import PlanningSettings, plan_dinner, plan_rest
from kitchend.planning.listing import listed_plan
from kitchend.planning.solver import Model
from kitchend.planning.tasks import problem_of_plan
from tests.planning.checker import Kitchen, Stay, faults, freshness_faults
from tests.planning.dinners import MIN, NOW
from tests.planning.evening import Played, past_of
from tests.planning.suppers import supper

FOODS = (
    *("bream", "lentils", "leeks", "polenta", "radicchio", "noodles", "beetroot", "celeriac", "fennel"),
    *("squid", "pumpkin", "barley", "okra", "tofu", "quinces", "chard"),
)
VERBS = ("trim", "simmer", "turn", "glaze", "rest", "plate")
GOING = (StepState.CALLED, StepState.ON, StepState.UP, StepState.HELD)
MOST_LATE_S = 400
SETTINGS = PlanningSettings()
UNEXPLAINED = replace(SETTINGS, explain_effort=0.0)
"""To begin with: what could be changed before the dinner is nothing to planning it again."""


def named(plan: Plan, chance: Random) -> Plan:
    """The supper with names that can be said, and a third of its long steps guesses."""
    names: dict[StepId, StepId] = {}
    dishes = []
    for dish, food in zip(plan.dishes, FOODS, strict=False):
        for step, verb in zip(dish.steps, VERBS, strict=False):
            names[step.id] = StepId(f"{verb}-the-{food}")
        steps = tuple(
            _named(step, verb, food, names, chance) for step, verb in zip(dish.steps, VERBS, strict=False)
        )
        dishes.append(Dish(id=DishId(food), name=food, steps=steps))
    return replace(plan, dishes=tuple(dishes))


def _named(step: Step, verb: str, food: str, names: dict[StepId, StepId], chance: Random) -> Step:
    takes = step.takes
    if takes.high_s > 10 * MIN and chance.random() < 1 / 3:
        takes = DurationRange(low_s=takes.high_s, high_s=takes.high_s + chance.randint(2, 12) * MIN)
    after = tuple(names[before] for before in step.after)
    return replace(
        step, id=names[step.id], name=f"{verb} the {food}", dish=DishId(food), takes=takes, after=after
    )


@dataclass
class Figures:
    """What was seen in all dinners."""

    events: int = 0
    stood: int = 0
    took_ms: dict[int, list[float]] = field(default_factory=dict)
    effort: dict[int, list[float]] = field(default_factory=dict)
    wrong: Counter[str] = field(default_factory=Counter)
    kept: TextIO | None = None

    def add(self, size: int, took_ms: float, units: float) -> None:
        """One more re-plan of a dinner of so many steps."""
        self.events += 1
        self.took_ms.setdefault(size, []).append(took_ms)
        self.effort.setdefault(size, []).append(units)
        if self.kept is not None:
            print(f"{size},{took_ms:.2f},{units:.6f}", file=self.kept, flush=True)

    def stand(self) -> None:
        """One more timeline that stood."""
        self.stood += 1
        if self.kept is not None:
            print("STOOD", file=self.kept, flush=True)

    def note(self, what: str) -> None:
        """One more thing that was wrong."""
        self.wrong[what] += 1
        if self.kept is not None:
            print(f"WRONG,{what}", file=self.kept, flush=True)

    def read(self, path: Path) -> None:
        """Everything a file says that was kept."""
        for line in path.read_text().splitlines():
            first, _, rest = line.partition(",")
            if first == "WRONG":
                self.wrong[rest] += 1
            elif first == "STOOD":
                self.stood += 1
            else:
                took_ms, _, units = rest.partition(",")
                self.add(int(first), float(took_ms), float(units))


class RandomEvening(Played):
    """A dinner with a cook nobody can foresee."""

    def __init__(self, plan: Plan, timeline: Timeline, chance: Random, figures: Figures) -> None:
        super().__init__()
        self._chance, self._figures = chance, figures
        self._answers: dict[tuple[StepId, StepState], Instant] = {}
        self.feed(DinnerStarted(plan=plan, serve=timeline.serve, timeline=timeline))

    def feed(self, event: Event) -> None:
        queue = [event]
        while queue:
            self.state, effects = live(self.state, queue.pop(0), self.now)
            for effect in effects:
                match effect:
                    case Speak(utterance=utterance, text=text):
                        self.said.append(text)
                        queue.append(SpeechEnded(utterance=utterance))
                    case Replan(revision=revision):
                        queue.append(TimelinePlanned(timeline=self._planned(), revision=revision))
                    case WakeAt(instant=instant):
                        self.wake = instant
            if self.state.plan is None:
                self.is_served = True
                return

    def _planned(self) -> Timeline:
        """The rest planned again, timed and looked at."""
        before = self.state.timeline
        steps = 0 if self.state.plan is None else len(self.state.plan.steps)
        spent = _spent[0]
        began = time.process_time()
        after = plan_rest(self.state, now=self.now)
        took_ms = 1000 * (time.process_time() - began)
        self._figures.add(round(steps, -1), took_ms, _spent[0] - spent)
        if before is not None:
            self._look_at(before, after)
        told = self.state.told_late_s
        late = after.late_by_s
        if 0 < abs(late - told) < TELL_S:
            said = replace(self.state, timeline=after)
            new, _ = live(self.state, TimelinePlanned(timeline=after, revision=self.state.revision), self.now)
            if len(new.waiting_calls) > len(said.waiting_calls) and new.told_late_s != told:
                self._wrong("a change of under a minute was spoken of")
        return after

    def _look_at(self, before: Timeline, after: Timeline) -> None:
        going = {step.id for step in self.state.steps if self.state.state_of(step.id) in GOING}
        called = [s for s in self.state.steps if self.state.state_of(s.id) is StepState.CALLED]
        for step in called:
            planned = after.of(step.id)
            is_free = all(self.state.record_of(b).has_ended for b in step.after)
            if is_free and planned is not None and planned.start > self.now.wall + 1.0:
                self._wrong("what was called was put back")
        moves = [
            (old, new) for old in before.planned if (new := after.of(old.step)) and old.step not in going
        ]
        stands = self._still_stands(before, after)
        for old, new in moves:
            if abs(new.start - old.start) >= 1 and stands and not self.state.step(new.step).added:
                self._wrong("a step moved though nothing made it")
                break
        if stands:
            self._figures.stand()
        if stands and (after.late_by_s or freshness_faults(self._kitchen(after))):
            self._wrong("late or not fresh, though the timeline before stands")

    def _still_stands(self, before: Timeline, after: Timeline) -> bool:
        """Whether the timeline before, with what has happened put in, keeps every rule still."""
        assert self.state.plan is not None
        if before.serve != self.state.serve or before.late_by_s or self.state.serve is None:
            return False
        going = frozenset(s.id for s in self.state.steps if self.state.state_of(s.id) in GOING)
        over = frozenset(s.id for s in self.state.steps if self.state.record_of(s.id).has_ended)
        places: list[Planned] = [p for p in after.planned if p.step in going]
        places += [p for p in before.planned if p.step not in going and p.step not in over]
        added = tuple({s.id: s for s in (*before.added, *after.added)}.values())
        ready = max([p.end for p in places], default=self.now.wall)
        if ready > before.serve or {p.step for p in after.planned} - {p.step for p in places}:
            return False
        mixed = replace(before, planned=tuple(places), added=added, ready=ready, late_by_s=0)
        kitchen = self._kitchen(mixed)
        strict = replace(kitchen, settings=replace(SETTINGS, explain_from_s=0, answer_s=0))
        is_fresh = not freshness_faults(strict) and not self._would_stand_too_long(kitchen)
        return is_fresh and not faults(kitchen) and self._has_answers(kitchen)

    def _would_stand_too_long(self, kitchen: Kitchen) -> bool:
        """Whether what is done, or on, would wait for the next step for longer than it keeps."""
        ends = {stay.step.id: stay.end for stay in kitchen.stays()}
        for step in kitchen.plan.steps:
            ended = self.state.record_of(step.id).ended_at
            if ended is not None:
                ends[step.id] = self.now.wall_of(ended).epoch_s
        keeps = {step.id: step.keeps_s for step in kitchen.plan.steps}
        return any(
            (kept := keeps.get(before)) is not None and stay.start - ends.get(before, stay.start) > kept
            for stay in kitchen.stays()
            for before in stay.step.after
            if not stay.is_going and stay.step.during is None and not stay.step.added
        )

    def _kitchen(self, timeline: Timeline) -> Kitchen:
        assert self.state.plan is not None
        return Kitchen(
            plan=self.state.plan,
            timeline=timeline,
            now=self.now,
            settings=SETTINGS,
            going=frozenset(s.id for s in self.state.steps if self.state.state_of(s.id) in GOING),
            over=frozenset(s.id for s in self.state.steps if self.state.record_of(s.id).has_ended),
            past=past_of(self.state, self.now),
        )

    def _has_answers(self, kitchen: Kitchen) -> bool:
        """Whether there is time for the cook's words between one thing and the next."""
        stays = {stay.step.id: stay for stay in kitchen.stays()}
        gap = SETTINGS.answer_s
        hands = sorted((s for s in stays.values() if s.step.hands_s), key=lambda s: s.start)
        for stay in stays.values():
            if stay.is_going:
                continue
            for before in stay.step.after:
                other = stays.get(before)
                wants = gap if other is not None and (other.step.hands_s or stay.step.hands_s) else 0
                if other is not None and stay.start < other.end + wants:
                    return False
        for one in hands:
            others = [
                o
                for o in hands
                if o.start < self._hands_end(one) + gap and one.start < self._hands_end(o) + gap
            ]
            if len(others) > kitchen.plan.cooks and not one.is_going:
                return False
        return True

    def _hands_end(self, stay: Stay) -> float:
        """When the hands are free again; what was only called may wait for hands that are busy."""
        if self.state.state_of(stay.step.id) is not StepState.CALLED:
            return stay.hands_end
        by_itself_s = max(0, stay.step.takes.high_s - stay.step.hands_s)
        return max(stay.hands_end, stay.end - by_itself_s)

    def _wrong(self, what: str) -> None:
        self._figures.note(what)

    def live(self, most: int) -> None:
        """Until it is served, or so many events were had."""
        for _ in range(3000):
            if self.is_served or self._figures.events >= most:
                return
            due = {step.id: self._due(step) for step in self.state.steps}
            soonest = min((at for at in due.values() if at is not None), default=self.now.instant + 300)
            moment = max(self.now.instant + 0.05, min(soonest, self.wake or soonest))
            self.now = self.now.after(moment - self.now.instant)
            self.feed(TimeReached())
            for step_id, at in due.items():
                if at is not None and at <= self.now.instant and not self.is_served:
                    self._say(self.state.step(step_id))

    def _due(self, step: Step) -> Instant | None:
        record = self.state.record_of(step.id)
        if record.state not in (StepState.CALLED, StepState.UP, StepState.ON, StepState.HELD):
            return None
        key = (step.id, record.state)
        if key not in self._answers:
            self._answers[key] = self.now.instant + self._wait_s(step, record.state)
        return self._answers[key]

    def _wait_s(self, step: Step, state: StepState) -> float:
        late_s = self._chance.choice((5.0, 10.0, 20.0, 20.0, 60.0, float(MOST_LATE_S)))
        if state is StepState.ON:
            return max(5.0, step.takes.high_s * self._chance.uniform(0.8, 1.1)) + late_s
        return late_s

    def _say(self, step: Step) -> None:
        state = self.state.state_of(step.id)
        self._answers.pop((step.id, state), None)
        other = self._chance.choice([one for one in self.state.steps if not one.added] or [step])
        thing = other.name.partition(" the ")[2]
        whim = self._chance.random()
        if whim < 0.06:
            minutes = self._chance.choice(("two", "five", "ten"))
            self.hear(f"{minutes} more minutes on the {thing}")
        elif whim < 0.08:
            self.hear("serve ten minutes later")
        elif whim < 0.10:
            self.hear(f"hold the {thing}")
        elif whim < 0.115:
            self.hear(f"drop the {thing}")
            self.hear("yes")
        elif whim < 0.13:
            self.hear("undo that")
        if self.is_served:
            return
        if self.state.state_of(step.id) is StepState.HELD:
            self.hear(f"carry on with the {step.name.partition(' the ')[2]}")
        else:
            self.hear(step.name + " done" * (self.state.state_of(step.id) is StepState.ON))


_spent = [0.0]


def _counting() -> None:
    """Count the solver's own units over all models."""
    respond = Model._response

    def counted(self: Model, effort: float, seconds: float, way: object) -> object:
        spent = self.spent
        response = respond(self, effort, seconds, way)  # type: ignore[arg-type]  # handed through
        _spent[0] += self.spent - spent
        return response

    Model._response = counted  # type: ignore[method-assign]  # counted where it is spent


def at(values: list[float], share: float) -> float:
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(len(ordered) * share))]


def lived(figures: Figures, events: int, first: int, size: int | None) -> None:
    """So many events of dinners from this seed on, of so many steps or of all sizes."""
    seed = first
    while figures.events < events:
        chance = Random(seed)
        steps = chance.choice((10, 20, 30, 30, 40, 50, 60) if size is None else (size,))
        plan = named(supper(steps, seed, cooks=1 + (steps >= 50)), chance)
        serve = round(listed_plan(problem_of_plan(plan, None, SETTINGS)).pass_s * 1.4) // MIN * MIN
        timeline = plan_dinner(plan, now=NOW, serve=NOW.wall + serve, settings=UNEXPLAINED)
        RandomEvening(plan, timeline, chance, figures).live(events)
        seed += 1
    print(f"{seed - first} dinners, load {os.getloadavg()[0]:.1f}")


def told(figures: Figures) -> None:
    """Print what was seen."""
    print(f"{figures.events} events; the timeline before stood in {figures.stood}")
    for size, times in sorted(figures.took_ms.items()):
        units = figures.effort[size]
        print(
            f"{size:3} steps, {len(times):5} times: {at(times, 0.5):.0f}, {at(times, 0.95):.0f}, "
            f"{at(times, 0.99):.0f}, {max(times):.0f} ms of processor time (median, 95th, 99th, most), "
            f"{1000 * at(units, 0.5):.1f}, {1000 * at(units, 0.95):.1f}, {1000 * at(units, 0.99):.1f} "
            "thousandths of a solver's unit"
        )
    for what, count in figures.wrong.items():
        print(f"WRONG {count} times: {what}")


def main() -> int:
    """Live them; 1 if anything was wrong."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--events", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--steps", type=int)
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--sum", type=Path, nargs="+")
    asked = parser.parse_args()
    figures = Figures()
    if asked.sum:
        for path in asked.sum:
            figures.read(path)
    else:
        _counting()
        with asked.keep.open("a") if asked.keep else nullcontext() as figures.kept:
            lived(figures, asked.events, asked.seed, asked.steps)
    told(figures)
    return 1 if figures.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
