"""A plan file in, a Plan or every complaint about it out.

The file is read in three passes: keys and values where they stand, then names looked up across all dishes,
then the rules of a whole plan. All three run to the end, so one run shows all there is to mend.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

import yaml

from kitchend.core.plan import Dish, DishId, EquipmentId, Plan, StepId
from kitchend.core.plan_faults import problems_of
from kitchend.core.quantities import parse_chance, parse_time_of_day
from kitchend.core.tongue import DEFAULT, speaking
from kitchend.core.wording import clause
from kitchend.errors import PlanError, Problem
from kitchend.files.complaints import Complaints, Spot, echo, readable
from kitchend.files.cooks import read_cooks
from kitchend.files.doubts import Doubter
from kitchend.files.equipment import WrittenEquipment, read_equipment
from kitchend.files.languages import language_of, parse_language
from kitchend.files.linking import Linked, link_steps
from kitchend.files.names import bare, folded, slug
from kitchend.files.nodes import load_nodes
from kitchend.files.sayings import doubt_sayings, read_sayings
from kitchend.files.section import Section
from kitchend.files.steps import WrittenStep, read_also, read_step

PLAN_KEYS = ("plan", "serve", "people", "cooks", "chance", "language", "equipment", "dishes", "say")
DISH_KEYS = ("dish", "also", "steps")
MOST_STEPS = 200
MOST_DISHES = 40
MOST_PEOPLE = 500
"""Far beyond what one kitchen calls; they bound what a check costs."""

_PLAN_WORDS = {"name": "wrong.is.plan", "serves": "wrong.is.people", "servings": "wrong.is.people"}
_DISH_WORDS = {"name": "wrong.is.dish", "step": "wrong.is.steps"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What came of reading one file. `plan` is None if there are problems; warnings may come with either."""

    file: str
    plan: Plan | None
    problems: tuple[Problem, ...] = ()
    warnings: tuple[Problem, ...] = ()
    linked: Linked = field(default_factory=Linked, compare=False, repr=False)
    equipment: Mapping[EquipmentId, Spot] = field(default_factory=dict, compare=False, repr=False)

    @property
    def is_ok(self) -> bool:
        """Whether the plan can be cooked."""
        return self.plan is not None

    def doubt(self, where: StepId | EquipmentId, key: str, message: str, hint: str) -> Problem:
        """A doubt of whoever looks at the plan later, with the place of a step's key or of equipment."""
        spot = self.equipment.get(EquipmentId(where)) or self.linked.spot(StepId(where), key)
        return Problem(
            file=self.file,
            line=spot.line,
            column=spot.column,
            field=readable(spot.field),
            message=readable(message),
            hint=readable(hint),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _WrittenDish:
    section: Section
    name: str
    also: tuple[str, ...]
    steps: tuple[WrittenStep, ...]


def read_plan(path: Path | str) -> Plan:
    """The plan in a file. Raises PlanError with every problem of the file."""
    checked = check_plan(path)
    if checked.plan is None:
        raise PlanError(checked.problems)
    return checked.plan


def check_plan(path: Path | str) -> Checked:
    """Everything wrong or doubtful in a file, and the plan if nothing is wrong. Raises nothing."""
    try:
        root = load_nodes(Path(path))
    except PlanError as error:
        return Checked(file=error.problems[0].file, plan=None, problems=error.problems)
    complaints = Complaints(str(path))
    with speaking(language_of(root)):
        read = _read_root(root, complaints)
    problems = complaints.problems
    return Checked(
        file=complaints.file,
        plan=None if problems or read is None else read.plan,
        problems=problems,
        warnings=complaints.warnings,
        linked=Linked() if read is None else read.linked,
        equipment={} if read is None else read.equipment,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Read:
    plan: Plan
    linked: Linked
    equipment: Mapping[EquipmentId, Spot]


def _read_root(root: yaml.Node | None, complaints: Complaints) -> _Read | None:
    if not isinstance(root, yaml.MappingNode) or not root.value:
        spot = Spot(line=1, column=1)
        message = clause("wrong.file.empty" if root is None or not root.value else "wrong.file.plan")
        complaints.problem(spot, message, clause("wrong.file.hint"))
        return None
    top = Section(root, PLAN_KEYS, "", complaints, _PLAN_WORDS)
    name = top.name("plan", clause("wrong.name.plan"))
    owned = _distinct_equipment(read_equipment(top, complaints), complaints)
    dishes = _distinct_dishes(_read_dishes(top, complaints), complaints)
    cooks = read_cooks(top)
    linked = link_steps([(DishId(slug(dish.name)), dish.steps) for dish in dishes], owned, complaints)
    plan = Plan(
        name=name or "unnamed",
        serve=top.value("serve", parse_time_of_day),
        people=top.count("people", MOST_PEOPLE),
        cooks=cooks.count,
        cook_names=cooks.names,
        chance=top.value("chance", parse_chance),
        language=top.value("language", parse_language) or DEFAULT,
        equipment=tuple(one.item for one in owned),
        dishes=tuple(_built(dish, linked) for dish in dishes),
        say=read_sayings(top),
    )
    _complain_of_faults(plan, linked, complaints)
    equipment_spots = {one.item.id: one.spot for one in owned}
    Doubter(plan, linked, complaints, equipment_spots).look()
    doubt_sayings(plan, top, complaints)
    return _Read(plan=plan, linked=linked, equipment=equipment_spots)


def _read_dishes(top: Section, complaints: Complaints) -> list[_WrittenDish]:
    if not top.need("dishes", clause("wrong.dishes")):
        return []
    blocks = top.blocks("dishes")
    if len(blocks) > MOST_DISHES:
        message = clause("wrong.most.dishes", most=f"{MOST_DISHES}")
        complaints.problem(top.spot("dishes"), message, clause("wrong.split"))
        return []
    dishes = [_read_dish(block, number, complaints) for number, block in enumerate(blocks, 1)]
    if sum(len(dish.steps) for dish in dishes) > MOST_STEPS:
        message = clause("wrong.most.steps", most=f"{MOST_STEPS}")
        complaints.problem(top.spot("dishes"), message, clause("wrong.split"))
        return []
    return dishes


def _read_dish(node: yaml.Node, number: int, complaints: Complaints) -> _WrittenDish:
    way = _dish_name(node) or f"dishes[{number}]"
    section = Section(node, DISH_KEYS, way, complaints, _DISH_WORDS)
    name = bare(section.name("dish", clause("wrong.name.dish")) or f"unnamed {number}")
    section.need("steps", clause("wrong.steps"))
    blocks = section.blocks("steps")[: MOST_STEPS + 1]
    steps = tuple(read_step(block, way, complaints) for block in blocks)
    return _WrittenDish(section=section, name=name, also=read_also(section), steps=steps)


def _dish_name(node: yaml.Node) -> str:
    for key, value in node.value:
        if isinstance(value, yaml.ScalarNode) and key.value == "dish":
            return echo(str(value.value))
    return ""


def _distinct_equipment(
    owned: tuple[WrittenEquipment, ...], complaints: Complaints
) -> tuple[WrittenEquipment, ...]:
    kept: dict[str, WrittenEquipment] = {}
    for one in owned:
        if one.item.id in kept:
            other = kept[one.item.id]
            message = clause("wrong.equipment.same", name=echo(one.item.name), line=f"{other.spot.line}")
            complaints.problem(one.spot, message, clause("wrong.keep.one"))
        else:
            kept[one.item.id] = one
    return tuple(kept.values())


def _distinct_dishes(dishes: list[_WrittenDish], complaints: Complaints) -> list[_WrittenDish]:
    """Dishes whose ids differ; a name that two share is complained of, other names included."""
    kept: dict[str, _WrittenDish] = {}
    names: dict[str, str] = {}
    for dish in dishes:
        spot = dish.section.spot("dish")
        if slug(dish.name) in kept:
            message = clause("wrong.dishes.same", name=echo(dish.name))
            complaints.problem(spot, message, clause("wrong.dishes.same.hint"))
            continue
        kept[slug(dish.name)] = dish
        for name, where in ((dish.name, spot), *((other, dish.section.spot("also")) for other in dish.also)):
            owner = names.setdefault(folded(name), dish.name)
            if owner != dish.name:
                message = clause("wrong.name.taken", name=echo(name), owner=echo(owner))
                complaints.problem(where, message, clause("wrong.name.taken.hint"))
    return list(kept.values())


def _built(dish: _WrittenDish, linked: Linked) -> Dish:
    dish_id = DishId(slug(dish.name))
    steps = tuple(step for step in linked.steps if step.dish == dish_id)
    return Dish(id=dish_id, name=dish.name, also=dish.also, steps=steps)


def _complain_of_faults(plan: Plan, linked: Linked, complaints: Complaints) -> None:
    said: set[tuple[Spot, str]] = set()
    for fault in problems_of(plan):
        spot = linked.spot(fault.step, fault.field)
        if (spot, fault.message) not in said:
            said.add((spot, fault.message))
            complaints.problem(spot, fault.message, fault.hint)
