"""Whether a plan holds together: references, counts, hands and cycles. Pure; nothing is mended here.

A Fault names the step and the field it lies in, so that whoever read the plan from a file can point at the
place. Only what makes a plan impossible as written belongs here; what is merely doubtful does not.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from kitchend.core.papers import written_duration
from kitchend.core.plan import Plan, Step, StepId
from kitchend.core.wording import clause


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
            yield Fault(field=field, about=doubled, message=clause("fault.twice", id=doubled))


def _doubles(ids: Iterable[str]) -> list[str]:
    return [one for one, count in Counter(ids).items() if count > 1]


def _hands(step: Step) -> Iterator[Fault]:
    if step.hands_s > step.takes.low_s:
        hands, takes = written_duration(step.hands_s), written_duration(step.takes.low_s)
        yield Fault(
            step=step.id,
            field="hands",
            message=clause("fault.hands", hands=hands, takes=takes),
            hint=clause("fault.hands.hint"),
        )


def _references(step: Step, steps: Mapping[StepId, Step]) -> Iterator[Fault]:
    for field, names in (("after", step.after), ("during", (step.during,) if step.during else ())):
        for name in names:
            if name not in steps:
                message = clause("wrong.no.step", name=name)
                yield Fault(step=step.id, field=field, about=name, message=message)


def _uses(step: Step, plan: Plan) -> Iterator[Fault]:
    owned = {item.id: item for item in plan.equipment}
    for doubled in _doubles(use.equipment for use in step.uses):
        message = clause("fault.use.twice", item=doubled)
        yield Fault(step=step.id, field="uses", about=doubled, message=message)
    for use in step.uses:
        item = owned.get(use.equipment)
        if item is None:
            message = clause("wrong.no.equipment", name=use.equipment)
        elif use.places > item.places:
            has = f"{item.places}"
            message = clause("fault.places", places=f"{use.places}", item=item.name, has=has)
        else:
            continue
        yield Fault(step=step.id, field="uses", about=use.equipment, message=message)


def _reminder(step: Step, steps: Mapping[StepId, Step]) -> Iterator[Fault]:
    host = steps.get(step.during) if step.during else None
    if host is None or host is step:
        return
    if host.during is not None:
        message, hint = clause("fault.during", step=host.name), clause("fault.during.hint")
        yield Fault(step=step.id, field="during", message=message, hint=hint)
    elif host.is_hands_only:
        message, hint = clause("fault.busy", step=host.name), clause("fault.busy.hint")
        yield Fault(step=step.id, field="during", message=message, hint=hint)
    elif step.every_s is None and step.at_s is not None and step.at_s >= host.takes.high_s:
        high = written_duration(host.takes.high_s)
        message, hint = clause("fault.over", step=host.name, time=high), clause("fault.over.hint", time=high)
        yield Fault(step=step.id, field="at", message=message, hint=hint)


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
            message=clause("fault.circle", steps=_in_words([steps[one].name for one in circle])),
            hint=clause("fault.circle.hint"),
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
        return clause("fault.self", step=names[0])
    rounds = zip(names, [*names[1:], names[0]], strict=True)
    pairs = [clause("fault.waits", step=one, other=other) for one, other in rounds]
    return clause("fault.and", steps=", ".join(pairs[:-1]), last=pairs[-1])
