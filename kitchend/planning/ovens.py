"""Ovens in the model: one temperature at a time, hot before anything goes in, time to heat and to change.

Each use of an oven at a temperature is an entry. An entry finds the oven warm from a use it can share with,
or turned from another temperature, or cold; of these exactly one holds, and the last two put a heating before
it. Entries that cannot share never overlap, heating included. What was before now is an entry that is a
fact.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from kitchend.core.plan import EquipmentId, StepId, Use, can_share
from kitchend.planning.problem import Problem, Task
from kitchend.planning.solver import Model, Var


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Entry:
    """One use of one oven at one temperature. `heat` is when heating for it starts (its start if none does).

    `task` is None for an oven that was set before now; `is_fact` entries come before all others.
    """

    oven: EquipmentId
    celsius: float
    start: Var
    end: Var
    heat: Var
    ready: Var
    place: int
    task: Task | None = None
    use: Use | None = None
    is_fact: bool = False
    waits: bool = False


@dataclass(slots=True, kw_only=True)
class Ways:
    """How an entry may find its oven: the literals, and how long each heating takes."""

    entry: Entry
    warm: list[Var] = field(default_factory=list)
    heated: list[tuple[Var, int]] = field(default_factory=list)


def add_ovens(model: Model, problem: Problem, starts: Mapping[StepId, Var]) -> tuple[Ways, ...]:
    """Put every oven's rules into the model; what it takes to have each free entry's oven hot."""
    ways: list[Ways] = []
    for oven in _ovens(problem):
        entries = _facts(problem, oven) + _free(model, problem, oven, starts)
        ways += _Oven(model, problem, oven, entries).ways()
    return tuple(ways)


def _ovens(problem: Problem) -> list[EquipmentId]:
    uses = [use for task in problem.tasks if not task.is_over for use in task.uses if use.at is not None]
    return list(dict.fromkeys(use.equipment for use in uses))


def _facts(problem: Problem, oven: EquipmentId) -> list[Entry]:
    facts = sorted((hot for hot in problem.hot if hot.oven == oven), key=lambda hot: (hot.start_s, hot.end_s))
    return [
        Entry(
            oven=oven,
            celsius=hot.celsius,
            start=Var(None, hot.start_s),
            end=Var(None, hot.end_s),
            heat=Var(None, hot.start_s),
            ready=Var(None, hot.ready_s),
            place=place,
            is_fact=True,
            waits=hot.waits,
        )
        for place, hot in enumerate(facts)
    ]


def _free(model: Model, problem: Problem, oven: EquipmentId, starts: Mapping[StepId, Var]) -> list[Entry]:
    entries = []
    for place, task in enumerate(problem.tasks):
        use = next((use for use in task.uses if use.equipment == oven and use.at is not None), None)
        if use is None or use.at is None or task.is_fact or task.is_over:
            continue
        start = starts[task.id]
        entries.append(
            Entry(
                oven=oven,
                celsius=use.at.celsius,
                start=start,
                end=start + task.length_s,
                heat=model.var(0, problem.horizon_s),
                ready=start,
                place=1000 + place,
                task=task,
                use=use,
            )
        )
    return entries


def _may_drift(entries: list[Entry]) -> bool:
    """Whether some that cannot share could each share with one between: an oven set for the first would not
    do for the last.
    """
    each = sorted({entry.celsius for entry in entries})
    return any(
        can_share(a, b) and can_share(b, c) and not can_share(a, c) for a in each for b in each for c in each
    )


class _Oven:
    """The rows of one oven."""

    def __init__(self, model: Model, problem: Problem, oven: EquipmentId, entries: list[Entry]) -> None:
        self._model = model
        self._problem = problem
        self._oven = oven
        self._entries = entries
        self._first: dict[tuple[int, int], Var] = {}
        self._own_dial: dict[int, Var] = {}
        self._dials = self._dials_of(entries) if _may_drift(entries) else {}

    def ways(self) -> list[Ways]:
        self._keep_apart()
        return [self._ways(entry) for entry in self._entries if not entry.is_fact]

    def _dials_of(self, entries: list[Entry]) -> dict[int, Var]:
        """To what the oven is set while an entry is in it: the place among its temperatures."""
        each = sorted({entry.celsius for entry in entries})
        dials = {}
        for entry in entries:
            near = [place for place, celsius in enumerate(each) if can_share(celsius, entry.celsius)]
            own = each.index(entry.celsius)
            self._own_dial[entry.place] = Var(None, own)
            dials[entry.place] = Var(None, own) if entry.is_fact else self._model.var(near[0], near[-1])
        return dials

    def _set_to(self, entry: Entry, dial: Var, when: Var) -> None:
        own = self._dials[entry.place]
        self._model.not_before(own, dial, when=(when,))
        self._model.not_before(dial, own, when=(when,))

    def _keep_apart(self) -> None:
        """Entries that cannot share: one is over before the heating for the other starts."""
        for place, one in enumerate(self._entries):
            for other in self._entries[place + 1 :]:
                if other.is_fact or can_share(one.celsius, other.celsius):
                    continue
                first = self._model.true if one.is_fact else self._model.bool_var()
                self._first[one.place, other.place] = first
                self._model.not_before(other.heat, one.end, when=(first,))
                if not one.is_fact:
                    last = self._opposite(first)
                    self._first[other.place, one.place] = last
                    self._model.not_before(one.heat, other.end, when=(last,))

    def _opposite(self, literal: Var) -> Var:
        other = self._model.bool_var()
        self._model.exactly_one((literal, other))
        return other

    def _ways(self, entry: Entry) -> Ways:
        ways = Ways(entry=entry)
        preheat = self._problem.preheat_s(self._oven)
        if preheat == 0:
            self._warm_at_once(entry)
            return ways
        for other in self._entries:
            if other is not entry and can_share(other.celsius, entry.celsius):
                ways.warm += self._warm_from(other, entry)
            elif other is not entry:
                ways.heated += self._turned_from(other, entry)
        ways.heated.append((self._cold(entry, preheat), preheat))
        self._model.exactly_one([*ways.warm, *(literal for literal, _ in ways.heated)])
        for literal in ways.warm:
            self._model.not_before(entry.heat, entry.start, when=(literal,))
        self._model.not_before(entry.start, entry.heat)
        return ways

    def _warm_at_once(self, entry: Entry) -> None:
        self._model.not_before(entry.heat, entry.start)
        self._model.not_before(entry.start, entry.heat)

    def _warm_from(self, other: Entry, entry: Entry) -> list[Var]:
        """The oven is already there: `other` is in it or was until a little while ago, nothing else since."""
        if self._is_overtaken(other, entry):
            return []
        literal = self._model.bool_var()
        ready = other.ready if other.place < entry.place else other.ready + 1
        self._model.not_before(entry.start, ready, when=(literal,))
        self._still_hot(literal, other, entry, entry.start)
        self._nothing_between(literal, other, entry)
        if self._dials:
            self._set_to(entry, self._dials[other.place], literal)
        return [literal]

    def _turned_from(self, other: Entry, entry: Entry) -> list[tuple[Var, int]]:
        """The oven is hot from `other` at another temperature and is turned up or down."""
        if self._is_overtaken(other, entry):
            return []
        literal = self._model.bool_var()
        takes = self._problem.change_s(other.celsius, entry.celsius)
        self._model.at_least([(-1, literal), (1, self._first[other.place, entry.place])], 0)
        self._still_hot(literal, other, entry, entry.heat)
        self._nothing_between(literal, other, entry)
        self._heated(entry, literal, takes)
        return [(literal, takes)]

    def _still_hot(self, literal: Var, other: Entry, entry: Entry, at: Var) -> None:
        """An oven lingers after a use; one heated on purpose waits for its first, then lingers too."""
        for used in self._users_of(other, entry) if other.waits else (other,):
            self._model.not_before(used.end + self._problem.settings.linger_s, at, when=(literal,))

    def _users_of(self, heated: Entry, but: Entry) -> list[Entry]:
        """What may go into an oven heated on purpose."""
        free = [entry for entry in self._entries if not entry.is_fact and entry is not but]
        return [entry for entry in free if can_share(entry.celsius, heated.celsius)]

    def _cold(self, entry: Entry, preheat: int) -> Var:
        """The oven is cold: nothing at another temperature was in it within the time it stays hot."""
        literal = self._model.bool_var()
        for other in self._entries:
            first = self._first.get((other.place, entry.place))
            if first is None or self._is_overtaken(other, entry):
                continue
            if other.waits:
                self._used_up(literal, other, entry)
            else:
                gone = other.end + self._problem.settings.linger_s
                self._model.not_before(entry.heat, gone, when=(literal, first))
        self._heated(entry, literal, preheat)
        return literal

    def _used_up(self, literal: Var, heated: Entry, entry: Entry) -> None:
        """An oven heated on purpose is cold only long after something was in it."""
        gone = []
        for used in self._users_of(heated, entry):
            gone.append(self._model.bool_var())
            cools = used.end + self._problem.settings.linger_s
            self._model.not_before(entry.heat, cools, when=(gone[-1],))
        self._model.at_least([(1, one) for one in gone], 1, when=(literal,))

    def _heated(self, entry: Entry, literal: Var, takes: int) -> None:
        settings = self._problem.settings
        soonest = entry.heat + (takes + settings.answer_s)
        self._model.not_before(entry.start, soonest, when=(literal,))
        self._model.not_before(soonest + settings.heat_wait_s, entry.start, when=(literal,))
        if self._dials:
            self._set_to(entry, self._own_dial[entry.place], literal)

    def _nothing_between(self, literal: Var, other: Entry, entry: Entry) -> None:
        for third in self._entries:
            after = self._first.get((other.place, third.place))
            before = self._first.get((third.place, entry.place))
            if third not in (other, entry) and after is not None and before is not None:
                self._model.not_all((literal, after, before))

    def _is_overtaken(self, other: Entry, entry: Entry) -> bool:
        """Whether a later fact has set the oven to something else since the fact `other`."""
        if not other.is_fact:
            return False
        return any(
            third.is_fact and third.place > other.place and not can_share(third.celsius, other.celsius)
            for third in self._entries
        )
