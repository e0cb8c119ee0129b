"""Written steps into Steps: chains, names of other steps looked up, reminders repeated.

A step follows the last one above it in its dish that is no reminder, unless `after` says otherwise. A name is
looked for in the step's own dish first. A reference that cannot be found is complained of and left out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from kitchend.core.papers import written_duration
from kitchend.core.plan import DishId, Step, StepId, Use
from kitchend.core.wording import clause
from kitchend.files.complaints import Complaints, Spot, echo
from kitchend.files.equipment import WrittenEquipment, find_equipment
from kitchend.files.names import folded, slug
from kitchend.files.section import Written
from kitchend.files.steps import WrittenStep, step_spot

MOST_REPEATS = 60
"""More calls of one reminder than a cook would hear out in the longest cook."""

OVERRUN = 1.5
"""Reminders repeat this far beyond the longest time of their step, because a reading may come late."""


@dataclass(slots=True, kw_only=True)
class Linked:
    """The steps of a plan with all references by id, and where each was written."""

    steps: list[Step] = field(default_factory=list)
    written: dict[StepId, WrittenStep] = field(default_factory=dict)

    def spot(self, step: StepId | None, key: str = "") -> Spot:
        """Where a step's key is written; the step's name if it has no such key."""
        written = self.written.get(step) if step else None
        if written is None:
            return Spot(line=1, column=1, field=key, key=key)
        return written.section.spot(key) if key and written.section.has(key) else step_spot(written)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Candidate:
    id: StepId
    dish: DishId
    written: WrittenStep
    names: frozenset[str]


def link_steps(
    dishes: Sequence[tuple[DishId, Sequence[WrittenStep]]],
    owned: tuple[WrittenEquipment, ...],
    complaints: Complaints,
) -> Linked:
    """All steps of all dishes, in the order of the file."""
    candidates = [one for dish, steps in dishes for one in _candidates(dish, steps, complaints)]
    linked = Linked()
    above: dict[DishId, StepId] = {}
    for one in candidates:
        step = _linked(one, above.get(one.dish), candidates, owned, complaints)
        if one.written.during is None and not one.written.section.has("during"):
            above[one.dish] = one.id
        for repeat in _repeats(step, one, candidates, complaints):
            linked.steps.append(repeat)
            linked.written[repeat.id] = one.written
    _complain_of_cold_ovens([one.written for one in candidates], owned, complaints)
    return linked


def _candidates(dish: DishId, steps: Sequence[WrittenStep], complaints: Complaints) -> list[_Candidate]:
    kept: dict[str, _Candidate] = {}
    for written in steps:
        step_id = StepId(f"{dish}/{slug(written.name)}")
        if step_id in kept:
            message = clause("wrong.steps.same", name=echo(written.name))
            complaints.problem(step_spot(written), message, clause("wrong.steps.same.hint"))
        else:
            names = frozenset(map(folded, (written.name, *written.also)))
            kept[step_id] = _Candidate(id=step_id, dish=dish, written=written, names=names)
    return list(kept.values())


def _linked(
    one: _Candidate,
    above: StepId | None,
    candidates: Sequence[_Candidate],
    owned: tuple[WrittenEquipment, ...],
    complaints: Complaints,
) -> Step:
    written = one.written
    during = _found(written.during, one, candidates, complaints) if written.during else None
    return Step(
        id=one.id,
        dish=one.dish,
        name=written.name,
        also=written.also,
        hands_s=written.hands_s,
        takes=written.takes,
        until=written.until,
        is_for_table=written.is_for_table,
        piece=written.piece,
        uses=_uses(written, owned, complaints),
        after=_after(one, above, candidates, complaints),
        during=during.id if during else None,
        at_s=written.at_s if during else None,
        every_s=written.every_s if during else None,
        keeps_s=written.keeps_s,
        raw=written.raw,
        look_for=written.look_for,
        ready_s=written.ready_s,
    )


def _after(
    one: _Candidate, above: StepId | None, candidates: Sequence[_Candidate], complaints: Complaints
) -> tuple[StepId, ...]:
    if one.written.section.has("during"):
        return ()
    if one.written.after is None:
        return (above,) if above else ()
    found = (_found(name, one, candidates, complaints) for name in one.written.after)
    return tuple(dict.fromkeys(other.id for other in found if other))


def _found(
    name: Written, asker: _Candidate, candidates: Sequence[_Candidate], complaints: Complaints
) -> _Candidate | None:
    wanted = folded(name.text)
    fits = [one for one in candidates if wanted in one.names]
    own = [one for one in fits if one.dish == asker.dish]
    if len(own) == 1 or len(fits) == 1:
        found = (own or fits)[0]
        return found if _may_be_waited_for(found, name, complaints) else None
    if fits:
        one, other = (f"{step_spot(fit.written).line}" for fit in fits[:2])
        message = clause("wrong.steps.several", name=echo(name.text), one=one, other=other)
        complaints.problem(name.spot, message, clause("wrong.steps.several.hint"))
    else:
        hint = complaints.suggestion(name.text, [one.written.name for one in candidates])
        complaints.problem(name.spot, clause("wrong.no.step", name=echo(name.text)), hint)
    return None


def _may_be_waited_for(found: _Candidate, name: Written, complaints: Complaints) -> bool:
    if name.spot.key == "after" and found.written.section.has("every"):
        host = found.written.during
        hint = clause("wrong.repeats.host", name=host.text) if host else clause("wrong.repeats.other")
        complaints.problem(name.spot, clause("wrong.repeats", name=echo(name.text)), hint)
        return False
    return True


def _uses(
    written: WrittenStep, owned: tuple[WrittenEquipment, ...], complaints: Complaints
) -> tuple[Use, ...]:
    uses: dict[str, Use] = {}
    for use in written.uses:
        found = find_equipment(use, owned, complaints)
        if found is None:
            continue
        if found.item.id in uses:
            message = clause("wrong.use.twice", item=found.item.name)
            complaints.problem(use.spot, message, clause("wrong.use.twice.hint"))
        places = min(use.places, found.item.places)
        uses[found.item.id] = Use(equipment=found.item.id, places=places, at=use.at)
    return tuple(uses.values())


def _repeats(
    step: Step, one: _Candidate, candidates: Sequence[_Candidate], complaints: Complaints
) -> tuple[Step, ...]:
    if not step.every_s or not step.during:
        return (step,)
    hosts: Mapping[StepId, WrittenStep] = {other.id: other.written for other in candidates}
    if not hosts[step.during].is_timed:
        return (step,)
    longest_s = hosts[step.during].takes.high_s
    count = int(longest_s * OVERRUN) // step.every_s
    if step.every_s >= longest_s or count > MOST_REPEATS:
        _complain_of_period(step.every_s, longest_s, one, complaints)
        return (step,)
    return tuple(_repeat(step, number) for number in range(1, count + 1))


def _repeat(step: Step, number: int) -> Step:
    return replace(step, id=StepId(f"{step.id}#{number}"), at_s=number * (step.every_s or 0))


def _complain_of_period(every_s: int, longest_s: int, one: _Candidate, complaints: Complaints) -> None:
    spot = one.written.section.spot("every")
    if every_s >= longest_s:
        message = clause("wrong.period", time=written_duration(longest_s))
        complaints.problem(spot, message, clause("wrong.period.hint"))
    else:
        message = clause("wrong.calls", most=f"{MOST_REPEATS}")
        complaints.problem(spot, message, clause("wrong.calls.hint", time=written_duration(longest_s // 40)))


def _complain_of_cold_ovens(
    steps: Sequence[WrittenStep], owned: tuple[WrittenEquipment, ...], complaints: Complaints
) -> None:
    """An oven is what has a temperature somewhere; there, every step must say which."""
    uses = [use for step in steps for use in step.uses]
    hot = {folded(use.name) for use in uses if use.at}
    ovens = hot | {folded(one.item.name) for one in owned if one.item.preheat_s is not None}
    for use in uses:
        if use.at is None and folded(use.name) in ovens:
            hint = clause("wrong.hot.hint", item=use.name)
            complaints.problem(use.spot, clause("wrong.hot", item=echo(use.name)), hint)
