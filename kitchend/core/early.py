"""The centrepiece is there well before its planned end: what to do about it, said once, and asked.

Dinner is offered earlier only by as much as everything not yet on can be moved as it stands, so that what is
offered can be had. Unanswered, nothing changes: what is ready waits. Times are wall times, lengths seconds.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from kitchend.core import calls, wording
from kitchend.core.clock import Now, WallTime
from kitchend.core.commands import MovePassBy, No
from kitchend.core.effects import CallKind
from kitchend.core.names import scale_of, short_name
from kitchend.core.plan import Plan, Step
from kitchend.core.progress import coming, expected_end, steps_in
from kitchend.core.quantities import in_scale
from kitchend.core.state import Asked, Call, Choice, DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timeline import Planned, Timeline

EARLY_S = 600
"""A centrepiece this early is worth a word; less it stands without anyone noticing."""
ROUND_S = 300
"""An earlier pass is offered on a whole five minutes."""
HOT_C = 60.0
"""What food is kept hot at where no guidance is set (USDA FSIS: 140 F)."""
LAPSE_S = 120.0
"""How long the question waits: the cook has a hot dish in both hands."""

GOING = (StepState.CALLED, StepState.ON, StepState.HELD, StepState.UP)


def centrepiece(plan: Plan) -> Step | None:
    """The step all hangs on: the longest that ends by a reading, else the longest whose time is a guess."""
    guessed = [step for step in plan.steps if step.until is not None or step.takes.is_guess]
    return max(guessed, key=lambda step: (step.until is not None, step.takes.high_s), default=None)


def mind_early(state: DinnerState, now: Now) -> DinnerState:
    """The same state, having spoken of a centrepiece done early; what is taken back may be told again."""
    step = None if state.plan is None else centrepiece(state.plan)
    if step is None:
        return state
    is_done = state.state_of(step.id) is StepState.DONE
    if not is_done and state.is_early_told:
        is_open = state.asked is not None and state.asked.stays
        return replace(state, is_early_told=False, asked=None if is_open else state.asked)
    if not is_done or state.is_early_told:
        return state
    return _told(replace(state, is_early_told=True), step, now)


def _told(state: DinnerState, step: Step, now: Now) -> DinnerState:
    """What keeps all day is in nobody's way, however early it is."""
    planned = None if state.timeline is None else state.timeline.of(step.id)
    early_s = 0.0 if planned is None else planned.end - now.wall
    if early_s < EARLY_S or state.plan is None or state.serve is None or state.timeline is None:
        return state
    if state.timeline.ready - state.serve >= ROUND_S:
        return state  # of a dinner that is late, planning again makes the best by itself
    keeps = _keeps_s(state.plan, state.timeline, step)
    if keeps is None:
        return state
    serve = _earlier_pass(state, state.timeline, state.serve, now)
    thing = short_name(step, state.plan)
    facts = {
        "thing": thing,
        "be": wording.said_be(thing),
        "time": wording.said_duration(early_s),
        "degrees": _hot_enough(state, state.plan),
    }
    if serve is None:
        text = wording.say("early.wait" if keeps >= early_s else "early.warm", **facts)
    else:
        key = "early.ask" if keeps >= early_s else "early.must"
        text = wording.say(key, when=wording.said_wall(serve), **facts)
        state = replace(state, asked=_asked(text, round(serve - state.serve), now))
    return calls.add(state, Call(kind=CallKind.SOON, text=text, at=now.instant))


def _hot_enough(state: DinnerState, plan: Plan) -> str:
    """What is kept hot at, by the guidance that is set, in the plan's degrees."""
    rules = state.manners.rules
    return wording.said_more(in_scale(HOT_C if rules is None else rules.hot_c, scale_of(plan)))


def _asked(text: str, by_s: int, now: Now) -> Asked:
    earlier = Choice(name=wording.say("early.serve").lower(), command=MovePassBy(seconds=by_s))
    rest = Choice(name=wording.say("early.rest").lower(), command=No())
    lapses = now.instant + LAPSE_S
    return Asked(text=text, lapses=lapses, choices=(earlier, rest), yes=earlier, stays=True)


def _keeps_s(plan: Plan, timeline: Timeline, step: Step) -> int | None:
    """How much longer it may stand before the pass, over all steps of its dish; None: as long as need be."""
    total = 0
    for one in _onwards(plan, step):
        planned = timeline.of(one.id)
        if one.keeps_s is None:
            return None
        total += max(0, one.keeps_s - (0 if planned is None else planned.stands_s))
    return total


def _onwards(plan: Plan, step: Step) -> Iterator[Step]:
    """The step and those of its dish that follow it."""
    seen = {step.id}
    yield step
    for other in plan.dish(step.dish).steps:
        if other.during is None and seen.intersection(other.after):
            seen.add(other.id)
            yield other


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fixed:
    """A step that is not moved: when it ends, and until when it needs the hands."""

    step: Step
    end: WallTime
    hands_end: WallTime


def _earlier_pass(state: DinnerState, timeline: Timeline, serve: WallTime, now: Now) -> WallTime | None:
    """The earliest pass on a whole five minutes for which all of the rest, or its end, moves as it stands."""
    waiting = [one for one in coming(state) if one[0].during is None]
    going = [_going(state, step, now) for step in steps_in(state, *GOING)]
    room = 0.0
    for first, (_, planned) in enumerate(waiting):
        left = going + [_left(step, at) for step, at in waiting[:first]]
        limits = [planned.start - now.wall, *_limits(waiting[first:], left, serve)]
        room = max(room, min(limits))
    at = serve - room
    at = at + -at.epoch_s % ROUND_S
    return at if serve - at >= ROUND_S else None


def _going(state: DinnerState, step: Step, now: Now) -> _Fixed:
    end = now.wall_of(expected_end(state, step, now))
    return _Fixed(step=step, end=end, hands_end=end if step.is_hands_only else now.wall)


def _left(step: Step, planned: Planned) -> _Fixed:
    return _Fixed(step=step, end=planned.end, hands_end=planned.start + step.hands_s)


def _limits(
    moved: Sequence[tuple[Step, Planned]], left: Sequence[_Fixed], serve: WallTime
) -> Iterator[float]:
    """By how much at the most the moved steps can be earlier, for each that has to wait for one left."""
    for fixed in left:
        yield serve - fixed.end
        for step, planned in moved:
            if fixed.step.id in step.after:
                yield planned.start - fixed.end
            ends = [fixed.end] * _share(step, fixed.step) + [fixed.hands_end] * (step.hands_s > 0)
            yield from (planned.start - end for end in ends if end <= planned.start)


def _share(one: Step, other: Step) -> bool:
    """Whether they use a thing in common, and so keep their order where planned one after the other."""
    return any(mine.equipment == its.equipment for mine in one.uses for its in other.uses)
