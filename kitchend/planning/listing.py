"""List scheduling, for when no search has an answer: one step after the other gets the first place it fits.

The list is in order of how late each step may end (the classic rule for projects), never before what it
follows. Each step goes where hands, places and its oven are free first; then everything moves together up to
the pass, and what needs no heat moves on by itself, the last first, as late as it may. Quick and right by
construction, not the best.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from kitchend.core.plan import EquipmentId, StepId, Use, can_share
from kitchend.planning.critical_path import Link, paths
from kitchend.planning.model import Heating, Solution
from kitchend.planning.problem import Problem, Task
from kitchend.planning.room import Room


def listed_plan(problem: Problem) -> Solution:
    """A solution without any search; facts stay where they are."""
    plan = _List(problem)
    for task in in_order(problem):
        if not task.is_fact:
            plan.add(task)
    plan.move_to_pass()
    return plan.solution()


def in_order(problem: Problem) -> list[Task]:
    """The list: what may end latest comes last; a circle is cut where it is first met."""
    late = _latest(problem)
    known = {task.id for task in problem.tasks}
    befores = {task.id: _befores(task) & known for task in problem.tasks}
    done = {task.id for task in problem.tasks if task.is_fact}
    waiting = sorted((t for t in problem.tasks if not t.is_fact), key=lambda task: (late[task.id], task.id))
    ordered: list[Task] = []
    while waiting:
        task = next((task for task in waiting if done.issuperset(befores[task.id])), waiting[0])
        done.add(task.id)
        ordered.append(task)
        waiting.remove(task)
    return ordered


def _befores(task: Task) -> frozenset[StepId]:
    return frozenset(task.after) | ({task.during} if task.during is not None else set())


def _latest(problem: Problem) -> dict[StepId, int]:
    """Latest ends by order alone; a reminder is due when it is due. All alike where steps go in a circle."""
    durations = {task.id: task.length_s + task.before_pass_s for task in problem.tasks}
    links = [
        Link(before, task.id, problem.task(before).length_s)
        for task in problem.tasks
        for before in task.after
    ]
    try:
        latest = paths(durations, links, deadline=problem.horizon_s).latest
    except ValueError:
        return dict.fromkeys(durations, 0)
    return {
        task.id: latest[task.during or task.id] + (task.at_s if task.during else task.length_s)
        for task in problem.tasks
        if (task.during or task.id) in latest
    } | {task.id: 0 for task in problem.tasks if task.during is not None and task.during not in latest}


@dataclass(slots=True, kw_only=True)
class _Session:
    """An oven at one temperature: hot from `ready_s`, its last use out at `end_s`, None: it waits for its
    first.
    """

    celsius: list[float]
    ready_s: int
    end_s: int | None


@dataclass(slots=True)
class _Spot:
    """Where a task fits: its start, and the heatings before it if it needs any."""

    start_s: int
    heatings: list[Heating] = field(default_factory=list)


@dataclass(slots=True)
class _List:
    """What has its place so far: starts, hands and places taken, each oven's last session."""

    problem: Problem
    starts: dict[StepId, int] = field(init=False)
    heatings: list[Heating] = field(init=False, default_factory=list)
    _hands: Room = field(init=False)
    _rooms: dict[EquipmentId, Room] = field(init=False, default_factory=dict)
    _ovens: dict[EquipmentId, _Session] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        problem = self.problem
        facts = [task for task in problem.tasks if task.is_fact]
        self.starts = {task.id: task.start_s or 0 for task in facts}
        self._hands = Room(problem.pairs_of_hands)
        for name in dict.fromkeys(use.equipment for task in problem.tasks for use in task.uses):
            self._rooms[name] = Room(problem.places(name))
        for task in facts:
            self._hands.take(0, task.hands_until_s, 1)
            for use in task.uses:
                self._rooms[use.equipment].take(0, task.end_s, use.places)
        for hot in sorted(problem.hot, key=lambda hot: (hot.start_s, hot.end_s)):
            end = None if hot.waits else hot.end_s
            self._ovens[hot.oven] = _Session(celsius=[hot.celsius], ready_s=hot.ready_s, end_s=end)

    def add(self, task: Task) -> None:
        """Put a task where it fits first."""
        spot = self._fit(task, self._soonest(task))
        self.starts[task.id] = spot.start_s
        self._take(task, spot.start_s, 1)
        for use in task.uses:
            if use.at is not None:
                self._enter(task, use, spot)

    def _soonest(self, task: Task) -> int:
        problem = self.problem
        befores = [problem.task(step) for step in task.after if step in self.starts]
        ends = [self.starts[b.id] + b.length_s + problem.gap_s(b, task) for b in befores]
        moments = [0, *ends]
        if task.during is not None and task.during in self.starts:
            moments.append(self.starts[task.during] + task.at_s)
        return max(moments)

    def _fit(self, task: Task, start: int) -> _Spot:
        while True:
            found = self._free(task, start)
            spots = [self._heated(task, use, found) for use in task.uses if use.at is not None]
            moment = max([found, *(spot.start_s for spot in spots)])
            if moment == start:
                return _Spot(start, [heating for spot in spots for heating in spot.heatings])
            start = moment

    def _free(self, task: Task, start: int) -> int:
        """The first moment with hands and places."""
        hands = self._hands_s(task)
        while True:
            moment = self._hands.earliest(start, hands, 1)
            for use in task.uses:
                moment = self._rooms[use.equipment].earliest(moment, task.length_s, self._places(use))
            if moment == start:
                return start
            start = moment

    def _heated(self, task: Task, use: Use, start: int) -> _Spot:
        """The first moment from `start` at which the oven is hot, and the heating for it if one is needed."""
        preheat = self.problem.preheat_s(use.equipment)
        goal = use.at.celsius if use.at is not None else 0.0
        last = self._ovens.get(use.equipment)
        linger = self.problem.settings.linger_s
        is_near = last is not None and all(can_share(goal, celsius) for celsius in last.celsius)
        if (
            last is not None
            and is_near
            and (preheat == 0 or last.end_s is None or start <= last.end_s + linger)
        ):
            return _Spot(max(start, last.ready_s))
        if preheat == 0:
            return _Spot(start if last is None else max(start, last.end_s or last.ready_s))
        return self._heat(task, use, start, last, preheat)

    def _heat(self, task: Task, use: Use, start: int, last: _Session | None, preheat: int) -> _Spot:
        problem, answer = self.problem, self.problem.settings.answer_s
        goal = use.at.celsius if use.at is not None else 0.0
        free = 0 if last is None else max(0, last.ready_s if last.end_s is None else last.end_s)
        hands = problem.settings.heat_hands_s + answer
        for moment in (max(free, start - preheat - answer), free):
            at = self._hands.earliest(moment, hands, 1)
            is_cold = last is None or (last.end_s is not None and at > last.end_s + problem.settings.linger_s)
            takes = preheat if is_cold or last is None else problem.change_s(last.celsius[0], goal)
            ready = at + takes + answer
            if ready <= start <= ready + problem.settings.heat_wait_s or ready >= start:
                heating = Heating(task=task, use=use, start_s=at, length_s=takes, is_cold=is_cold)
                return _Spot(max(start, ready), [heating])
        return _Spot(start + 60)

    def _enter(self, task: Task, use: Use, spot: _Spot) -> None:
        """The oven's session with this use in it."""
        goal = use.at.celsius if use.at is not None else 0.0
        end = spot.start_s + task.length_s
        heating = next((one for one in spot.heatings if one.use == use), None)
        last = self._ovens.get(use.equipment)
        if heating is not None:
            self.heatings.append(heating)
            hands = self.problem.settings.heat_hands_s + self.problem.settings.answer_s
            self._hands.take(heating.start_s, heating.start_s + hands, 1)
        if last is None or heating is not None or not all(can_share(goal, c) for c in last.celsius):
            self._ovens[use.equipment] = _Session(celsius=[goal], ready_s=spot.start_s, end_s=end)
        else:
            last.celsius.append(goal)
            last.end_s = max(end, last.end_s or 0)

    def _take(self, task: Task, start: int, sign: int) -> None:
        self._hands.take(start, start + self._hands_s(task), sign)
        for use in task.uses:
            self._rooms[use.equipment].take(start, start + task.length_s, sign * self._places(use))

    def _hands_s(self, task: Task) -> int:
        """How long a task takes a pair of hands, the cook's answer included."""
        return task.hands_s + self.problem.settings.answer_s if task.hands_s > 0 else 0

    def _places(self, use: Use) -> int:
        """What is taken of more places than there are: all of them."""
        return min(use.places, self.problem.places(use.equipment))

    def _ready(self) -> int:
        """When the last thing ends, each dish seen from its own pass."""
        ends = [self.starts[task.id] + task.length_s + task.before_pass_s for task in self.problem.tasks]
        return max(ends, default=0)

    def _pass(self) -> int:
        return max(0, self.problem.serve_s or 0, self._ready())

    def move_to_pass(self) -> None:
        """If there is time to spare, everything not yet begun moves together; then each by itself, the last
        first.
        """
        spare = (self.problem.serve_s or 0) - self._ready()
        if spare > 0 and all(not task.is_fact for task in self.problem.tasks) and not self.problem.hot:
            self._shift(spare)
        free = [task for task in self.problem.tasks if not task.is_fact]
        for task in sorted(free, key=lambda task: (-self.starts[task.id] - task.length_s, task.id)):
            self._put_back(task)

    def _shift(self, by: int) -> None:
        for task in self.problem.tasks:
            self._take(task, self.starts[task.id], -1)
        self.starts = {step: at + by for step, at in self.starts.items()}
        hands = self.problem.settings.heat_hands_s + self.problem.settings.answer_s
        for heating in self.heatings:
            self._hands.take(heating.start_s, heating.start_s + hands, -1)
            self._hands.take(heating.start_s + by, heating.start_s + by + hands, 1)
        self.heatings = [replace(heating, start_s=heating.start_s + by) for heating in self.heatings]
        for task in self.problem.tasks:
            self._take(task, self.starts[task.id], 1)

    def _put_back(self, task: Task) -> None:
        """As late as it may: before what follows it, with hands and places; not what needs heat or has
        reminders.
        """
        hosts = {other.during for other in self.problem.tasks}
        if any(use.at is not None for use in task.uses) or task.during is not None or task.id in hosts:
            return
        here = self.starts[task.id]
        self._take(task, here, -1)
        self.starts[task.id] = self._latest_of(task, here)
        self._take(task, self.starts[task.id], 1)

    def _latest_of(self, task: Task, here: int) -> int:
        followers = [other for other in self.problem.tasks if task.id in other.after]
        limits = [self._pass() - task.before_pass_s - task.length_s]
        limits += [
            self.starts[other.id] - self.problem.gap_s(task, other) - task.length_s for other in followers
        ]
        start: int | None = min(limits)
        hands = self._hands_s(task)
        while start is not None and start > here:
            moment = self._hands.latest(start, here, hands, 1)
            for use in task.uses:
                room, places = self._rooms[use.equipment], self._places(use)
                moment = None if moment is None else room.latest(moment, here, task.length_s, places)
            if moment == start:
                return start
            start = moment
        return here

    def solution(self) -> Solution:
        """The starts and heatings, with what stands too long."""
        overruns = _overruns(self.problem, self.starts, self._pass())
        return Solution(
            starts=self.starts, pass_s=self._pass(), heatings=tuple(self.heatings), overruns_s=overruns
        )


def _overruns(problem: Problem, starts: dict[StepId, int], pass_s: int) -> dict[StepId, int]:
    """How much longer than it keeps each thing stands, or how much too late a reminder comes."""
    found: dict[StepId, int] = {}

    def note(step: StepId, over: int) -> None:
        if over > 0:
            found[step] = max(found.get(step, 0), over)

    for task in problem.tasks:
        if task.during is not None and not task.is_fact and task.during in starts:
            due = starts[task.during] + task.at_s + problem.settings.reminder_slack_s
            note(task.id, starts[task.id] - due)
        elif task.is_last and task.keeps_s is not None:
            note(task.id, pass_s - task.before_pass_s - starts[task.id] - task.length_s - task.keeps_s)
        for before in (problem.task(step) for step in task.after) if not task.is_fact else ():
            if before.during is None and before.keeps_s is not None:
                stands = starts[task.id] - starts[before.id] - before.length_s
                note(before.id, stands - max(before.keeps_s, problem.gap_s(before, task)))
    return found
