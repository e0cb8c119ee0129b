"""What the cook is warned of during a dinner, by the rules that came with the manners; without rules nothing.

A piece called done under its target is asked back; food that has stood long since it was cooked, is kept too
cool (`keeping`), cools too slowly (`cooling`) or takes too long to reheat is called in time; and hands are to
be washed between raw food and food eaten as it is. Each once; the cook decides. Guidance, no promise.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kitchend.core import calls, forecasting, wording
from kitchend.core.clock import Instant, Now
from kitchend.core.cooling import cooling_moments, mind_cooling
from kitchend.core.effects import CallKind
from kitchend.core.food_places import (
    Place,
    all_after,
    all_before,
    cooked_to,
    is_perishable,
    place_of,
    raw_reach,
    reheats,
    room_c,
    row_of,
    touches_ready,
    washes_hands,
)
from kitchend.core.keeping import mind_kept, seen
from kitchend.core.names import short_name
from kitchend.core.outcome import Outcome
from kitchend.core.plan import Plan, Step
from kitchend.core.progress import cook_of, steps_in
from kitchend.core.quantities import Scale, Temperature
from kitchend.core.safety_rules import HeatRow, SafetyRules
from kitchend.core.state import Call, DinnerState, Reading
from kitchend.core.steps import StepState

AHEAD_S = 900.0
"""How long before the limit the cook is told: time enough to serve food or put it away."""
WASH_S = 20.0
"""So long hands are washed (common practice); before that nobody is reminded."""
RAW_S = 1800.0
"""What is begun later than this after raw food was handled is not warned of: nobody stands so long with raw
hands (common practice)."""
AT_WORK = (StepState.CALLED, StepState.ON)
BEGUN = frozenset({StepState.ON, StepState.UP, StepState.HELD, StepState.DONE})


def mind(state: DinnerState, now: Now) -> DinnerState:
    """The same state with every warning that is due by now waiting to be said."""
    rules, plan = state.manners.rules, state.plan
    if rules is None or plan is None:
        return state
    state = _mind_standing(_mind_hands(state, plan, rules, now), plan, rules, now)
    state = _mind_reheating(state, plan, rules, now)
    return mind_cooling(mind_kept(state, plan, rules, now), plan, rules, now)


def moments(state: DinnerState, now: Now) -> tuple[Instant, ...]:
    """When time alone will bring a warning."""
    rules, plan = state.manners.rules, state.plan
    if rules is None or plan is None:
        return ()
    found = [warn for _, _, warn in _standing(state, plan, rules, now)]
    found += [warn for _, warn in _reheating(state, rules)]
    found += cooling_moments(state, plan, rules, now)
    found += [handled + WASH_S for _, handled, _ in _unwashed(state, plan, rules)]
    return tuple(moment for moment in found if moment > now.instant)


def heard(outcome: Outcome, now: Now) -> Outcome:
    """The outcome of an acknowledgement, the words about washing hands among what was heard."""
    minded = replace(outcome.state.minded, heard_at=now.instant)
    return replace(outcome, state=replace(outcome.state, minded=minded))


def below(state: DinnerState, step: Step, what: Step | None = None) -> tuple[DinnerState, str]:
    """What to ask before a step counts as done whose last reading is too low, and the state once asked.

    `what` is the step that would follow, None where the piece itself is called done. An empty text: nothing
    to ask, or asked already about this reading.
    """
    rules, plan = state.manners.rules, state.plan
    last = next((one for one in reversed(state.readings) if one.of == step.id), None)
    if rules is None or plan is None or step.until is None or last is None:
        return state, ""
    if last in state.minded.below:
        return state, ""
    row = cooked_to(plan, step, rules)
    to_come_c = step.until.celsius - forecasting.take_off_c(state, step)
    is_under = not forecasting.is_there(state, step, last.celsius)
    is_low = (
        row is not None and not row.is_met_by(last.celsius + to_come_c) and _share(state, step, row) < 1.0
    )
    if not is_under and not is_low:
        return state, ""
    minded = replace(state.minded, below=(*state.minded.below, last))
    text = _asked(plan, step, last, row if is_low else None, rules, what, is_under=is_under)
    return replace(state, minded=minded), text


def below_before(state: DinnerState, step: Step) -> tuple[DinnerState, str]:
    """The same for a step that is begun although what it follows, directly or not, reads too low."""
    for before in () if state.plan is None else all_before(state.plan, step):
        if state.state_of(before.id) in (StepState.ON, StepState.UP, StepState.HELD):
            asked, text = below(state, before, step)
            if text:
                return asked, text
    return state, ""


def _asked(
    plan: Plan,
    step: Step,
    last: Reading,
    row: HeatRow | None,
    rules: SafetyRules,
    what: Step | None,
    *,
    is_under: bool,
) -> str:
    until = step.until or Temperature(degrees=0.0)
    key = "below.target?" if row is None else "below.both?" if is_under else "below.guidance?"
    return wording.say(
        key,
        thing=short_name(step, plan),
        degrees=_said(step, last.celsius),
        target=wording.said_temperature(until),
        source=wording.clause(f"source.{rules.spoken}"),
        least=_said(step, row.celsius) if row is not None else "",
        kind=wording.clause(f"kind.{row.kind}") if row is not None else "",
        what=wording.said_step(what) if what is not None else wording.clause("below.done"),
    )


def _said(step: Step, celsius: float) -> str:
    """Degrees Celsius as they are spoken in the scale of a step's target."""
    scale = step.until.scale if step.until is not None else Scale.CELSIUS
    return wording.said_celsius(celsius, scale)


