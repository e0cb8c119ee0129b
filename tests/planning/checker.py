"""Whether a timeline keeps every rule of a kitchen, worked out step by step without any solver.

Knows nothing of how timelines are made: it looks at the plan and at the planned times, and lists what is
wrong in words. Steps in `going` are facts: they may break rules among themselves, and nothing else may break
with them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitchend.core.clock import Now
from kitchend.core.plan import Plan, Step, StepId
from kitchend.core.timeline import Timeline
from kitchend.planning.settings import PlanningSettings

CLOSE_C = 10.0


@dataclass(frozen=True, slots=True)
class Stay:
    """A step at its place, in seconds since 1970."""

    step: Step
    start: float
    end: float
    is_going: bool

    @property
    def hands_end(self) -> float:
        return min(self.end, self.start + self.step.hands_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kitchen:
    """A plan, its timeline, and what was already going (or over) when it was planned.

    `past` are uses of ovens that had ended by then.
    """

    plan: Plan
    timeline: Timeline
    now: Now
    settings: PlanningSettings
    going: frozenset[StepId] = frozenset()
    over: frozenset[StepId] = frozenset()
    past: tuple[Stay, ...] = ()

    def stays(self) -> list[Stay]:
        steps = {step.id: step for step in (*self.plan.steps, *self.timeline.added)}
        return [
            Stay(steps[p.step], p.start.epoch_s, p.end.epoch_s, p.step in self.going)
            for p in self.timeline.planned
        ]


def faults(kitchen: Kitchen) -> list[str]:
    """Everything that is wrong with the timeline; an empty list if nothing is."""
    stays = kitchen.stays()
    found = [*_presence(kitchen, stays), *_order(kitchen, stays), *_hands(kitchen, stays)]
    found += [*_places(kitchen, stays), *_temperatures(stays), *_pass(kitchen, stays)]
    return [*found, *_heat(kitchen, stays)]


def freshness_faults(kitchen: Kitchen) -> list[str]:
    """What stands longer than it keeps, or reminds too late, by more than is worth words."""
    stays = {stay.step.id: stay for stay in kitchen.stays()}
    grace = kitchen.settings.explain_from_s + kitchen.settings.answer_s
    found = []
    ready = max(kitchen.timeline.serve.epoch_s, kitchen.timeline.ready.epoch_s)
    for stay in stays.values():
        if stay.is_going or stay.step.added:
            continue
        if stay.step.during is not None:
            due = stays[stay.step.during].start + (stay.step.at_s or 0) + kitchen.settings.reminder_slack_s
            if stay.start > due + grace:
                found.append(f"{stay.step.name} reminds too late")
            continue
        if stay.step.keeps_s is None:
            continue
        followers = [
            o.start
            for o in stays.values()
            if stay.step.id in o.step.after and o.step.during is None and not o.step.added
        ]
        until = max(followers, default=ready)
        if until - stay.end > stay.step.keeps_s + grace:
            found.append(f"{stay.step.name} stands too long")
    return found


def _presence(kitchen: Kitchen, stays: list[Stay]) -> Iterator[str]:
    placed = [stay.step.id for stay in stays]
    if len(placed) != len(set(placed)):
        yield "a step is there twice"
    for step in kitchen.plan.steps:
        host = next((other for other in kitchen.plan.steps if other.id == step.during), None)
        if host is not None and (step.at_s or 0) >= host.takes.high_s:
            continue
        if step.id not in placed and step.id not in kitchen.over:
            yield f"{step.name} is missing"
    for stay in stays:
        if stay.is_going:
            continue
        if stay.start < kitchen.now.wall.epoch_s:
            yield f"{stay.step.name} starts before now"
        takes = stay.step.takes
        # What is a guess may be given more than its middle or less, for the chance that is wanted: the wider
        # it is, the more. Three deviations are the most; those of a reading end 1.28 from the middle.
        most_s = takes.high_s * max(1.5, (takes.high_s / max(takes.low_s, 1)) ** (1.72 / 2.56))
        is_given = takes.low_s * 0.8 <= stay.end - stay.start <= most_s
        is_guess = (takes.is_guess or stay.step.until is not None) and is_given
        if not is_guess and stay.end - stay.start != max(takes.high_s, stay.step.hands_s):
            yield f"{stay.step.name} has the wrong length"


def _order(kitchen: Kitchen, stays: list[Stay]) -> Iterator[str]:
    known = {stay.step.id: stay for stay in stays}
    for stay in stays:
        if stay.is_going:
            continue
        for before in stay.step.after:
            if before in known and stay.start < known[before].end:
                yield f"{stay.step.name} starts before {before} ends"
        host = known.get(stay.step.during) if stay.step.during is not None else None
        if host is not None and stay.start < host.start + (stay.step.at_s or 0):
            yield f"{stay.step.name} reminds too soon"


def _overfull(taken: list[tuple[float, float, int, bool]], room: int) -> bool:
    """Whether more than `room` is taken at any moment at which something not yet going takes part."""
    for moment in {start for start, _, _, _ in taken}:
        here = [(n, going) for start, end, n, going in taken if start <= moment < end]
        if sum(n for n, _ in here) > room and not all(going for _, going in here):
            return True
    return False


def _hands(kitchen: Kitchen, stays: list[Stay]) -> Iterator[str]:
    taken = [(stay.start, stay.hands_end, 1, stay.is_going) for stay in stays if stay.step.hands_s]
    if _overfull(taken, kitchen.plan.cooks):
        yield "hands in two places"


def _places(kitchen: Kitchen, stays: list[Stay]) -> Iterator[str]:
    for item in kitchen.plan.equipment:
        taken = [
            (stay.start, stay.end, use.places, stay.is_going)
            for stay in stays
            for use in stay.step.uses
            if use.equipment == item.id
        ]
        if _overfull(taken, item.places):
            yield f"too much in the {item.name}"


def _ovens(stays: list[Stay]) -> Iterator[tuple[str, float, Stay]]:
    for stay in stays:
        for use in stay.step.uses:
            if use.at is not None:
                yield use.equipment, use.at.celsius, stay


def _temperatures(stays: list[Stay]) -> Iterator[str]:
    uses = list(_ovens(stays))
    for place, (oven, celsius, one) in enumerate(uses):
        for other_oven, other_c, other in uses[place + 1 :]:
            if oven != other_oven or abs(celsius - other_c) <= CLOSE_C or (one.is_going and other.is_going):
                continue
            if one.start < other.end and other.start < one.end:
                yield f"{one.step.name} and {other.step.name} want the {oven} at two temperatures"


def _heat(kitchen: Kitchen, stays: list[Stay]) -> Iterator[str]:
    """Each oven lived through from cold: whatever goes in finds it hot, and heating takes its time."""
    for oven in dict.fromkeys(name for name, _, _ in _ovens(stays)):
        own = next((item.preheat_s for item in kitchen.plan.equipment if item.id == oven), None)
        preheat = kitchen.settings.preheat_s if own is None else own
        uses = [(stay, celsius) for name, celsius, stay in _ovens([*kitchen.past, *stays]) if name == oven]
        if preheat > 0:
            ordered = sorted(uses, key=lambda use: (use[0].start, use[0].end))
            yield from _lived_through(kitchen.settings, ordered, preheat)


def _lived_through(settings: PlanningSettings, uses: list[tuple[Stay, float]], preheat: int) -> Iterator[str]:
    celsius, until, hot_at = 0.0, float("-inf"), float("-inf")
    for stay, wanted in uses:
        is_hot = stay.start <= until + settings.linger_s
        is_near = abs(wanted - celsius) <= CLOSE_C
        if stay.step.added:
            # What shares an oven leaves it anywhere within the shared 10 C.
            rise = (abs(wanted - celsius) - CLOSE_C) / 10 * settings.change_s_per_10c
            needed = max(settings.change_least_s, rise) if is_hot else preheat
            if stay.end - stay.start < round(needed) and not stay.is_going:
                yield f"{stay.step.name} is too short"
            # An oven heated on purpose is left on until something goes in.
            celsius, until = wanted, float("inf") if stay.is_going else stay.end
            hot_at = stay.end
        elif stay.is_going:
            celsius, until = wanted, max(until, stay.end) if until < float("inf") else stay.end
        else:
            if not is_hot or not is_near:
                yield f"{stay.step.name} finds the oven at {celsius if is_hot else 0:g}"
            elif stay.start < hot_at:
                yield f"{stay.step.name} goes in before the oven is hot"
            until = stay.end if until == float("inf") else max(until, stay.end)
            celsius = celsius if is_near else wanted


def _pass(kitchen: Kitchen, stays: list[Stay]) -> Iterator[str]:
    timeline = kitchen.timeline
    last = max((stay.end for stay in stays), default=timeline.serve.epoch_s)
    if last > timeline.serve.epoch_s + timeline.late_by_s:
        yield "something ends after the pass"
    if stays and timeline.late_by_s != max(0, timeline.ready.epoch_s - timeline.serve.epoch_s):
        yield "the lateness is not what it says"
