"""The one door to CP-SAT: integer variables, linear rows, intervals, no-overlap, cumulative, one objective.

No kitchen word may enter. OR-Tools' own modelling layer pulls in pandas (40 MB and a fifth of a second for
nothing used here), so the model is written into its protobuf through `cp_model_helper`, the compiled half
of OR-Tools. It is imported when the first model is made. One worker and a fixed seed: the same model
gives the same answer.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from enum import Enum
from typing import Any

_INFINITE = 2**62
_ROUNDING = 1e-6


class Way(Enum):
    """How to search, by what is minimised."""

    LENGTH = "length"
    """The end of the last of many: proved best sooner without linear relaxation."""
    SUM = "sum"
    """A sum of many terms, when little is known: with linear relaxation."""
    REFINED_SUM = "refined sum"
    """The same with an answer as a hint: proved best sooner with strong propagation."""
    SMALL_SUM = "small sum"
    """The same in a small model, where cuts and propagating long rows apart cost more than they save."""
    QUEUE_SUM = "queue sum"
    """The same where most stretches come one after the other: then short searches prove much."""
    SUM_FROM_BELOW = "sum from below"
    """A sum that should be nothing at all: the least it can be is looked for from below."""
    SUM_AGAIN = "sum again"
    """The same where most is decided: simplifying the model costs more than the search."""
    MOMENT_AGAIN = "moment again"
    """One moment made as early as it can be where most is decided: searched from the earliest on."""


@dataclass(frozen=True, slots=True)
class Var:
    """An integer variable plus a constant; without an index only the constant."""

    index: int | None
    offset: int = 0

    def __add__(self, seconds: int) -> Var:
        return Var(self.index, self.offset + seconds)

    def __sub__(self, seconds: int) -> Var:
        return Var(self.index, self.offset - seconds)


Term = tuple[int, Var]
"""A coefficient and what it multiplies."""
Range = tuple[Var, int, int]
"""A variable, the least and the most it may be."""


class Model:
    """A constraint model that is built once and may be searched several times."""

    def __init__(self) -> None:
        from ortools.sat.python import cp_model_helper

        self._sat: Any = cp_model_helper
        self._proto: Any = cp_model_helper.CpModelProto()
        self._ends: list[tuple[int, int]] = []
        self._true: Var | None = None
        self.spent = 0.0
        """Effort of all searches so far."""

    def var(self, low: int, high: int) -> Var:
        """A new integer variable in [low, high]."""
        self._proto.variables.add().domain.extend([low, high])
        self._ends.append((low, high))
        return Var(len(self._ends) - 1)

    def bool_var(self) -> Var:
        """A new variable that is 0 or 1."""
        return self.var(0, 1)

    @property
    def true(self) -> Var:
        """A literal that always holds."""
        if self._true is None:
            self._true = self.var(1, 1)
        return self._true

    def range_of(self, terms: Iterable[Term]) -> tuple[int, int]:
        """The least and the most a sum can be, as far as its variables alone say."""
        indices, coeffs, constant = _flat(terms)
        low = high = constant
        for index, coeff in zip(indices, coeffs, strict=True):
            least, most = self._ends[index] if coeff > 0 else reversed(self._ends[index])
            low, high = low + coeff * least, high + coeff * most
        return low, high

    @contextmanager
    def within(self, ranges: Iterable[Range]) -> Iterator[None]:
        """For a while, these variables are between these values."""
        before = []
        for var, low, high in ranges:
            before.append((_index(var), self._ends[_index(var)]))
            self._put_between(_index(var), low, high)
        try:
            yield
        finally:
            for index, was in reversed(before):
                self._put_between(index, *was)

    def _put_between(self, index: int, low: int, high: int) -> None:
        domain = self._proto.variables[index].domain
        domain.clear()
        domain.extend([low, high])
        self._ends[index] = (low, high)

    def at_least(self, terms: Iterable[Term], low: int, *, when: Sequence[Var] = ()) -> None:
        """The terms add up to `low` or more, whenever all of `when` hold."""
        indices, coeffs, constant = _flat(terms)
        linear = self._constraint(when).linear
        linear.vars.extend(indices)
        linear.coeffs.extend(coeffs)
        linear.domain.extend([low - constant, _INFINITE])

    def not_before(self, later: Var, earlier: Var, *, when: Sequence[Var] = ()) -> None:
        """`later` is at or after `earlier`, whenever all of `when` hold."""
        if later.index is None or earlier.index is None or later.index == earlier.index:
            self.at_least([(1, later), (-1, earlier)], 0, when=when)
            return
        # Half of all rows are such: written without adding terms up first.
        linear = self._constraint(when).linear
        linear.vars.extend((later.index, earlier.index))
        linear.coeffs.extend((1, -1))
        linear.domain.extend((earlier.offset - later.offset, _INFINITE))

    def exactly_one(self, literals: Sequence[Var]) -> None:
        """One of the literals holds and no other."""
        self._constraint(()).exactly_one.literals.extend([_index(literal) for literal in literals])

    def not_all(self, literals: Sequence[Var]) -> None:
        """At least one of the literals does not hold."""
        self._constraint(()).bool_or.literals.extend([-_index(literal) - 1 for literal in literals])

    def interval(self, start: Var, size: int, *, when: Var | None = None) -> int:
        """A stretch of `size` from `start`, there only if `when` holds; its number for the rows below."""
        row = self._constraint(() if when is None else (when,))
        interval = row.interval
        _expression(interval.start, start)
        _expression(interval.end, start + size)
        interval.size.offset = size
        return len(self._proto.constraints) - 1

    def no_overlap(self, intervals: Sequence[int]) -> None:
        """No two of these stretches have a moment in common."""
        self._constraint(()).no_overlap.intervals.extend(list(intervals))

    def cumulative(self, intervals: Sequence[int], demands: Sequence[int], capacity: int) -> None:
        """At no moment do the stretches there together demand more than the capacity."""
        row = self._constraint(()).cumulative
        row.intervals.extend(list(intervals))
        for demand in demands:
            row.demands.add().offset = demand
        row.capacity.offset = capacity

    def minimize(self, terms: Iterable[Term]) -> None:
        """Replace the objective."""
        indices, coeffs, constant = _flat(terms)
        self._proto.clear_objective()
        self._proto.objective.offset = constant
        self._proto.objective.vars.extend(indices)
        self._proto.objective.coeffs.extend(coeffs)

    def hint(self, values: Mapping[int, int]) -> None:
        """Where the next search should look first: values by variable index."""
        self._proto.clear_solution_hint()
        self._proto.solution_hint.vars.extend(list(values))
        self._proto.solution_hint.values.extend(list(values.values()))

    def solve(self, *, effort: float, seconds: float, way: Way = Way.SUM) -> Found | None:
        """The best solution within the limits, or None if there is none (or none was found)."""
        response = self._response(effort, seconds, way)
        status = self._sat.CpSolverStatus
        if response.status not in (status.OPTIMAL, status.FEASIBLE):
            return None
        is_proved = response.status == status.OPTIMAL
        bound = response.objective_value if is_proved else response.best_objective_bound
        return Found(tuple(response.solution), is_proved, math.ceil(bound - _ROUNDING))

    def can_be(self, *, effort: float, seconds: float) -> bool | None:
        """Whether there is any solution, None if that was not found out within the limits."""
        self._proto.clear_objective()
        response = self._response(effort, seconds, Way.SUM)
        status = self._sat.CpSolverStatus
        answers = {status.OPTIMAL: True, status.FEASIBLE: True, status.INFEASIBLE: False}
        return answers.get(response.status)

    def _response(self, effort: float, seconds: float, way: Way) -> Any:
        parameters = self._sat.SatParameters()
        _search_by(parameters, way)
        parameters.num_workers = 1
        parameters.random_seed = 7
        parameters.max_deterministic_time = effort
        parameters.max_time_in_seconds = seconds
        # Else it takes Ctrl-C from the program for good: its handler leaves the system's default behind.
        parameters.catch_sigint_signal = False
        wrapper = self._sat.SolveWrapper()
        wrapper.set_parameters(parameters)
        response = wrapper.solve(self._proto)
        self.spent += response.deterministic_time
        return response

    def _constraint(self, when: Sequence[Var]) -> Any:
        row = self._proto.constraints.add()
        if when:
            row.enforcement_literal.extend([_index(literal) for literal in when])
        return row


@dataclass(frozen=True, slots=True)
class Found:
    """A solution: the value of each variable by index, whether nothing better exists, and what none is
    below.
    """

    values: tuple[int, ...]
    is_proved: bool
    bound: int = 0

    def of(self, var: Var) -> int:
        """What an expression comes to in this solution."""
        return var.offset + (0 if var.index is None else self.values[var.index])

    def total(self, terms: Iterable[Term]) -> int:
        """What a sum of terms comes to in this solution."""
        return sum(coeff * self.of(var) for coeff, var in terms)


_LINEAR = {Way.LENGTH: 0, Way.MOMENT_AGAIN: 0, Way.SUM_FROM_BELOW: 1}
"""How much of the model is relaxed to linear rows, where it is not all of it."""


def _search_by(parameters: Any, way: Way) -> None:
    """What is set for a way to search; each was measured."""
    parameters.linearization_level = _LINEAR.get(way, 2)
    refined = (Way.REFINED_SUM, Way.SMALL_SUM, Way.QUEUE_SUM, Way.SUM_FROM_BELOW, Way.SUM_AGAIN)
    parameters.use_strong_propagation_in_disjunctive = way in refined
    if way is not Way.LENGTH:
        # Trying out single values beforehand costs such small models more than it saves.
        parameters.cp_model_probing_level = 0
    if way not in (Way.LENGTH, Way.SUM, Way.REFINED_SUM):
        _spare(parameters)
    if way in (Way.SUM_AGAIN, Way.MOMENT_AGAIN):
        parameters.cp_model_presolve = False
    if way is Way.SUM_AGAIN:
        # What no longer fits the hint is found out soon enough by searching on.
        parameters.hint_conflict_limit = 0
    parameters.use_objective_lb_search = way in (Way.SUM_FROM_BELOW, Way.MOMENT_AGAIN)
    # From below conflicts are best explained by whole numbers, else by what else took part in them.
    parameters.use_new_integer_conflict_resolution = way is Way.SUM_FROM_BELOW
    if way is Way.QUEUE_SUM:
        parameters.also_bump_variables_in_conflict_reasons = True
        parameters.inprocessing_dtime_ratio = 0.0


def _spare(parameters: Any) -> None:
    """Leave out what costs a small model more than it saves: cuts, looking for symmetry, simplifying twice,
    and two kinds of propagation.
    """
    parameters.cut_level = 0
    parameters.new_linear_propagation = False
    parameters.use_precedences_in_disjunctive_constraint = False
    parameters.max_presolve_iterations = 1
    parameters.symmetry_level = 0
    parameters.find_big_linear_overlap = False


def _flat(terms: Iterable[Term]) -> tuple[list[int], list[int], int]:
    sums: dict[int, int] = {}
    constant = 0
    for coeff, var in terms:
        constant += coeff * var.offset
        if var.index is not None:
            sums[var.index] = sums.get(var.index, 0) + coeff
    return list(sums), list(sums.values()), constant


def _index(literal: Var) -> int:
    if literal.index is None or literal.offset:
        raise ValueError("a literal is a variable of its own")
    return literal.index


def _expression(row: Any, var: Var) -> None:
    row.offset = var.offset
    if var.index is not None:
        row.vars.append(var.index)
        row.coeffs.append(1)
