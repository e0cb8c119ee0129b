"""Why a dinner cannot be had as asked, in words, and what would help.

The words name the smallest set of things that collide; every change offered was proved by planning with it.
For the rest of a dinner that is on there is no time for either: there the timeline's own trouble is said, at
once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from kitchend.core.clock import WallTime
from kitchend.core.papers import written_duration, written_places
from kitchend.core.plan import EquipmentId, StepId
from kitchend.core.timeline import Conflict
from kitchend.core.wording import clause, said_list
from kitchend.planning.changes import all_longer, changes_of
from kitchend.planning.collisions import Judge, Of, Want, collision_of
from kitchend.planning.outcome import Outcome
from kitchend.planning.problem import Problem, Task
from kitchend.planning.several import Collision, changes_together, collisions_of
from kitchend.planning.words import count_of, minutes_down, minutes_up, quoted, whole_minute

_FRESH_S = 10 * 60
"""What keeps no longer than this has to be fresh."""

SEVERAL_PART = 0.6
"""So much of what effort is left may go into collisions beside the first."""

Explain = Callable[[Outcome, WallTime], tuple[Conflict, ...]]
"""How a timeline's conflicts are found."""


def conflicts_of(outcome: Outcome, origin: WallTime) -> tuple[Conflict, ...]:
    """What cannot be had in a dinner that has not begun; every change was tried by planning again."""
    problem = outcome.problem
    found = list(_too_little(problem))
    trouble = [*_late(outcome), *_standing(outcome)]
    if trouble:
        judge = Judge(problem.settings.explain_effort)
        collision = collision_of(problem, judge)
        changes = changes_of(problem, collision, judge, origin)
        if not changes and (several := list(_several(outcome, collision, judge.part(SEVERAL_PART), origin))):
            return (*found, *several)
        changes = changes or all_longer(problem, outcome.solution.overruns_s, judge)
        why = _said(outcome, collision, origin)
        more = clause("clash.more", count=count_of(len(trouble) - 1)) if len(trouble) > 1 else ""
        shows = f"{_shown_by(outcome, collision) or trouble[0]}{more}"
        found.append(Conflict(message=f"{shows}: {why}" if why else shows, changes=changes))
    return tuple(found)


def _several(outcome: Outcome, first: Collision, judge: Judge, origin: WallTime) -> Iterator[Conflict]:
    """Where no one change helps: each collision by itself, with what mends all of them together."""
    collisions = collisions_of(outcome.problem, first, judge)
    if len(collisions) > 1 and (changes := changes_together(outcome.problem, collisions, judge, origin)):
        for collision in collisions:
            why, shows = _said(outcome, collision, origin), _shown_by(outcome, collision)
            yield Conflict(message=f"{shows}: {why}" if shows else why, changes=changes)


def _shown_by(outcome: Outcome, collision: Collision) -> str:
    """What of the timeline's trouble comes of this collision; nothing where another thing suffers for it."""
    if Want(Of.PASS) in collision:
        return next(_late(outcome), "")
    keeping = {want.step for want in collision if want.of is Of.KEEPS}
    return next((_stands(task, over) for task, over in _stale(outcome) if task.id in keeping), "")


def conflicts_of_rest(outcome: Outcome, origin: WallTime) -> tuple[Conflict, ...]:
    """What cannot be had any more in a dinner that is on: only what the timeline itself shows, at once."""
    found = list(_too_little(outcome.problem))
    if outcome.late_s >= outcome.problem.settings.explain_from_s:
        ready = whole_minute(origin + outcome.ready_s)
        message = clause("clash.behind", time=written_duration(minutes_up(outcome.late_s)))
        change = clause("help.pass", at=f"{ready.time_of_day}")
        found.append(Conflict(message=message, changes=(change,)))
    for task, over in _stale(outcome):
        keeps = written_duration(minutes_up((task.keeps_s or 0) + over))
        change = clause("help.what.keeps", step=task.step.name, time=keeps)
        changes = () if task.during is not None else (change,)
        found.append(Conflict(message=_stands(task, over), changes=changes))
    return tuple(found)


def _too_little(problem: Problem) -> Iterator[Conflict]:
    """Steps that ask for more places than there are."""
    for task in problem.tasks:
        for use in task.uses:
            places = problem.places(use.equipment)
            if use.places > places and not task.is_fact:
                name = problem.place(use.equipment).name
                wanted, has = f"{use.places}", f"{places}"
                message = clause("clash.places", step=task.step.name, wanted=wanted, item=name, has=has)
                change = clause("help.in.all", count=count_of(use.places), item=name)
                yield Conflict(message=message, changes=(change,))


def _late(outcome: Outcome) -> Iterator[str]:
    if outcome.late_s >= outcome.problem.settings.explain_from_s:
        yield clause("clash.late", time=written_duration(minutes_up(outcome.late_s)))


def _standing(outcome: Outcome) -> Iterator[str]:
    yield from (_stands(task, over) for task, over in _stale(outcome))


def _stale(outcome: Outcome) -> list[tuple[Task, int]]:
    """What stands too long, or reminds too late, by more than is worth words; the worst first."""
    least = outcome.problem.settings.explain_from_s
    found = [(outcome.problem.task(step), over) for step, over in outcome.solution.overruns_s.items()]
    return sorted(
        ((task, over) for task, over in found if over >= least and not task.is_over),
        key=lambda pair: (-pair[1], pair[0].id),
    )


