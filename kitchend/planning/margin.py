"""Planning for the chance the cook wants: how much more than their middle uncertain steps are given.

More is given until the chance is what was asked for, and no more: an uncertain centrepiece starts earlier and
rests longer, within what it keeps, while the sides stay where the pass wants them. Where now is not early
enough, or nothing keeps that long, the plan is as good as it can be and its chance the honest number.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from statistics import NormalDist

from kitchend.core.clock import Now
from kitchend.core.plan import Plan
from kitchend.core.state import DinnerState
from kitchend.planning.chance import DINNERS, DINNERS_OF_REST, Chance, chance_of
from kitchend.planning.chance_rows import TOO_LATE_S, Rows, rows_of
from kitchend.planning.margin_lengths import LEAST_Z, Lengths, given, given_to_rest, lengths_of
from kitchend.planning.outcome import Outcome
from kitchend.planning.problem import Problem
from kitchend.planning.settings import PlanningSettings

Solve = Callable[[Problem], Outcome]
CLOSE = 0.005
"""A chance this near to the one wanted is it."""
SOLVES = 4
"""So often a dinner is planned at most in search of its margin."""
_SEARCH_DINNERS = 4000
_HALVINGS = 12
_SAME_Z = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Sure:
    """A solved dinner with its margin and its chance."""

    outcome: Outcome
    margin_s: int
    chance: Chance


def wanted_chance(plan: Plan, settings: PlanningSettings) -> float:
    """How sure the cook wants to be of the pass: the plan's word, else the settings'."""
    return settings.chance if plan.chance is None else plan.chance


def planned_surely(problem: Problem, wanted: float, solve: Solve) -> Sure:
    """The dinner planned with the margin that gives the wanted chance, as near to it as can be."""
    lengths = lengths_of(problem)
    z = _first_z(lengths, wanted)
    best = sure = _at(problem, lengths.at(z), solve)
    for _ in range(SOLVES - 1):
        if lengths.widest is None or _misses(sure, wanted) <= CLOSE:
            break
        nearer = _better_z(sure.outcome, lengths.at(z), wanted)
        if abs(nearer - z) < _SAME_Z:
            break
        z = nearer
        sure = _at(problem, lengths.at(z), solve)
        best = min(best, sure, key=lambda one: _misses(one, wanted))
    return best


def rest_surely(problem: Problem, state: DinnerState, now: Now, wanted: float, solve: Solve) -> Sure:
    """The rest of a dinner with the margin it was begun with, and its chance from what is true now."""
    lengths = lengths_of(problem)
    if state.timeline is None:
        lengths = lengths.at(_first_z(lengths, wanted))
    else:
        lengths = lengths.with_margin(state.timeline.margin_s)
    rest, running = given_to_rest(problem, lengths, state, now)
    outcome = solve(rest)
    chance = chance_of(outcome, running, DINNERS_OF_REST)
    return Sure(outcome=outcome, margin_s=lengths.margin_s, chance=chance)


def _at(problem: Problem, lengths: Lengths, solve: Solve) -> Sure:
    outcome = solve(given(problem, lengths))
    return Sure(outcome=outcome, margin_s=lengths.margin_s, chance=chance_of(outcome, {}, DINNERS))


def _misses(sure: Sure, wanted: float) -> float:
    """How far from the wanted chance; being less sure is worse than being surer."""
    off = sure.chance.on_time - wanted
    return off if off >= 0 else -2 * off


def _first_z(lengths: Lengths, wanted: float) -> float:
    """What would do if only the most uncertain step were uncertain."""
    if (widest := lengths.widest) is None:
        return 0.0
    spread = lengths.spreads[widest]
    return lengths.at(spread.z_of(spread.at(NormalDist().inv_cdf(wanted)) - TOO_LATE_S)).z


def _better_z(outcome: Outcome, lengths: Lengths, wanted: float) -> float:
    """Where the chance would be as wanted if what comes before the pass only started sooner or later."""
    from kitchend.planning import chance_sampler as sampler

    rows = rows_of(outcome, {})
    drawn = sampler.draw(rows, _SEARCH_DINNERS)
    low, high = LEAST_Z, lengths.most_z
    before = _all_before(rows)
    for _ in range(_HALVINGS):
        z = (low + high) / 2
        ready = sampler.ready(rows, drawn, _sooner(rows, before, lengths, z))
        is_enough = float((ready <= rows.serve_s + TOO_LATE_S).mean()) >= wanted
        low, high = (low, z) if is_enough else (z, high)
    return high


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
