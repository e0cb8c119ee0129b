"""Plans that share a kitchen, made into one: what is shared is merged by name, each keeps its own pass.

Pure. Equipment of one name is one thing, and where plans count it differently the smaller count is taken and
told. The last pass is the merged plan's; dishes of earlier ones keep their distance to it. Dishes that cannot
be told apart by name are refused, because they could not be told apart by voice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from kitchend.core.clock import DAY_S, TimeOfDay
from kitchend.core.plan import Equipment, EquipmentId, Plan
from kitchend.core.plan_faults import problems_of
from kitchend.core.tongue import speaking
from kitchend.core.wording import clause, said_list
from kitchend.errors import PlanError, Problem
from kitchend.files.names import folded, slug
from kitchend.files.plan_yaml import MOST_STEPS


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One of the plans, the file it stands in, and how long before the last pass its own is."""

    file: str
    plan: Plan
    before_s: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Merged:
    """The one plan, and what the cook should know of how it came about, a line each."""

    plan: Plan
    notes: tuple[str, ...] = ()


def distances(times: Sequence[TimeOfDay | None]) -> tuple[TimeOfDay | None, tuple[int, ...]]:
    """The last of these passes, and how many seconds each is before it.

    Passes belong to one evening, so midnight may lie between them: the longest stretch of the day without a
    pass is what lies before the first. One that is not given goes with the last.
    """
    given = sorted({_seconds(time) for time in times if time is not None})
    if not given:
        return None, (0,) * len(times)
    ahead = [(given[(at + 1) % len(given)] - moment - 1) % DAY_S for at, moment in enumerate(given)]
    last_s = given[ahead.index(max(ahead))]
    before = tuple(0 if time is None else (last_s - _seconds(time)) % DAY_S for time in times)
    return TimeOfDay(last_s // 3600, last_s % 3600 // 60), before


def merge_plans(parts: Sequence[Part], last: TimeOfDay | None) -> Merged:
    """One plan of all, with its pass at `last`; a single one stays as it is. PlanError if they cannot."""
    with speaking(parts[0].plan.language):
        return _merged(parts, last)


def _merged(parts: Sequence[Part], last: TimeOfDay | None) -> Merged:
    if len(parts) == 1:
        return Merged(plan=parts[0].plan)
    _refuse_two_languages(parts)
    _refuse_equal_dishes(parts)
    equipment = _equipment(parts)
    most = max(parts, key=lambda part: part.plan.cooks).plan
    plan = Plan(
        name=said_list([part.plan.name for part in parts]),
        serve=last,
        people=_people(parts),
        cooks=most.cooks,
        cook_names=_cook_names(parts, most),
        chance=max((part.plan.chance for part in parts if part.plan.chance is not None), default=None),
        language=most.language,
        equipment=tuple(equipment.values()),
        dishes=tuple(
            replace(dish, before_pass_s=part.before_s) for part in parts for dish in part.plan.dishes
        ),
        say=tuple(_sayings(parts).values()),
    )
    _refuse_impossible(plan, parts)
    return Merged(plan=plan, notes=(*_counts(parts, equipment), *_equal_steps(parts)))


def _seconds(time: TimeOfDay) -> int:
    return time.hour * 3600 + time.minute * 60


def _refuse_two_languages(parts: Sequence[Part]) -> None:
    """A dinner is run in one language."""
    first = parts[0]
    problems = tuple(
        _problem(
            part.file,
            clause("merge.language", one=part.plan.language, file=first.file, other=first.plan.language),
            clause("merge.language.hint"),
        )
        for part in parts
        if part.plan.language != first.plan.language
    )
    if problems:
        raise PlanError(problems)


def _refuse_equal_dishes(parts: Sequence[Part]) -> None:
    """A line for each file that names dishes as an earlier one does."""
    owners: dict[str, tuple[int, str]] = {}
    problems = []
    for number, part in enumerate(parts):
        names = [name for dish in part.plan.dishes for name in (dish.name, *dish.also)]
        taken = [name for name in names if owners.setdefault(slug(name), (number, part.file))[0] != number]
        if taken:
            first = owners[slug(taken[0])][1]
            key = "merge.dish" if len(taken) == 1 else "merge.dishes"
            message = clause(key, names=said_list(taken), file=first)
            problems.append(_problem(part.file, message, clause("merge.dish.hint")))
    if problems:
        raise PlanError(tuple(problems))


def _equipment(parts: Sequence[Part]) -> dict[EquipmentId, Equipment]:
    """Everything of every plan; of one name the smaller count, and the longer time to get hot."""
    merged: dict[EquipmentId, Equipment] = {}
    for item in (item for part in parts for item in part.plan.equipment):
        known = merged.get(item.id, item)
        preheats = [one.preheat_s for one in (known, item) if one.preheat_s is not None]
        places = min(known.places, item.places)
        merged[item.id] = replace(known, places=places, preheat_s=max(preheats, default=None))
    return merged


def _sayings(parts: Sequence[Part]) -> dict[str, tuple[str, str]]:
    """How words are said in any of the plans; of two ways the first."""
    found: dict[str, tuple[str, str]] = {}
    for word, saying in (each for part in parts for each in part.plan.say):
        found.setdefault(slug(word), (word, saying))
    return found


def _counts(parts: Sequence[Part], merged: dict[EquipmentId, Equipment]) -> Iterator[str]:
    for item in merged.values():
        found = [
            (part.file, one.places) for part in parts for one in part.plan.equipment if one.id == item.id
        ]
        if len({places for _, places in found}) > 1:
            each = (clause("merge.in", places=f"{places}", file=file) for file, places in found)
            told = ", ".join(each)
            yield clause("merge.places", item=item.name, told=told, places=f"{item.places}")


def _equal_steps(parts: Sequence[Part]) -> Iterator[str]:
    owners: dict[str, int] = {}
    told: set[str] = set()
    for number, part in enumerate(parts):
        for step in part.plan.iter_steps():
            name = folded(step.name)
            if owners.setdefault(name, number) != number and name not in told:
                told.add(name)
                yield clause("merge.step", step=step.name)


def _people(parts: Sequence[Part]) -> int | None:
    """For how many, where the plans that say so agree."""
    given = {part.plan.people for part in parts if part.plan.people is not None}
    return given.pop() if len(given) == 1 else None


def _cook_names(parts: Sequence[Part], most: Plan) -> tuple[str, ...]:
    """The names of the plan with most cooks; where it gives none, those of another with as many."""
    as_many = (part.plan.cook_names for part in parts if part.plan.cooks == most.cooks)
    return next((names for names in (most.cook_names, *as_many) if names), ())


def _refuse_impossible(plan: Plan, parts: Sequence[Part]) -> None:
    """What each plan could do alone and all together cannot."""
    files = {step.id: part.file for part in parts for step in part.plan.iter_steps()}
    problems = [
        _problem(
            files[fault.step] if fault.step else parts[0].file,
            clause(
                "merge.of",
                what=plan.step(fault.step).name if fault.step else fault.field,
                message=fault.message,
            ),
            clause("merge.alike"),
        )
        for fault in problems_of(plan)
    ]
    if len(files) > MOST_STEPS:
        message = clause("merge.steps", steps=f"{len(files)}", most=f"{MOST_STEPS}")
        problems.append(_problem(parts[0].file, message, clause("merge.steps.hint")))
    if problems:
        raise PlanError(tuple(problems))


def _problem(file: str, message: str, hint: str) -> Problem:
    return Problem(file=file, message=message, hint=hint)