def _stands(task: Task, over_s: int) -> str:
    if task.during is not None:
        late = written_duration(minutes_up(over_s))
        return clause("clash.reminds", step=task.step.name, time=late)
    keeps = written_duration(task.keeps_s or 0)
    stands = written_duration(minutes_up((task.keeps_s or 0) + over_s))
    return clause("clash.stands", step=task.step.name, time=stands, keeps=keeps)


def _said(outcome: Outcome, collision: Sequence[Want], origin: WallTime) -> str:
    """The collision as one sentence: who wants what, what has to be fresh, when the pass is."""
    problem = outcome.problem
    if not collision:
        return ""
    if all(want.of in (Of.PASS, Of.USE) for want in collision) and _is_alone(collision):
        return _no_time(outcome)
    parts = [*_wanted(problem, collision), *_fresh(problem, collision, origin)]
    if Want(Of.PASS) in collision:
        parts.append(clause("clash.pass", at=f"{(origin + (problem.serve_s or 0)).time_of_day}"))
    return ", ".join(parts[:-1]) + clause("clash.last", last=parts[-1]) if len(parts) > 1 else parts[0]


def _is_alone(collision: Sequence[Want]) -> bool:
    """Whether no two of these want the same: then it is the time alone that is short."""
    shared = [want.equipment for want in collision]
    return Want(Of.PASS) in collision and len(shared) == len(set(shared))


def _wanted(problem: Problem, collision: Sequence[Want]) -> Iterator[str]:
    """Equipment and hands, each with the steps that want it."""
    for name in dict.fromkeys(want.equipment for want in collision if want.equipment is not None):
        yield _equipment(problem, name, _tasks(problem, collision, Of.USE, name))
    hands = _tasks(problem, collision, Of.HANDS)
    if hands:
        steps = said_list([clause("clash.to", step=task.step.name) for task in hands])
        if problem.cooks <= 2:
            yield clause("clash.cook" if problem.cooks == 1 else "clash.cooks.both", steps=steps)
        else:
            yield clause("clash.cooks", count=count_of(problem.cooks), steps=steps)


def _tasks(
    problem: Problem, collision: Sequence[Want], of: Of, equipment: EquipmentId | None = None
) -> list[Task]:
    steps = {want.step for want in collision if want.of is of and want.equipment == equipment}
    return [task for task in problem.tasks if task.id in steps]


def _equipment(problem: Problem, name: EquipmentId, tasks: Sequence[Task]) -> str:
    item = problem.place(name)
    heats: dict[str, list[str]] = {}
    for task in tasks:
        use = next(use for use in task.uses if use.equipment == name)
        at = "" if use.at is None else f"{use.at.degrees:g}"
        heats.setdefault(at, []).append(clause("clash.to", step=task.step.name))
    wants = said_list([_at_heat(at, said_list(steps)) for at, steps in heats.items()])
    if len(heats) > 1 or len(tasks) <= 1:
        return clause("clash.wanted", item=item.name, wants=wants)
    places = written_places(item, count_of(item.places))
    return clause("clash.wanted.places", item=item.name, places=places, wants=wants)


def _at_heat(degrees: str, steps: str) -> str:
    return clause("clash.at", degrees=degrees, steps=steps) if degrees else steps


def _fresh(problem: Problem, collision: Sequence[Want], origin: WallTime) -> Iterator[str]:
    """What has to be fresh at the pass, and what else keeps too short."""
    kept = _tasks(problem, collision, Of.KEEPS)
    fresh = [task for task in kept if task.is_last and (task.keeps_s or 0) <= _FRESH_S]
    when = clause("clash.the.pass")
    if problem.serve_s is not None:
        when = str((origin + problem.serve_s).time_of_day)
    if fresh:
        steps = said_list([quoted(task) for task in fresh])
        if len(fresh) > 2:
            yield clause("clash.fresh.all", steps=steps, count=count_of(len(fresh)), at=when)
        else:
            yield clause("clash.fresh" if len(fresh) == 1 else "clash.fresh.both", steps=steps, at=when)
    others = [task for task in kept if task not in fresh]
    if others:
        times = [(task.step.name, written_duration(task.keeps_s or 0)) for task in others]
        yield said_list([clause("clash.keeps", step=step, time=time) for step, time in times])


def _no_time(outcome: Outcome) -> str:
    """The chain that decides, against the time there is."""
    problem = outcome.problem
    begins, ends = _longest(outcome.tasks)
    serve = max(0, problem.serve_s or 0)
    needed = _length_to({task.id: task for task in outcome.tasks}, ends.id)
    if needed <= serve:
        return clause("clash.much", time=written_duration(minutes_down(serve)))
    what = begins.step.name
    if begins.id != ends.id:
        what = clause("clash.from.to", first=what, last=ends.step.name)
    takes = written_duration(minutes_up(needed))
    return _against_pass(what, takes, problem.serve_s or 0)


def _against_pass(what: str, takes: str, serve_s: int) -> str:
    if serve_s == 0:
        return clause("clash.takes.now", what=what, takes=takes)
    if serve_s < 0:
        time = written_duration(minutes_up(-serve_s))
        return clause("clash.takes.past", what=what, takes=takes, time=time)
    return clause("clash.takes.in", what=what, takes=takes, time=written_duration(minutes_down(serve_s)))


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
