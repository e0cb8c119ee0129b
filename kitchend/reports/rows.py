"""A timeline's steps with every name they need, earliest first: what tables, charts and pictures show.

Names are looked up here once; nothing is chosen, planned or formatted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kitchend.core.papers import written_day
from kitchend.core.plan import Dish, Equipment, EquipmentId, Plan, Step, StepId, Use
from kitchend.core.quantities import show_temperature
from kitchend.core.timeline import Hold, Planned, Timeline, WaitsFor
from kitchend.core.wording import clause


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A step, its planned times, the name of what it belongs to, what it takes ("oven at 180 C x2").

    `waits` says what it waits for ("oven: roast the duck"), `cook` whose hands it needs; empty where there is
    nothing to say.
    """

    step: Step
    dish: str
    planned: Planned
    equipment: tuple[str, ...]
    waits: str = ""
    cook: str = ""

    @property
    def hands_end_s(self) -> float:
        """When the hands' share is over, in seconds since 1970."""
        return self.planned.start.epoch_s + self.step.hands_s


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Rows that belong together: a dish's, or, for what kitchend added, a piece of equipment's."""

    name: str
    dish: Dish | None
    rows: tuple[Row, ...]


def rows_of(plan: Plan, timeline: Timeline) -> list[Row]:
    """The timeline's steps with their names, earliest first."""
    steps: dict[StepId, Step] = {step.id: step for step in (*plan.iter_steps(), *timeline.added)}
    dishes = {dish.id: dish.name for dish in plan.dishes}
    names = {item.id: item.name for item in plan.equipment}
    rows = []
    for planned in timeline.planned:
        step = steps[planned.step]
        of = next((names[use.equipment] for use in step.uses if use.equipment in names), str(step.dish))
        rows.append(
            Row(
                step=step,
                dish=dishes.get(step.dish, of),
                planned=planned,
                equipment=tuple(_use(use, names.get(use.equipment, use.equipment)) for use in step.uses),
                waits=_waits(planned.waits_for, steps, names),
                cook=cook_name(plan, planned.cook) if step.hands_s else "",
            )
        )
    return rows


def groups_of(plan: Plan, rows: list[Row]) -> list[Group]:
    """The rows dish by dish in the order of the plan, then what kitchend added, by its equipment."""
    dishes = {dish.id: dish for dish in plan.dishes}
    groups = [
        Group(name=dish.name, dish=dish, rows=tuple(row for row in rows if row.step.dish == dish.id))
        for dish in plan.dishes
    ]
    others = dict.fromkeys(row.dish for row in rows if row.step.dish not in dishes)
    groups += [Group(name=name, dish=None, rows=_added_to(name, rows, plan)) for name in others]
    return [group for group in groups if group.rows]


def lanes_of(plan: Plan, rows: list[Row]) -> list[Equipment]:
    """The equipment that the rows use, in the order of the plan."""
    used = {use.equipment for row in rows for use in row.step.uses}
    known = {item.id for item in plan.equipment}
    return [
        *(item for item in plan.equipment if item.id in used),
        *(Equipment(id=one, name=one) for one in sorted(used - known)),
    ]


def uses_of(rows: list[Row], equipment: EquipmentId) -> list[tuple[Row, Use]]:
    """Who takes this equipment, and how much of it."""
    return [(row, use) for row in rows for use in row.step.uses if use.equipment == equipment]


def days_of(rows: Sequence[Row]) -> dict[StepId, str]:
    """The steps that are the first of their day, with its name; empty where all begin on one day."""
    days: dict[str, StepId] = {}
    for row in rows:
        days.setdefault(written_day(row.planned.start), row.step.id)
    return {first: day for day, first in days.items()} if len(days) > 1 else {}


def cook_name(plan: Plan, cook: int) -> str:
    """A cook as shown: the name the plan gives, else "cook 2"; empty where there is only one."""
    if plan.cooks < 2:
        return ""
    return plan.cook_names[cook] if cook < len(plan.cook_names) else clause("row.cook", n=f"{cook + 1}")


def _added_to(name: str, rows: list[Row], plan: Plan) -> tuple[Row, ...]:
    dishes = {dish.id for dish in plan.dishes}
    return tuple(row for row in rows if row.dish == name and row.step.dish not in dishes)


def _waits(waits: WaitsFor | None, steps: dict[StepId, Step], names: dict[EquipmentId, str]) -> str:
    if waits is None:
        return ""
    step = steps[waits.step].name if waits.step in steps else ""
    match waits.hold:
        case Hold.STEP:
            return step
        case Hold.HANDS:
            return f"{clause('row.hands')}: {step}" if step else clause("row.hands")
        case Hold.EQUIPMENT:
            of = (
                clause("row.room") if waits.equipment is None else names.get(waits.equipment, waits.equipment)
            )
            return f"{of}: {step}" if step else of
        case Hold.PASS:
            return clause("row.pass")
        case Hold.NOW:
            return clause("row.now")


def _use(use: Use, name: str) -> str:
    if use.at is not None:
        name = clause("row.use.at", name=name, degrees=show_temperature(use.at))
    return clause("row.use.places", name=name, n=f"{use.places}") if use.places > 1 else name
