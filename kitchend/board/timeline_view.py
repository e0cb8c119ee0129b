"""The whole dinner as bars on a line: what was, what is on, what is planned. For the board to draw.

A bar is a step: when it began or will begin, until when its hands are needed, when it ends, how long it may
stand. What has happened stands where it happened, the rest where it is planned.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from kitchend.board.minding import cook_of_step
from kitchend.core.clock import Now, WallTime
from kitchend.core.passes import passes_of
from kitchend.core.plan import Step
from kitchend.core.progress import expected_end
from kitchend.core.quantities import show_temperature
from kitchend.core.state import DinnerState
from kitchend.core.status import dish_name
from kitchend.core.steps import StepState
from kitchend.core.timeline import Planned
from kitchend.core.tongue import of_state

Bar = dict[str, Any]


@of_state
def timeline_view(state: DinnerState, now: Now, words: Mapping[str, str]) -> dict[str, Any] | None:
    """Dishes with their lines of bars, equipment with its own; None while no dinner is on."""
    if state.plan is None or state.serve is None:
        return None
    bars = {step.id: bar for step in state.steps if (bar := _bar(state, step, now, words)) is not None}
    shown = [(step, bars[step.id]) for step in state.steps if step.id in bars]
    return {
        "passes": [one.at(state.serve).epoch_s for one in passes_of(state.plan)],
        "dishes": list(_dishes(state, shown)),
        "lanes": list(_lanes(state, shown)),
    }


def _bar(state: DinnerState, step: Step, now: Now, words: Mapping[str, str]) -> Bar | None:
    planned = state.timeline.of(step.id) if state.timeline is not None else None
    times = _times(state, step, planned, now)
    if times is None:
        return None
    start, end = times
    where = state.state_of(step.id)
    stands_s = planned.stands_s if planned is not None else 0
    return {
        "id": step.id,
        "name": step.name,
        "start": round(start.epoch_s),
        "end": round(max(start.epoch_s, end.epoch_s)),
        "hands": round(min(start.epoch_s + step.hands_s, max(start.epoch_s, end.epoch_s))),
        "stands": stands_s,
        "state": where.value,
        "state_words": words[f"state.{where.value}"],
        "decides": planned is not None and planned.is_critical,
        "cook": cook_of_step(state, step),
    }


def _times(
    state: DinnerState, step: Step, planned: Planned | None, now: Now
) -> tuple[WallTime, WallTime] | None:
    record = state.record_of(step.id)
    began = record.on_at or record.called_at
    match record.state:
        case StepState.WAITING:
            return None if planned is None else (planned.start, planned.end)
        case StepState.DONE | StepState.DROPPED:
            if record.ended_at is None or (began is None and record.state is StepState.DROPPED):
                return None
            return now.wall_of(began or record.ended_at), now.wall_of(record.ended_at)
        case StepState.CALLED:
            length_s = step.takes.high_s if planned is None else planned.end - planned.start
            return now.wall, now.wall + length_s
        case _:
            return now.wall_of(began or now.instant), now.wall_of(expected_end(state, step, now))


def _dishes(state: DinnerState, shown: Sequence[tuple[Step, Bar]]) -> Iterator[dict[str, Any]]:
    """A dish after the other, in each a line a name: repeats share theirs."""
    dishes: dict[str, dict[str, list[Bar]]] = {}
    for step, bar in shown:
        dishes.setdefault(dish_name(state, step), {}).setdefault(step.name, []).append(bar)
    for dish, lines in dishes.items():
        yield {"name": dish, "lines": [{"name": name, "bars": bars} for name, bars in lines.items()]}


def _lanes(state: DinnerState, shown: Sequence[tuple[Step, Bar]]) -> Iterator[dict[str, Any]]:
    for item in state.plan.equipment if state.plan is not None else ():
        bars = [
            {
                "name": bar["name"],
                "start": bar["start"],
                "end": bar["end"],
                "places": use.places,
                "at": None if use.at is None else show_temperature(use.at),
                "state": bar["state"],
            }
            for step, bar in shown
            for use in step.uses
            if use.equipment == item.id
        ]
        if bars:
            yield {"name": item.name, "places": item.places, "bars": bars}
