"""Whether a plan holds together: references, counts, hands and cycles. Pure; nothing is mended here.

A Fault names the step and the field it lies in, so that whoever read the plan from a file can point at the
place. Only what makes a plan impossible as written belongs here; what is merely doubtful does not.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from kitchend.core.plan import Plan, Step, StepId
from kitchend.core.quantities import show_duration


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """A rule that a plan breaks. `about` is the id that the field names wrongly, where there is one."""

    step: StepId | None = None
    field: str
    about: str = ""
    message: str
    hint: str | None = None


def problems_of(plan: Plan) -> tuple[Fault, ...]:
    """Everything that makes the plan impossible as written, in the order of its steps; empty if it holds."""
    steps = {step.id: step for step in plan.iter_steps()}
    faults = [*_doubled_ids(plan)]
    for step in plan.iter_steps():
        faults += _hands(step)
        faults += _references(step, steps)
        faults += _uses(step, plan)
        faults += _reminder(step, steps)
    faults += _cycles(steps)
    return tuple(faults)


def _doubled_ids(plan: Plan) -> Iterator[Fault]:
    for field, ids in (
        ("equipment", [item.id for item in plan.equipment]),
        ("dishes", [dish.id for dish in plan.dishes]),
        ("steps", [step.id for step in plan.iter_steps()]),
    ):
        for doubled in _doubles(ids):
            yield Fault(field=field, about=doubled, message=f"{doubled} is there twice")


def _doubles(ids: Iterable[str]) -> list[str]:
    return [one for one, count in Counter(ids).items() if count > 1]


def _hands(step: Step) -> Iterator[Fault]:
    if step.hands_s > step.takes.low_s:
        hands, takes = show_duration(step.hands_s), show_duration(step.takes.low_s)
        yield Fault(
            step=step.id,
            field="hands",
            message=f"needs hands for {hands} but may take only {takes}",
            hint="takes includes hands: make takes at least as long",
        )


def _references(step: Step, steps: Mapping[StepId, Step]) -> Iterator[Fault]:
    for field, names in (("after", step.after), ("during", (step.during,) if step.during else ())):
        for name in names:
            if name not in steps:
                yield Fault(step=step.id, field=field, about=name, message=f"there is no step {name}")


def _uses(step: Step, plan: Plan) -> Iterator[Fault]:
    owned = {item.id: item for item in plan.equipment}
    for doubled in _doubles(use.equipment for use in step.uses):
        yield Fault(step=step.id, field="uses", about=doubled, message=f"uses the {doubled} twice")
    for use in step.uses:
        item = owned.get(use.equipment)
        if item is None:
            message = f"there is no equipment {use.equipment}"
        elif use.places > item.places:
            message = f"needs {use.places} places but the {item.name} has {item.places}"
        else:
            continue
        yield Fault(step=step.id, field="uses", about=use.equipment, message=message)


def _reminder(step: Step, steps: Mapping[StepId, Step]) -> Iterator[Fault]:
    host = steps.get(step.during) if step.during else None
    if host is None or host is step:
        return
    if host.during is not None:
        message = f"{host.name} is itself during another step"
        yield Fault(step=step.id, field="during", message=message, hint="name the step that takes the time")
    elif host.is_hands_only:
        message = f"{host.name} keeps the hands busy to its end, so nothing can be done during it"
        yield Fault(
            step=step.id, field="during", message=message, hint="give that step a `takes` beyond its hands"
        )
    elif step.every_s is None and step.at_s is not None and step.at_s >= host.takes.high_s:
        high = show_duration(host.takes.high_s)
        message = f"comes after {host.name} is over, which takes {high} at most"
        yield Fault(step=step.id, field="at", message=message, hint=f"give a time under {high}")


def _cycles(steps: Mapping[StepId, Step]) -> Iterator[Fault]:
    left = {one: [other for other in _waits_for(step) if other in steps] for one, step in steps.items()}
    while left := _without_the_free(left):
        circle = _circle(left)
        first = min(circle, key=list(steps).index)
        turn = circle.index(first)
        circle = circle[turn:] + circle[:turn]
        yield Fault(
            step=first,
            field="during" if steps[first].during in circle else "after",
            message=f"these steps wait for each other: {_in_words([steps[one].name for one in circle])}",
            hint="one of them must not wait",
        )
        left = {one: waits for one, waits in left.items() if one not in circle}


def _waits_for(step: Step) -> tuple[StepId, ...]:
    return step.after + ((step.during,) if step.during else ())


def _without_the_free(left: Mapping[StepId, Sequence[StepId]]) -> dict[StepId, list[StepId]]:
    """What remains when steps that wait for nothing that remains are taken away, again and again."""
    waits = {one: {other for other in others if other in left} for one, others in left.items()}
    waited_by: dict[StepId, list[StepId]] = {one: [] for one in waits}
    for one, others in waits.items():
        for other in others:
            waited_by[other].append(one)
    free = [one for one, others in waits.items() if not others]
    while free:
        gone = free.pop()
        del waits[gone]
        for one in waited_by[gone]:
            waits[one].discard(gone)
            if not waits[one]:
                free.append(one)
    return {one: [other for other in left[one] if other in waits] for one in waits}


def _circle(left: Mapping[StepId, Sequence[StepId]]) -> list[StepId]:
    """One circle of steps in which each waits for the next. Every step of `left` waits for another in it."""
    walked: list[StepId] = []
    here = next(iter(left))
    while here not in walked:
        walked.append(here)
        here = left[here][0]
    return walked[walked.index(here) :]


def _in_words(names: Sequence[str]) -> str:
    if len(names) == 1:
        return f"{names[0]} waits for itself"
    pairs = [f"{one} waits for {other}" for one, other in zip(names, [*names[1:], names[0]], strict=True)]
    return f"{', '.join(pairs[:-1])}, and {pairs[-1]}"