def _share(state: DinnerState, step: Step, row: HeatRow) -> float:
    """How much of the published hold the readings of a step amount to."""
    taken = [one for one in state.readings if one.of == step.id]
    return row.held_share([one.at.s for one in taken], [one.celsius for one in taken])


def _mind_standing(state: DinnerState, plan: Plan, rules: SafetyRules, now: Now) -> DinnerState:
    for step, since, warn in _standing(state, plan, rules, now):
        if warn > now.instant:
            continue
        limit_s = warn - since + AHEAD_S
        text = wording.say(
            "stood",
            thing=short_name(step, plan),
            time=wording.said_duration(now.instant - since),
            source=wording.clause(f"source.{rules.stand_spoken}"),
            limit=wording.said_duration(limit_s),
        )
        minded = replace(state.minded, stood=(*state.minded.stood, step.id))
        call = Call(kind=CallKind.CAREFUL, text=text, at=now.instant)
        state = calls.add(replace(state, minded=minded), call)
    return state


def _standing(
    state: DinnerState, plan: Plan, rules: SafetyRules, now: Now
) -> Iterator[tuple[Step, Instant, Instant]]:
    """Cooked food that is out: the step that cooked it, since when, and when to warn; each until warned.

    By its readings where it was read since, else by the plan's words.
    """
    for step in steps_in(state, StepState.DONE):
        since = state.record_of(step.id).ended_at
        if since is None or step.added or step.during or step.id in state.minded.stood:
            continue
        if place_of(step, rules) is not Place.HEAT or _is_served(state, plan, step):
            continue
        later = [one for one in all_after(plan, step) if state.state_of(one.id) in BEGUN]
        read = seen(state, plan, step, rules, now)
        is_out = all(place_of(one, rules) is Place.OUT for one in later) if read is None else read.is_in_zone
        if not is_out or not is_perishable(plan, step, rules):
            continue
        since = since if read is None else read.since
        room = max((room_c(one, rules) or 0.0 for one in later), default=0.0)
        yield step, since, since + (rules.may_stand_s(room) - AHEAD_S)


