"""Why a dinner cannot be had as asked, in words, and what would help.

A cause is named only if planning again without it made the trouble go away; a later pass is offered only if
planning for it worked. Where nothing tried helps, what would have to keep longer is said. What a cook has to
do without is never guessed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from kitchend.core.clock import WallTime
from kitchend.core.plan import Equipment, StepId, Use
from kitchend.core.quantities import Temperature, show_duration
from kitchend.core.timeline import Conflict
from kitchend.planning.model import Solution
from kitchend.planning.outcome import Outcome, outcome_of, whole_minute
from kitchend.planning.problem import Problem, Task, can_share
from kitchend.planning.solving import least_bad

_MOST_MORE = 2
"""So many more pairs of hands are tried; who has none to spare is not helped by hearing of three."""
_COUNT_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


@dataclass(frozen=True, slots=True, kw_only=True)
class Relief:
    """One thing a kitchen might have more of: what is short, what would help, and the problem with it."""

    cause: str
    change: str
    problem: Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """How far a solution is from what was asked: seconds late, seconds stood too long."""

    late_s: int
    over_s: int

    @property
    def is_none(self) -> bool:
        """Whether all is as asked."""
        return self.late_s == 0 and self.over_s == 0


def conflicts_of(outcome: Outcome, origin: WallTime) -> tuple[Conflict, ...]:
    """What cannot be had in a dinner that has not begun; every suggestion was tried by planning again."""
    found = list(_too_little(outcome.problem))
    trouble = _trouble(outcome.problem, outcome.solution)
    if not trouble.is_none:
        reliefs = tuple(_what_helps(outcome.problem))
        later = _later_pass(outcome.problem, origin)
        found += _lateness(outcome, trouble, reliefs, later)
        found += _standing(outcome, reliefs, later)
    return tuple(found)


def conflicts_of_rest(outcome: Outcome, origin: WallTime) -> tuple[Conflict, ...]:
    """What cannot be had any more in a dinner that is on: only what the timeline itself shows, at once."""
    found = list(_too_little(outcome.problem))
    if outcome.late_s >= outcome.problem.settings.explain_from_s:
        ready = whole_minute(origin + outcome.ready_s)
        message = f"dinner is {show_duration(_minutes(outcome.late_s))} behind"
        found.append(Conflict(message=message, change=f"the pass at {ready.time_of_day}"))
    found += _standing(outcome, (), None)
    return tuple(found)


def _too_little(problem: Problem) -> Iterator[Conflict]:
    """Steps that ask for more places than there are."""
    for task in problem.tasks:
        for use in task.uses:
            places = problem.place(use.equipment).places
            if use.places > places and not task.is_fact:
                name = problem.place(use.equipment).name
                message = f"{task.step.name} needs {use.places} places of the {name}, which has {places}"
                yield Conflict(message=message, change=f"{_count(use.places)} places of the {name} in all")


def _trouble(problem: Problem, solution: Solution | None) -> Trouble:
    if solution is None:
        return Trouble(late_s=problem.horizon_s, over_s=problem.horizon_s)
    least = problem.settings.explain_from_s
    late = outcome_of(problem, solution).late_s
    over = sum(seconds for seconds in solution.overruns_s.values() if seconds >= least)
    return Trouble(late_s=late if late >= least else 0, over_s=over)


def _what_helps(problem: Problem) -> Iterator[Relief]:
    """The reliefs that make all trouble go away, each by itself; no more of a thing than it takes."""
    for choices in _reliefs(problem):
        for relief in choices:
            if _trouble(relief.problem, least_bad(relief.problem)).is_none:
                yield relief
                break


def _reliefs(problem: Problem) -> Iterator[Iterable[Relief]]:
    """For each thing that may be short, what more of it would be, least first."""
    yield (_hands_relief(problem, more) for more in range(1, _MOST_MORE + 1))
    if any(use.at is not None for task in problem.tasks for use in task.uses):
        yield from ((relief,) for relief in _oven_reliefs(problem))
    for item in problem.equipment:
        if _wanted(problem, item) > item.places:
            yield (_place_relief(problem, item),)


def _hands_relief(problem: Problem, more: int) -> Relief:
    cooks = problem.cooks
    hands = "the cook is" if cooks == 1 else f"all {_count(cooks)} cooks are"
    return Relief(
        cause=f"{hands} wanted in {_count(more + 1)} places at once",
        change=f"{_count(more)} more pair{'s' * (more > 1)} of hands",
        problem=replace(problem, cooks=cooks + more),
    )


def _place_relief(problem: Problem, item: Equipment) -> Relief:
    more = replace(item, places=item.places + 1)
    equipment = tuple(more if other.id == item.id else other for other in problem.equipment)
    return Relief(
        cause=f"the {item.name} is full",
        change=f"one more place in the {item.name}",
        problem=replace(problem, equipment=equipment),
    )


def _oven_reliefs(problem: Problem) -> Iterator[Relief]:
    for item in problem.equipment:
        pair = _unlike_pair(problem, item)
        if pair is not None:
            (one, one_at), (other, other_at) = pair
            yield Relief(
                cause=f"the {item.name} is wanted at {one_at.degrees:g} to {one.step.name} "
                f"and at {other_at.degrees:g} to {other.step.name}",
                change=f"a second {item.name}, or both at one temperature",
                problem=_at_one_temperature(problem, item, one_at),
            )


def _unlike_pair(
    problem: Problem, item: Equipment
) -> tuple[tuple[Task, Temperature], tuple[Task, Temperature]] | None:
    uses = [
        (task, use.at) for task in problem.tasks for use in task.uses if use.equipment == item.id and use.at
    ]
    for place, (one, one_at) in enumerate(uses):
        for other, other_at in uses[place + 1 :]:
            if not can_share(one_at.celsius, other_at.celsius):
                return (one, one_at), (other, other_at)
    return None


def _at_one_temperature(problem: Problem, item: Equipment, at: Temperature) -> Problem:
    """The same dinner with everything in this oven at one temperature."""

    def alike(use: Use) -> Use:
        return replace(use, at=at) if use.equipment == item.id and use.at is not None else use

    tasks = tuple(replace(task, uses=tuple(alike(use) for use in task.uses)) for task in problem.tasks)
    return replace(problem, tasks=tasks)


def _wanted(problem: Problem, item: Equipment) -> int:
    return sum(use.places for task in problem.tasks for use in task.uses if use.equipment == item.id)


def _later_pass(problem: Problem, origin: WallTime) -> WallTime | None:
    """The earliest pass at which nothing is late or stands too long, if there is one."""
    free = replace(problem, serve_s=None)
    solution = least_bad(free)
    if solution is None or not _trouble(free, solution).is_none:
        return None
    return whole_minute(origin + solution.pass_s)


def _lateness(
    outcome: Outcome, trouble: Trouble, reliefs: tuple[Relief, ...], later: WallTime | None
) -> Iterator[Conflict]:
    if trouble.late_s == 0:
        return
    late = show_duration(_minutes(trouble.late_s))
    if reliefs:
        causes = "; ".join(relief.cause for relief in reliefs[:2])
        message = f"dinner would be {late} late: {causes}"
    else:
        message = f"dinner would be {late} late: {_no_time(outcome)}"
    yield Conflict(message=message, change=_change(reliefs, later))


def _no_time(outcome: Outcome) -> str:
    """The chain that decides, against the time there is."""
    problem = outcome.problem
    begins, ends = _longest(outcome.tasks)
    serve = max(0, problem.serve_s or 0)
    needed = _length_to({task.id: task for task in outcome.tasks}, ends.id)
    if needed <= serve:
        return f"there is too much to do in the {show_duration(_minutes_down(serve))} to the pass"
    what = begins.step.name if begins.id == ends.id else f"from “{begins.step.name}” to “{ends.step.name}”"
    takes = show_duration(_minutes(needed))
    return f"{what} takes {takes} and the pass is in {show_duration(_minutes_down(serve))}"


def _longest(tasks: Iterable[Task]) -> tuple[Task, Task]:
    """The first and the last step of the longest chain, by order alone."""
    known = {task.id: task for task in tasks}
    best = max(known, key=lambda step: (_length_to(known, step), step))
    first = best
    while known[first].after:
        first = max(known[first].after, key=lambda step: (_length_to(known, step), step))
    return known[first], known[best]


def _length_to(known: dict[StepId, Task], step: StepId) -> int:
    """Seconds from now to the end of a step by order alone; facts end when they end."""
    ends: dict[StepId, int] = {}
    stack = [step]
    while stack:
        task = known[stack[-1]]
        open_ones = [before for before in task.after if before not in ends]
        if open_ones and len(stack) <= len(known):
            stack.extend(open_ones)
            continue
        start = max([0, *(ends.get(before, 0) for before in task.after)])
        ends[stack.pop()] = task.end_s if task.is_fact else start + task.length_s
    return ends[step]


def _standing(outcome: Outcome, reliefs: tuple[Relief, ...], later: WallTime | None) -> Iterator[Conflict]:
    least = outcome.problem.settings.explain_from_s
    for step, seconds in outcome.solution.overruns_s.items():
        task = outcome.problem.task(step)
        if seconds < least or task.is_over:
            continue
        cause = f": {reliefs[0].cause}" if reliefs else ""
        change = _change(reliefs, later) or _keeping(task, seconds)
        yield Conflict(message=f"{_stands(task, seconds)}{cause}", change=change)


def _stands(task: Task, over_s: int) -> str:
    if task.during is not None:
        return f"“{task.step.name}” comes {show_duration(_minutes(over_s))} later than it should"
    keeps = show_duration(task.keeps_s or 0)
    stands = show_duration(_minutes((task.keeps_s or 0) + over_s))
    return f"after “{task.step.name}” it stands {stands} and keeps {keeps}"


def _keeping(task: Task, over_s: int) -> str | None:
    if task.during is not None:
        return None
    keeps = show_duration(_minutes((task.keeps_s or 0) + over_s))
    return f"what comes of “{task.step.name}” keeping for {keeps}"


def _change(reliefs: tuple[Relief, ...], later: WallTime | None) -> str | None:
    changes = [relief.change for relief in reliefs[:2]]
    if later is not None:
        changes.append(f"the pass at {later.time_of_day}")
    return ", or ".join(changes) or None


def _count(number: int) -> str:
    return _COUNT_WORDS[number] if 0 <= number < len(_COUNT_WORDS) else str(number)


def _minutes(seconds: int) -> int:
    """Seconds rounded up to a whole minute."""
    return -(-seconds // 60) * 60


def _minutes_down(seconds: int) -> int:
    """Seconds rounded down to a whole minute."""
    return seconds // 60 * 60


Explain = Callable[[Outcome, WallTime], tuple[Conflict, ...]]
"""How a timeline's conflicts are found."""
