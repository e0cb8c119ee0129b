"""Changes that would each make a dinner work, cheapest first. Every one was proved by planning with it.

Whatever helps has to break the collision, so only what takes part in it is tried: a later pass, one thing
that may stand longer, more places, more hands, a dish less. Where no single change helps, `several` looks
for more collisions; where that does not help either, everything that would have to keep longer is said
together. What the cook has to do without is never guessed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from kitchend.core.clock import WallTime
from kitchend.core.papers import written_duration
from kitchend.core.plan import DishId, EquipmentId, PlaceWord, StepId, can_share
from kitchend.core.wording import clause
from kitchend.planning.collisions import Judge, Of, Want
from kitchend.planning.model import DinnerModel
from kitchend.planning.problem import Problem, Task
from kitchend.planning.words import count_of, minutes_up, whole_minute

_MOST_MORE = 2
"""So many more pairs of hands are tried; who has none to spare is not helped by hearing of three."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A change in words, and what it makes of a problem."""

    words: str
    made: Callable[[Problem], Problem]


def changes_of(
    problem: Problem, collision: Sequence[Want], judge: Judge, origin: WallTime
) -> tuple[str, ...]:
    """The changes that each make the whole dinner work, cheapest first."""
    found: list[Change] = []
    if Want(Of.PASS) in collision:
        found += later(problem, judge, origin)
    found += changes_of_wants(problem, collision, judge)
    return tuple(change.words for change in found)


def changes_of_wants(problem: Problem, collision: Sequence[Want], judge: Judge) -> list[Change]:
    """Those of them that leave the pass where it is."""
    found = [*_longer(problem, collision, judge), *_roomier(problem, collision, judge)]
    if any(want.of is Of.HANDS for want in collision):
        found += _handier(problem, judge)
    return [*found, *_fewer(problem, collision, judge)]


def later(problem: Problem, judge: Judge, origin: WallTime) -> Iterator[Change]:
    """The earliest pass, on a whole minute, at which nothing is late or stands too long."""
    model = DinnerModel(replace(problem, serve_s=None))
    model.forbid_trouble(problem.settings.explain_from_s - 1)
    model.model.minimize(model.pass_terms)
    found = judge.least(model)
    if found is None:
        return
    serve = whole_minute(origin + found.total(model.pass_terms))
    late = written_duration(minutes_up(round(serve - origin) - (problem.serve_s or 0)))
    words = clause("help.later", at=f"{serve.time_of_day}", late=late)
    change = Change(words=words, made=partial(replace, serve_s=round(serve - origin)))
    if judge.can_be(change.made(problem)):
        yield change


def _longer(problem: Problem, collision: Sequence[Want], judge: Judge) -> Iterator[Change]:
    """One thing that may stand longer, by no more than it takes; the least of them first."""
    found = []
    for want in collision:
        if want.of is Of.KEEPS and want.step is not None:
            more = _least_more(problem, problem.task(want.step), judge)
            if more is not None:
                change = _keeping(problem, {want.step: more})
                if judge.can_be(change.made(problem)):
                    found.append((more, change))
    yield from (change for _, change in sorted(found, key=lambda pair: pair[0]))


def _least_more(problem: Problem, task: Task, judge: Judge) -> int | None:
    """By how much this one would have to keep longer, all else being as asked; None if that does not help."""
    model = DinnerModel(problem)
    model.forbid_trouble(problem.settings.explain_from_s - 1, but=task.id)
    model.minimize_most(model.overruns_of(task.id))
    found = judge.least(model)
    return None if found is None else max(found.total([term]) for term in model.overruns_of(task.id))


def _keeping(problem: Problem, more_s: Mapping[StepId, int]) -> Change:
    """The problem with these keeping longer, to a whole minute."""
    keeps = {step: minutes_up((problem.task(step).keeps_s or 0) + more) for step, more in more_s.items()}

    def made(problem: Problem) -> Problem:
        tasks = (replace(t, keeps_s=keeps[t.id]) if t.id in keeps else t for t in problem.tasks)
        return replace(problem, tasks=tuple(tasks))

    words = [
        clause("help.keeps", step=problem.task(step).step.name, time=written_duration(s))
        for step, s in keeps.items()
    ]
    return Change(words=clause("help.and").join(words), made=made)