def _mind_reheating(state: DinnerState, plan: Plan, rules: SafetyRules, now: Now) -> DinnerState:
    for step, warn in _reheating(state, rules):
        limits = rules.reheating
        if warn > now.instant or limits is None:
            continue
        text = wording.say(
            "reheating",
            thing=short_name(step, plan),
            time=wording.said_duration(limits.within_s - AHEAD_S),
            source=wording.clause(f"source.{limits.spoken}"),
            least=_said(step, rules.reheated.celsius),
            limit=wording.said_duration(limits.within_s),
        )
        minded = replace(state.minded, reheated=(*state.minded.reheated, step.id))
        call = Call(kind=CallKind.CAREFUL, text=text, at=now.instant)
        state = calls.add(replace(state, minded=minded), call)
    return state


def _reheating(state: DinnerState, rules: SafetyRules) -> Iterator[tuple[Step, Instant]]:
    """What is reheating, and when to warn that it takes long; each until warned."""
    for step in steps_in(state, StepState.ON):
        began = state.record_of(step.id).on_at
        if rules.reheating is None or began is None or step.id in state.minded.reheated or not reheats(step):
            continue
        yield step, began + (rules.reheating.within_s - AHEAD_S)


def _is_served(state: DinnerState, plan: Plan, step: Step) -> bool:
    """Whether the pass of a step's dish, one of several, was called."""
    return any(dish.id == step.dish and dish.before_pass_s in state.passes_called for dish in plan.dishes)


def _mind_hands(state: DinnerState, plan: Plan, rules: SafetyRules, now: Now) -> DinnerState:
    for raw, handled, following in _unwashed(state, plan, rules):
        if now.instant < handled + WASH_S:
            continue
        minded = replace(state.minded, hands=(*state.minded.hands, raw.id))
        text = wording.say("hands", step=wording.said_step(following), raw=raw.raw or "")
        call = Call(kind=CallKind.CAREFUL, text=text, at=now.instant)
        state = calls.add(replace(state, minded=minded), call)
    return state


def _unwashed(state: DinnerState, plan: Plan, rules: SafetyRules) -> Iterator[tuple[Step, Instant, Step]]:
    """Raw flesh handled without a word about washing: the step, since when, and what is touched next.

    Only where that next step of the same cook touches something that is eaten as it is.
    """
    washed = _washed_at(state)
    for step in plan.iter_steps():
        handled = _handled_at(state, step)
        if step.raw is None or handled is None or step.id in state.minded.hands:
            continue
        row = row_of(plan, step, rules)
        if (row is not None and not row.is_flesh) or (washed is not None and washed >= handled):
            continue
        following = _next_of(state, plan, step, handled, rules)
        if following is not None and touches_ready(plan, following, rules):
            yield step, handled, following


def _next_of(state: DinnerState, plan: Plan, raw: Step, handled: Instant, rules: SafetyRules) -> Step | None:
    """The first other step that the same cook was called to, or began, since; None if that is over by now."""
    own = raw_reach(plan, raw, rules)
    begun: list[tuple[float, Step]] = []
    for step in plan.iter_steps():
        record = state.record_of(step.id)
        at = max((one.s for one in (record.called_at, record.on_at) if one is not None), default=None)
        is_other = step.id not in own and step.hands_s > 0 and step.during is None
        if (
            is_other
            and at is not None
            and handled.s <= at <= handled.s + RAW_S
            and cook_of(state, step) == cook_of(state, raw)
        ):
            begun.append((at, step))
    first = min(begun, key=lambda one: one[0], default=None)
    return first[1] if first is not None and state.state_of(first[1].id) in AT_WORK else None


def _handled_at(state: DinnerState, step: Step) -> Instant | None:
    """When the hands were off something raw; None while they are not."""
    record = state.record_of(step.id)
    if step.is_hands_only:
        return record.ended_at if record.state is StepState.DONE else None
    return record.on_at


def _washed_at(state: DinnerState) -> Instant | None:
    """When the cook last said that the words about washing were heard, or washed hands as a step."""
    steps = (one for one in steps_in(state, StepState.DONE) if washes_hands(one))
    ends = [state.record_of(one.id).ended_at for one in steps]
    return max(
        (at for at in (state.minded.heard_at, *ends) if at is not None), key=lambda at: at.s, default=None
    )
