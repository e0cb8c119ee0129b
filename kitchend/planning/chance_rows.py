"""A solved dinner laid out for sampling: its tasks in the order they are worked in, with what each waits for.

Only what decides when things end is kept, by place in the row instead of by name. Facts come first, as they
are; the rest follows by planned start, which puts everything behind what it waits for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kitchend.core.plan import EquipmentId, StepId
from kitchend.planning.chance_spread import Spread, spread_of
from kitchend.planning.cooks import cooks_of
from kitchend.planning.outcome import Outcome
from kitchend.planning.problem import Task

TOO_LATE_S = 300
"""On time is everything at the pass at most this long after it. Early is never late: it waits, and keeps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One task. `release_s` is its planned start, before which it is not called.

    `length_s` is the planned length, of what is on what is left of it. `ends_itself`: no word of the cook is
    needed for what follows (heating, resting). `starts_itself`: nobody is called for it. `shift_s` is time
    given or held, for what is on. `cook` is whose hands.
    """

    step: StepId
    release_s: int
    length_s: int
    spread: Spread | None
    hands_s: int
    cook: int
    after: tuple[int, ...]
    during: int | None
    at_s: int
    uses: tuple[tuple[EquipmentId, int], ...]
    before_pass_s: int
    is_hands_only: bool
    starts_itself: bool
    ends_itself: bool
    is_on: bool
    hands_until_s: int
    shift_s: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """The tasks in order, the pass, the room there is. `answer_s` is what is planned between a thing and the
    next.
    """

    rows: tuple[Row, ...]
    serve_s: int
    places: Mapping[EquipmentId, int]
    answer_s: int

    @property
    def uncertain(self) -> tuple[int, ...]:
        """The places of what may take another time than planned."""
        return tuple(place for place, row in enumerate(self.rows) if row.spread is not None)


def rows_of(outcome: Outcome) -> Rows:
    """The dinner's rows, without what is over."""
    tasks = [task for task in outcome.tasks if not task.is_over]
    tasks.sort(key=lambda t: (not t.is_fact, outcome.starts[t.id], t.length_s, t.id))
    place_of = {task.id: place for place, task in enumerate(tasks)}
    cooks = cooks_of(tasks, outcome.starts, outcome.problem)
    followed = {before for task in tasks for before in task.after}
    serve = outcome.problem.serve_s
    names = dict.fromkeys(use.equipment for task in tasks for use in task.uses)
    return Rows(
        rows=tuple(_row(outcome, task, place_of, cooks[task.id], task.id in followed) for task in tasks),
        serve_s=outcome.ready_s if serve is None else serve,
        places={name: outcome.problem.places(name) for name in names},
        answer_s=outcome.problem.settings.answer_s,
    )


def _row(
    outcome: Outcome,
    task: Task,
    place_of: Mapping[StepId, int],
    cook: int,
    is_followed: bool,
) -> Row:
    """One row; what cannot come before it in the order (facts may break any rule) is left out."""
    step, place = task.step, place_of[task.id]
    is_plain = step.until is None and not step.takes.is_guess
    before = (*task.after, *(step.after if step.added else ()))
    host = place_of.get(task.during) if task.during is not None else None
    return Row(
        step=task.id,
        release_s=outcome.starts[task.id],
        length_s=task.length_s if task.shift_s is None else max(0, task.end_s),
        spread=spread_of(step),
        hands_s=task.hands_s,
        cook=cook,
        after=tuple(place_of[other] for other in before if place_of.get(other, place) < place),
        during=host if host is not None and host < place else None,
        at_s=task.at_s,
        uses=tuple((use.equipment, use.places) for use in task.uses if use.places > 0),
        before_pass_s=task.before_pass_s,
        is_hands_only=step.is_hands_only,
        starts_itself=not task.is_called,
        ends_itself=step.added or (not task.is_called and is_plain and is_followed),
        is_on=task.shift_s is not None,
        hands_until_s=task.hands_until_s,
        shift_s=task.shift_s or 0,
    )
