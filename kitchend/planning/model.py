"""The planner's own model of a dinner: from a Problem to starts and heatings. All rules of planning meet.

Hands first in a step and never more at once than there are cooks; equipment has its places; what must come
before comes before; nothing ends after the pass. Only lateness and standing beyond `keeps` may give, at a
price, so that a dinner that cannot be had still gets its best timeline.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass, field

from kitchend.core.plan import EquipmentId, StepId, Use
from kitchend.planning.earliest import earliest_of, earliest_pass
from kitchend.planning.ovens import Ways, add_ovens
from kitchend.planning.problem import Problem, Task, weight_of
from kitchend.planning.profile import Block, clamped
from kitchend.planning.solver import Found, Model, Range, Term, Var

_MOVE_WEIGHT = 1
_STILL_WEIGHT = 10
_HEAT_WEIGHT = 2
_REMINDER_WEIGHT = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Heating:
    """The heating put before a task: of which use, when it starts, how long it takes, whether from cold."""

    task: Task
    use: Use
    start_s: int
    length_s: int
    is_cold: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """When everything starts and the pass is, in seconds from the problem's origin.

    `gap` is how far the first wish not proved to be met at its best may be from it, as a part of what was
    found; 0 if all are proved, None if nothing is known. `overruns_s` is standing beyond `keeps`, or
    lateness of a mid-step reminder beyond its slack, by step.
    """

    starts: dict[StepId, int]
    pass_s: int
    heatings: tuple[Heating, ...] = ()
    overruns_s: dict[StepId, int] = field(default_factory=dict)
    gap: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """One of the wishes, as a sum to be made small; `least` is what it cannot be below, whatever is
    planned.
    """

    terms: list[Term]
    least: int | None = 0
    is_fine: bool = False


class DinnerModel:
    """The model of one problem, with its wishes."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.model = Model()
        self._horizon = problem.horizon_s
        earliest = earliest_of(problem)
        self.starts = {task.id: self._start(task, earliest[task.id]) for task in problem.tasks}
        self._pass = self.model.var(earliest_pass(problem, earliest), self._horizon)
        self._ways: tuple[Ways, ...] = add_ovens(self.model, problem, self.starts)
        self.overruns: list[tuple[StepId, int, Var]] = []
        self._standing: list[Term] = []
        self._early: list[Term] = []
        self._quiet: list[Var] = []
        for task in problem.tasks:
            self._add_order(task)
            self._add_reminder(task)
            self._add_pass(task)
        self._add_hands()
        self._add_equipment()
        self._moves = self._moved()
        self._close_calls = self._called_closely()

    def musts(self) -> list[Wish]:
        """What must not be, most important first: a late pass, standing too long, a call while hands are
        busy.

        Without a serving time standing comes first: nobody asked for a pass that spoils something.
        """
        serve = self.problem.serve_s
        late = Wish(terms=self.pass_terms, least=self._least(self.pass_terms))
        stale_terms = [(weight, over) for _, weight, over in self.overruns]
        stale = Wish(terms=stale_terms, least=self._least(stale_terms))
        busy = Wish(terms=[term for quiet in self._quiet for term in ((1, self.model.true), (-1, quiet))])
        ordered = [stale, late, busy] if serve is None else [late, stale, busy]
        return [wish for wish in ordered if wish.terms]

    @property
    def may_overrun(self) -> bool:
        """Whether anything in it could stand too long, or come late."""
        return bool(self.overruns)

    def likings(self) -> list[Wish]:
        """What should be small then: standing, calls close together, hot work early.

        Planned again, a step moves only for standing that is worth it, and never to be later for its own
        sake.
        """
        heating = [(_HEAT_WEIGHT, ways.entry.start) for ways in self._ways]
        heating += [(-_HEAT_WEIGHT, ways.entry.heat) for ways in self._ways]
        still = [(_STILL_WEIGHT * coeff, var) for coeff, var in self._moves]
        standing = Wish(terms=[*self._standing, *self._moves], least=None)
        late = Wish(terms=[*heating, *self._early, *still], least=None, is_fine=True)
        close = Wish(terms=self._close_calls, is_fine=True)
        return [wish for wish in (standing, close, late) if wish.terms]

    def without_trouble(self) -> AbstractContextManager[None]:
        """For a while, the pass is met, nothing stands too long, reminds too late, or is called while hands
        are busy; what has happened already may be amiss as far as it must be.
        """
        stood = [self.at_its_least(over) for *_, over in self.overruns]
        return self.model.within([*self.untroubled(), *stood])

    def untroubled(self) -> Iterator[Range]:
        """The pass as soon as it can be, and no call while hands are busy."""
        yield self.at_its_least(self._pass)
        yield from ((quiet, 1, 1) for quiet in self._quiet)

    def at_its_least(self, var: Var) -> Range:
        """The least a variable can be, whatever is planned."""
        least = self._least([(1, var)])
        return var, least, least

    def only_free(self, free: Collection[StepId], found: Found) -> AbstractContextManager[None]:
        """For a while, all steps but these start when they do in this answer."""
        rest = [var for step, var in self.starts.items() if step not in free and var.index is not None]
        return self.model.within([(var, found.of(var), found.of(var)) for var in rest])

    def starting_within(self, starts: Mapping[StepId, tuple[int, int]]) -> AbstractContextManager[None]:
        """For a while, these steps start between these moments."""
        return self.model.within([(self.starts[step], *ends) for step, ends in starts.items()])

    def forbid_trouble(self, late_s: int, but: StepId | None = None) -> None:
        """From here on nothing is late, stands too long or reminds too late by more than this; one step may
        stand.
        """
        if self.problem.serve_s is not None:
            self.keep(self.pass_terms, max(0, self.problem.serve_s) + late_s)
        for step, _, over in self.overruns:
            if step != but:
                self.keep([(1, over)], late_s)

    def overruns_of(self, step: StepId) -> list[Term]:
        """By how much a step's result stands too long before anything that follows."""
        return [(1, over) for of, _, over in self.overruns if of == step]

    @property
    def pass_terms(self) -> list[Term]:
        """The pass, as a sum."""
        return [(1, self._pass)]

    def minimize_most(self, terms: list[Term]) -> None:
        """Make the largest of the terms as small as it can be."""
        most = self.model.var(0, 4 * self._horizon)
        for coeff, var in terms:
            self.model.at_least([(1, most), (-coeff, var)], 0)
        self.model.minimize([(1, most)])

    def keep(self, terms: list[Term], most: int) -> None:
        """From here on the terms add up to `most` at the most."""
        self.model.at_least([(-coeff, var) for coeff, var in terms], -most)

    def solution(self, found: Found, gap: float | None = None) -> Solution:
        """A solver's answer in the words of the problem."""
        overruns: dict[StepId, int] = {}
        for step, _, var in self.overruns:
            overruns[step] = max(overruns.get(step, 0), found.of(var))
        return Solution(
            starts={step: found.of(var) for step, var in self.starts.items()},
            pass_s=found.of(self._pass),
            heatings=tuple(self._heatings(found)),
            overruns_s={step: over for step, over in overruns.items() if over > 0},
            gap=gap,
        )

    def hint(self, found: Found) -> None:
        """Let the next search begin at this answer."""
        self.model.hint(dict(enumerate(found.values)))

    def hint_starts(self, guess: Mapping[StepId, int]) -> None:
        """Let the first search begin at where the timeline before had things, else at a guess."""
        free = [task for task in self.problem.tasks if not task.is_fact]
        known = [
            (self.starts[task.id], guess.get(task.id) if task.was_s is None else task.was_s) for task in free
        ]
        self.model.hint({var.index: was for var, was in known if var.index is not None and was is not None})

    def _start(self, task: Task, earliest_s: int) -> Var:
        if task.start_s is not None:
            return Var(None, task.start_s)
        return self.model.var(earliest_s, self._horizon)

    def _least(self, terms: list[Term]) -> int:
        return self.model.range_of(terms)[0]

    def _end(self, task: Task) -> Var:
        return self.starts[task.id] + task.length_s

    def _add_order(self, task: Task) -> None:
        for before in (self.problem.task(step) for step in task.after):
            if task.is_fact:
                continue
            gap = self.problem.gap_s(before, task)
            self.model.not_before(self.starts[task.id], self._end(before) + gap)
            if before.during is None:
                self._add_standing(before, self.starts[task.id], gap)

    def _add_pass(self, task: Task) -> None:
        own_pass = self._pass - task.before_pass_s
        self.model.not_before(own_pass, self._end(task))
        if task.is_last:
            self._add_standing(task, own_pass, 0)

    def _add_standing(self, task: Task, until: Var, gap: int) -> None:
        weight = weight_of(task, self.problem)
        stands: list[Term] = [(1, until), (-1, self._end(task))]
        if task.uses or task.keeps_s is None:
            self._early += stands
        if task.keeps_s is not None:
            self._standing += [(weight * coeff, var) for coeff, var in stands]
            self._add_overrun(task, stands, max(task.keeps_s, gap), weight)

    def _add_overrun(self, task: Task, terms: list[Term], most: int, weight: int) -> None:
        least = max(0, self._least(terms) - most)
        over = self.model.var(least, least + 3 * self._horizon + abs(task.end_s))
        self.model.at_least([(1, over), *((-coeff, var) for coeff, var in terms)], -most)
        self.overruns.append((task.id, weight, over))

    def _add_reminder(self, task: Task) -> None:
        if task.during is None or task.is_fact:
            return
        due = self.starts[task.during] + task.at_s
        self.model.not_before(self.starts[task.id], due)
        late: list[Term] = [(1, self.starts[task.id]), (-1, due)]
        self._add_overrun(task, late, self.problem.settings.reminder_slack_s, _REMINDER_WEIGHT)
        self._standing += [(3 * coeff, var) for coeff, var in late]

    def _add_hands(self) -> None:
        answer, cooks = self.problem.settings.answer_s, self.problem.pairs_of_hands
        busy = [Block(0, task.hands_until_s, 1) for task in self.problem.tasks if task.is_fact]
        intervals = self._fixed(clamped(busy, cooks))
        for task in self.problem.tasks:
            if not task.is_fact and task.hands_s > 0:
                intervals.append((self.model.interval(self.starts[task.id], task.hands_s + answer), 1))
        hands = self.problem.settings.heat_hands_s
        for ways in self._ways:
            for literal, _ in ways.heated:
                interval = self.model.interval(ways.entry.heat, hands + answer, when=literal)
                intervals.append((interval, 1))
        self._add_capacity(intervals, cooks)
        self._add_interruptions(intervals, cooks)

    def _add_interruptions(self, hands: list[tuple[int, int]], cooks: int) -> None:
        """What needs no hands is called while a cook has none busy, or counts as an interruption.

        Hands take all the room there is for calls; one free cook leaves room for every call.
        """
        answer = self.problem.settings.answer_s
        calls = [task for task in self.problem.tasks if _is_bare_call(task)]
        if not hands or not calls or answer <= 0:
            return
        intervals = [(interval, demand * len(calls)) for interval, demand in hands]
        for task in calls:
            quiet = self.model.bool_var()
            intervals.append((self.model.interval(self.starts[task.id], answer, when=quiet), 1))
            self._quiet.append(quiet)
        self._add_capacity(intervals, cooks * len(calls))

    def _called_closely(self) -> list[Term]:
        """One for every call that has another within the half minute after it; to heat an oven is called
        too.
        """
        answer, apart_s = self.problem.settings.answer_s, self.problem.settings.apart_s
        calls = [task for task in self.problem.tasks if task.is_called and not task.is_fact]
        hands = [task.hands_s for task in calls] + [self.problem.settings.heat_hands_s for _ in self._ways]
        if self.problem.cooks == 1 and all(hands_s + answer >= apart_s for hands_s in hands):
            return []
        terms: list[Term] = []
        intervals = []
        for made, start in self._calls(calls):
            apart = self.model.bool_var()
            self.model.at_least([(1, made), (-1, apart)], 0)
            intervals.append(self.model.interval(start, apart_s, when=apart))
            terms += [(1, made), (-1, apart)]
        self.model.no_overlap(intervals)
        return terms

    def _calls(self, tasks: list[Task]) -> Iterator[tuple[Var, Var]]:
        """Whether each call is made, and when."""
        for task in tasks:
            yield self.model.true, self.starts[task.id]
        for ways in self._ways:
            for literal, _ in ways.heated:
                yield literal, ways.entry.heat

    def _add_equipment(self) -> None:
        for name in dict.fromkeys(use.equipment for task in self.problem.tasks for use in task.uses):
            places = self.problem.places(name)
            uses = [(task, min(use.places, places)) for task, use in self._uses_of(name)]
            if sum(count for _, count in uses) <= places:
                continue
            facts = [Block(0, task.end_s, count) for task, count in uses if task.is_fact]
            intervals = self._fixed(clamped(facts, places))
            for task, count in uses:
                if not task.is_fact and count > 0:
                    intervals.append((self.model.interval(self.starts[task.id], task.length_s), count))
            self._add_capacity(intervals, places)

    def _uses_of(self, name: EquipmentId) -> Iterator[tuple[Task, Use]]:
        for task in self.problem.tasks:
            for use in task.uses:
                if use.equipment == name and not task.is_over:
                    yield task, use

    def _fixed(self, blocks: list[Block]) -> list[tuple[int, int]]:
        return [
            (self.model.interval(Var(None, block.start_s), block.end_s - block.start_s), block.demand)
            for block in blocks
        ]

    def _add_capacity(self, intervals: list[tuple[int, int]], capacity: int) -> None:
        if capacity == 1:
            self.model.no_overlap([interval for interval, _ in intervals])
        else:
            demands = [demand for _, demand in intervals]
            self.model.cumulative([interval for interval, _ in intervals], demands, capacity)

    def _moved(self) -> list[Term]:
        moves = []
        for task in self.problem.tasks:
            if task.was_s is not None and task.was_s >= 0 and not task.is_fact:
                moved = self.model.var(0, 2 * self._horizon)
                self.model.at_least([(1, moved), (-1, self.starts[task.id])], -task.was_s)
                self.model.at_least([(1, moved), (1, self.starts[task.id])], task.was_s)
                moves.append((_MOVE_WEIGHT, moved))
        return moves

    def _heatings(self, found: Found) -> Iterator[Heating]:
        for ways in self._ways:
            task, use = ways.entry.task, ways.entry.use
            for literal, takes in ways.heated:
                if found.of(literal) and task is not None and use is not None:
                    is_cold = literal is ways.heated[-1][0]
                    start = found.of(ways.entry.heat)
                    yield Heating(task=task, use=use, start_s=start, length_s=takes, is_cold=is_cold)


def _is_bare_call(task: Task) -> bool:
    return task.is_called and not task.is_fact and task.hands_s == 0
