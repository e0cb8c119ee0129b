"""Planning for the chance the cook wants: how much more than their middle uncertain steps are given.

More is given until the chance is what was asked for, and no more: an uncertain centrepiece starts earlier and
rests longer, within what it keeps, while the sides stay where the pass wants them. Where now is not early
enough, or nothing keeps that long, the plan is as good as it can be and its chance the honest number.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from statistics import NormalDist

from kitchend.core.clock import Now
from kitchend.core.plan import Plan
from kitchend.core.state import DinnerState
from kitchend.planning.chance import DINNERS_OF_REST, Chance, chance_of
from kitchend.planning.chance_rows import TOO_LATE_S, Rows, rows_of
from kitchend.planning.margin_lengths import LEAST_Z, Lengths, given, lengths_of
from kitchend.planning.outcome import Outcome, outcome_of
from kitchend.planning.problem import Problem
from kitchend.planning.settings import PlanningSettings
from kitchend.planning.solving import solved
from kitchend.planning.tasks import problem_of_rest, tasks_of_rest, with_forecasts

CLOSE, CLOSE_IN_DRAFT = 0.005, 0.01
"""A chance this near to the one wanted is it."""
SOLVES = 2
DRAFTS = 3
DRAFT_EFFORT = 0.03
"""So often a dinner is planned at most in search of its margin, and drafted with so much effort before."""
_SEARCH_DINNERS = 4000
_HALVINGS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Sure:
    """A solved dinner with its margin and its chance."""

    outcome: Outcome
    margin_s: int
    chance: Chance


@dataclass(frozen=True, slots=True, kw_only=True)
class _Try:
    """A plan and the lengths it was made with."""

    lengths: Lengths
    sure: Sure


@dataclass(frozen=True, slots=True, kw_only=True)
class _Search:
    """How often to try, and how near is near enough."""

    tries: int
    close: float


def wanted_chance(plan: Plan, settings: PlanningSettings) -> float:
    """How sure the cook wants to be of the pass: the plan's word, else the settings'."""
    return settings.chance if plan.chance is None else plan.chance


def planned_surely(problem: Problem, wanted: float) -> Sure:
    """The dinner planned with the margin that gives the wanted chance, as near to it as can be.

    Where there is no time for that margin, the one there is time for: a late plan puts everything back.
    """
    lengths = lengths_of(problem.tasks)
    if lengths.widest is None:
        return _at(problem, lengths)
    found = _with_margin(problem, lengths, wanted)
    shorter = found.lengths.shorter_by(found.sure.outcome.late_s)
    if shorter.z >= found.lengths.z:
        return found.sure
    return min(found.sure, _at(problem, shorter), key=lambda sure: _misses(sure, wanted))


def _with_margin(problem: Problem, lengths: Lengths, wanted: float) -> _Try:
    drafts = _Search(tries=DRAFTS, close=CLOSE_IN_DRAFT)
    drafted = _searched(_drafts(problem), _first(lengths, wanted), wanted, drafts)
    if drafted.sure.outcome.solution.gap == 0.0:
        return replace(drafted, sure=_settled(drafted.sure, problem))
    solves = _Search(tries=SOLVES, close=CLOSE)
    return _searched(partial(_at, problem), drafted.lengths, wanted, solves)


def _searched(plan: Callable[[Lengths], Sure], lengths: Lengths, wanted: float, search: _Search) -> _Try:
    """The best of a few plans, each with a margin that should have done in the one before."""
    best: _Try | None = None
    for _ in range(search.tries):
        found = _Try(lengths=lengths, sure=plan(lengths))
        best = found if best is None else min(best, found, key=lambda one: _misses(one.sure, wanted))
        if _misses(found.sure, wanted) <= search.close:
            break
        nearer = _better(found.sure.outcome, lengths, wanted)
        if nearer.z == lengths.z:
            break
        lengths = nearer
    assert best is not None
    return best


def _drafts(problem: Problem) -> Callable[[Lengths], Sure]:
    """Plans made with less effort: good enough to see what a margin does, and often the best there is."""
    settings = problem.settings
    effort = min(settings.effort, DRAFT_EFFORT)
    return partial(_at, replace(problem, settings=replace(settings, effort=effort)))


def _settled(sure: Sure, problem: Problem) -> Sure:
    """A draft that cannot be bettered, as if made with all effort."""
    own = replace(sure.outcome.problem, settings=problem.settings)
    return replace(sure, outcome=replace(sure.outcome, problem=own))


def rest_surely(state: DinnerState, now: Now, settings: PlanningSettings, wanted: float) -> Sure:
    """The rest of a dinner with the margin it was begun with, and its chance from what is true now."""
    written = tasks_of_rest(state)
    begun = lengths_of(written)
    if state.timeline is None:
        begun = _first(begun, wanted)
    else:
        begun = begun.with_margin(state.timeline.margin_s)
    # The margin is told by the plan's own ranges; what a forecast made surer is given as many deviations.
    tasks = with_forecasts(state, written)
    lengths = begun if tasks == written else lengths_of(tasks).at(begun.z)

    def at(lengths: Lengths) -> Sure:
        rest = problem_of_rest(state, now, settings, given(tasks, lengths))
        outcome = outcome_of(rest, solved(rest))
        return Sure(outcome=outcome, margin_s=begun.margin_s, chance=chance_of(outcome, DINNERS_OF_REST))

    sure = at(lengths)
    late_s = sure.outcome.late_s
    if late_s <= 0 or tasks == written:
        return sure
    # A forecast moves all the time: what only its margin makes late is not late yet.
    shorter = lengths.at(min(lengths.z, max(0.0, lengths.shorter_by(late_s).z)))
    return min(sure, at(shorter), key=lambda one: max(0, one.outcome.late_s))


def _at(problem: Problem, lengths: Lengths) -> Sure:
    longer = replace(problem, tasks=given(problem.tasks, lengths))
    outcome = outcome_of(longer, solved(longer))
    return Sure(outcome=outcome, margin_s=lengths.margin_s, chance=chance_of(outcome))


def _misses(sure: Sure, wanted: float) -> float:
    """How far from the wanted chance; being less sure is worse than being surer."""
    off = sure.chance.on_time - wanted
    return off if off >= 0 else -2 * off


def _first(lengths: Lengths, wanted: float) -> Lengths:
    """What would do if only the most uncertain step were uncertain."""
    if (widest := lengths.widest) is None:
        return lengths
    spread = lengths.spreads[widest]
    return lengths.at(spread.z_of(spread.at(NormalDist().inv_cdf(wanted)) - TOO_LATE_S))


def _better(outcome: Outcome, lengths: Lengths, wanted: float) -> Lengths:
    """Where the chance would be as wanted if what comes before the pass only started sooner or later."""
    from kitchend.planning import chance_sampler as sampler

    rows = rows_of(outcome)
    drawn = sampler.draw(rows, _SEARCH_DINNERS)
    low, high = LEAST_Z, lengths.most_z
    before = _all_before(rows)
    for _ in range(_HALVINGS):
        z = (low + high) / 2
        ready = sampler.ready(rows, drawn, _sooner(rows, before, lengths, z))
        is_enough = float((ready <= rows.serve_s + TOO_LATE_S).mean()) >= wanted
        low, high = (low, z) if is_enough else (z, high)
    return lengths.at(high)


def _sooner(rows: Rows, before: Mapping[int, frozenset[int]], lengths: Lengths, z: float) -> list[float]:
    """How much sooner each row starts with another `z`: what is given more, and all that comes before it."""
    other = lengths.at(z)
    more = {p: other.given_s(rows.rows[p].step) - lengths.given_s(rows.rows[p].step) for p in rows.uncertain}
    moved = [
        [more[p] for p in rows.uncertain if place == p or place in before[p]]
        for place in range(len(rows.rows))
    ]
    return [max(some, default=0.0) for some in moved]


def _all_before(rows: Rows) -> dict[int, frozenset[int]]:
    """Everything each row waits for, all the way back, and the reminders in it."""
    found: dict[int, frozenset[int]] = {}
    for place, row in enumerate(rows.rows):
        direct = row.after
        found[place] = frozenset(direct).union(*(found[other] for other in direct))
    for place, row in enumerate(rows.rows):
        if row.during is not None:
            for other, all_before in found.items():
                if other == row.during or row.during in all_before:
                    found[other] = all_before | {place}
    return found