def _roomier(problem: Problem, collision: Sequence[Want], judge: Judge) -> Iterator[Change]:
    """One more place, or a second oven for what wants another temperature."""
    for name in dict.fromkeys(want.equipment for want in collision if want.equipment is not None):
        steps = [want.step for want in collision if want.equipment == name]
        tasks = [task for task in problem.tasks if task.id in steps]
        choices = [_second(problem, name, task) for task in tasks] if _differ(tasks, name) else []
        for change in [_one_more(problem, name), *choices]:
            if judge.can_be(change.made(problem)):
                yield change
                break


def _differ(tasks: Sequence[Task], oven: EquipmentId) -> bool:
    """Whether these want the oven at temperatures that cannot share it."""
    heats = [use.at.celsius for task in tasks for use in task.uses if use.equipment == oven and use.at]
    return any(not can_share(one, other) for one in heats for other in heats)


def _one_more(problem: Problem, name: EquipmentId) -> Change:
    item = problem.place(name)
    more = replace(item, places=item.places + 1)

    def made(problem: Problem) -> Problem:
        others = tuple(other for other in problem.equipment if other.id != name)
        return replace(problem, equipment=(*others, more))

    is_whole = item.places == 1 and item.word is PlaceWord.PLACES
    words = clause("help.second" if is_whole else f"help.{item.word.value}", item=item.name)
    return Change(words=words, made=made)


def _second(problem: Problem, name: EquipmentId, task: Task) -> Change:
    """The same dinner with another such oven, one place in it, for this step alone."""
    item = problem.place(name)
    other = replace(item, id=EquipmentId(f"{name} 2"))
    uses = tuple(replace(use, equipment=other.id) if use.equipment == name else use for use in task.uses)

    def made(problem: Problem) -> Problem:
        tasks = tuple(replace(one, uses=uses) if one.id == task.id else one for one in problem.tasks)
        return replace(problem, tasks=tasks, equipment=(*problem.equipment, other))

    return Change(words=clause("help.second.to", item=item.name, step=task.step.name), made=made)


def _handier(problem: Problem, judge: Judge) -> Iterator[Change]:
    for more in range(1, _MOST_MORE + 1):
        words = clause("help.pair" if more == 1 else "help.pairs", count=count_of(more))
        change = Change(words=words, made=partial(replace, cooks=problem.cooks + more))
        if judge.can_be(change.made(problem)):
            yield change
            return


def _fewer(problem: Problem, collision: Sequence[Want], judge: Judge) -> Iterator[Change]:
    """Doing without one of the dishes that take part, unless it is the only one. Where the time alone is
    too short, any may.
    """
    steps = {want.step for want in collision if want.step is not None}
    part = {task.step.dish for task in problem.tasks if task.id in steps or not steps}
    for dish in problem.dishes:
        change = Change(words=clause("help.without", dish=dish.name), made=partial(_without, dish=dish.id))
        if dish.id in part and (left := change.made(problem)).tasks and judge.can_be(left):
            yield change


def _without(problem: Problem, dish: DishId) -> Problem:
    """The problem without a dish; what was the last before it is now brought to the pass itself."""
    gone = {task.id for task in problem.tasks if task.step.dish == dish and not task.is_fact}
    left = [task for task in problem.tasks if task.id not in gone and task.during not in gone]
    tasks = [replace(task, after=tuple(step for step in task.after if step not in gone)) for task in left]
    followed = {step for task in tasks if task.during is None for step in task.after}
    ends = tuple(
        replace(task, is_last=task.is_last or (task.during is None and task.id not in followed))
        for task in tasks
    )
    return replace(problem, tasks=ends)


def all_longer(problem: Problem, overruns_s: Mapping[StepId, int], judge: Judge) -> tuple[str, ...]:
    """All that stands too long in the best timeline there is, keeping as long as it stands there."""
    least = problem.settings.explain_from_s
    known = {task.id: task for task in problem.tasks}
    more = {step: over for step, over in overruns_s.items() if over >= least and known[step].during is None}
    change = _keeping(problem, more)
    return (change.words,) if more and judge.can_be(change.made(problem)) else ()
