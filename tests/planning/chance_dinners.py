"""Dinners for the chance: a family of made-up plans, and an evening whose lengths and answers are drawn.

The evening is the real core with the real planner behind it; only the cook and the kitchen are made up. The
cook has one pair of hands and puts nothing where there is no room: what is called then waits.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from statistics import NormalDist

from kitchend.core.clock import Instant, WallTime
from kitchend.core.events import DinnerStarted, TimeReached
from kitchend.core.plan import Plan, Step, StepId
from kitchend.core.room import IN_PLACE
from kitchend.core.steps import StepState
from kitchend.core.timeline import Timeline
from kitchend.planning.chance_rows import TOO_LATE_S
from kitchend.planning.chance_spread import spread_of
from tests.planning.dinners import HOUR, MIN, dinner, on, oven, step
from tests.planning.evening import Played

ANSWERS_S = (4.0, 20.0)
"""The cook answers evenly anywhere between."""
CENTRES = ("bream", "celeriac", "venison", "duck", "pumpkin", "salmon")
SIDES = ("lentils", "leeks", "polenta", "radicchio", "noodles", "beetroot")


def family(seed: int) -> Plan:
    """A centrepiece that ends by a reading and mostly rests, and two or three sides, one a guess too."""
    rng = Random(seed)
    name = rng.choice(CENTRES)
    low = rng.randint(25, 90)
    high = round(low * rng.uniform(1.15, 1.45)) + 4
    celsius = rng.choice((160, 180, 200))
    season, roast, rest = f"season the {name}", f"roast the {name}", f"rest the {name}"
    steps = [step(season, hands=rng.randint(3, 8) * MIN, keeps=HOUR)]
    steps.append(
        step(
            roast,
            (low * MIN, high * MIN),
            hands=rng.randint(1, 3) * MIN,
            uses=[oven(celsius)],
            after=[season],
            keeps=rng.choice((2, 10)) * MIN,
            until=rng.choice((58, 63, 74)),
        )
    )
    last = roast
    if rng.random() < 0.75:
        steps.append(step(rest, rng.randint(8, 20) * MIN, after=[roast], keeps=rng.choice((15, 30)) * MIN))
        last = rest
    steps.append(step(f"carve the {name}", hands=rng.randint(3, 7) * MIN, after=[last], keeps=6 * MIN))
    for place, side in enumerate(rng.sample(SIDES, rng.choice((2, 2, 3)))):
        steps += _side(side, celsius, rng, is_guess=place == 0)
    return dinner(*steps, places={"oven": 4, "hob": 2, "steamer": 1}, preheat=12 * MIN)


def _side(name: str, celsius: int, rng: Random, *, is_guess: bool) -> list[Step]:
    low = rng.randint(8, 35)
    takes = (low * MIN, (low + rng.randint(2, 8)) * MIN) if is_guess else low * MIN
    uses = [oven(celsius)] if rng.random() < 0.4 else [on("hob")]
    trim, cook = f"trim the {name}", f"cook the {name}"
    return [
        step(trim, hands=rng.randint(2, 6) * MIN, keeps=2 * HOUR),
        step(
            cook,
            takes,
            hands=rng.randint(1, 2) * MIN,
            uses=uses,
            after=[trim],
            keeps=rng.randint(8, 20) * MIN,
        ),
    ]


@dataclass(frozen=True, kw_only=True)
class Nature:
    """What one evening really brings: the length of every uncertain step, and a source of answers."""

    lengths_s: dict[StepId, float]
    answers: Random

    @classmethod
    def drawn(cls, plan: Plan, seed: int) -> Nature:
        """Drawn from the ranges of a plan."""
        rng = Random(seed)
        spreads = ((each, spread_of(each)) for each in plan.steps)
        lengths = {each.id: max(each.hands_s, one.at(rng.gauss(0, 1))) for each, one in spreads if one}
        return cls(lengths_s=lengths, answers=Random(seed + 1))


def natures(plan: Plan, seed: int, count: int) -> list[Nature]:
    """So many evenings of one plan, with lengths from every equal part of a distribution: less is
    left to luck.
    """
    rng = Random(seed)
    lengths: list[dict[StepId, float]] = [{} for _ in range(count)]
    for each in plan.steps:
        if (spread := spread_of(each)) is not None:
            for place, part in enumerate(rng.sample(range(count), count)):
                z = NormalDist().inv_cdf(min(max((part + rng.random()) / count, 1e-9), 1 - 1e-9))
                lengths[place][each.id] = max(each.hands_s, spread.at(z))
    return [Nature(lengths_s=one, answers=Random(rng.random())) for one in lengths]


class DrawnEvening(Played):
    """An evening in which uncertain steps take what nature says, and the cook answers a little later."""

    def __init__(self, plan: Plan, nature: Nature, serve: WallTime, timeline: Timeline) -> None:
        super().__init__()
        self.serve = serve
        self._nature = nature
        self._answers: dict[tuple[StepId, StepState], float] = {}
        self._steps = {each.id for each in plan.steps}
        self._ended: dict[StepId, Instant] = {}
        self.feed(DinnerStarted(plan=plan, serve=serve, timeline=timeline))

    def live(self) -> DrawnEvening:
        """Until everything is done."""
        for _ in range(5000):
            if self._steps <= self._ended.keys():
                return self
            due = {each.id: at for each in self.state.steps if (at := self._due(each)) is not None}
            later = self.now.instant + 0.05
            moment = max(later, min([*due.values(), self.wake or later + HOUR]))
            self.now = self.now.after(moment - self.now.instant)
            self.feed(TimeReached())
            for step_id in [each for each, at in due.items() if at <= moment]:
                self._say(step_id)
        raise AssertionError(f"never done: {self.state.records}")

    def _say(self, step_id: StepId) -> None:
        """The step's name, if it still waits for it."""
        if self.state.plan is None or (due := self._due(self.state.step(step_id))) is None:
            return
        if due <= self.now.instant:
            is_on = self.state.state_of(step_id) is StepState.ON
            text = self.state.step(step_id).name + " done" * is_on
            self.hear(text)

    def _look(self) -> None:
        for step_id in self._steps - self._ended.keys():
            if self.state.record_of(step_id).has_ended:
                self._ended[step_id] = self.now.instant

    @property
    def late_s(self) -> float:
        """How long after the pass everything was there; below zero if it was before."""
        return self.now.wall_of(max(self._ended.values())) - self.serve

    @property
    def is_on_time(self) -> bool:
        return self.late_s <= TOO_LATE_S

    def _answer_of(self, step: Step, state: StepState) -> float:
        return self._answers.setdefault((step.id, state), self._nature.answers.uniform(*ANSWERS_S))

    def _due(self, step: Step) -> Instant | None:
        """When the cook will say this step's name."""
        record = self.state.record_of(step.id)
        answer = self._answer_of(step, record.state)
        if record.state is StepState.CALLED and record.called_at is not None:
            return (
                max(record.called_at + answer, self._hands_free(step) + 1) if self._has_room(step) else None
            )
        if record.state is StepState.UP and record.up_at is not None:
            over = self._over(step)
            return (record.up_at if over is None else max(over, record.up_at)) + answer
        if record.state is StepState.ON and record.on_at is not None:
            if step.is_hands_only:
                return record.on_at + step.hands_s + answer
            over = self._over(step)
            return None if over is None else over + answer
        return None

    def _over(self, step: Step) -> Instant | None:
        """When an uncertain step is really over; its hands' time began with the call."""
        record = self.state.record_of(step.id)
        length = self._nature.lengths_s.get(step.id)
        if length is None or record.on_at is None:
            return None
        called = record.called_at or record.on_at
        began = record.on_at + -min(step.hands_s, record.on_at - called)
        return began + length

    def _has_room(self, step: Step) -> bool:
        """Whether its places in the oven, on the hob are empty; what is up is still in."""
        assert self.state.plan is not None
        going = [each for each in self.state.plan.steps if self.state.state_of(each.id) in IN_PLACE]
        for use in step.uses:
            taken = sum(u.places for each in going for u in each.uses if u.equipment == use.equipment)
            if taken + use.places > self.state.plan.equipment_of(use.equipment).places:
                return False
        return True

    def _hands_free(self, but: Step) -> Instant:
        """When the cook's hands are free; what has only been called waits for what is in hand."""
        free = Instant(0.0)
        for other in self.state.steps:
            record = self.state.record_of(other.id)
            if other.id == but.id or record.on_at is None or other.hands_s == 0:
                continue
            if other.is_hands_only:
                end = record.ended_at or record.on_at + other.hands_s
            else:
                end = (record.called_at or record.on_at) + other.hands_s
            free = max(free, end)
        return free
