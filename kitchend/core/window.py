"""Which names, numbers and rules make sense in a state, and how likely each is: state -> lexicons, weights.

What was called last will be answered; only what is on can be held or given time; only held things carry on.
A step that has ended is not expected any more. Names and numbers only: wordings are the phrasebook's.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from kitchend.core import lexicons as lex
from kitchend.core.amounts import Kind, all_amounts, amounts, asked_kind
from kitchend.core.clock import TimeOfDay
from kitchend.core.forms import Gate
from kitchend.core.grammar import ANY, AnyWords, Entry, Lexicon
from kitchend.core.names import Meaning, Names, names_of, scale_of, spoken, taken_apart, without_articles
from kitchend.core.numbers import words_of
from kitchend.core.plan import EquipmentId, Step, StepId
from kitchend.core.state import DinnerState
from kitchend.core.steps import ENDED, StepState
from kitchend.core.timers import TimerId
from kitchend.core.tongue import DEFAULT, of_state, tongue

_S = StepState
_MOVING = frozenset({_S.CALLED, _S.ON, _S.UP, _S.HELD})

UNHEARD_WEIGHT, CALLED_WEIGHT, UP_WEIGHT = 8.0, 5.0, 7.0
AT_HAND_WEIGHT, ON_WEIGHT, READY_WEIGHT = 5.0, 2.0, 1.0
"""How likely a step is named next: called, called and heard, up; on with hands only, on, could be begun."""

_WEIGHTS: Mapping[StepState, float] = {
    _S.UP: UP_WEIGHT,
    _S.HELD: ON_WEIGHT,
    _S.DONE: 0.0,
    _S.DROPPED: 0.0,
}

LATER_WEIGHT = 0.4
"""How likely the cook asks after what waits for its time."""

LAST_CALLED_FACTOR, OTHER_NAME_FACTOR, OVEN_FACTOR = 2.0, 0.5, 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One answer to the question: its spoken name, and the place in the list."""

    name: str
    place: int


@dataclass(frozen=True, kw_only=True)
class View:
    """The part of a state that decides what can be said. `moved` holds the steps that are not waiting."""

    names: Names
    language: str = DEFAULT
    menu: tuple[str, ...] = ()
    moved: tuple[tuple[StepId, StepState, bool], ...] = ()
    timers: tuple[tuple[TimerId, bool], ...] = ()
    last_called: tuple[StepId, ...] = ()
    answers: tuple[Answer, ...] = ()
    is_asked: bool = False
    is_talking: bool = False
    has_rung: bool = False
    has_past: bool = False
    is_unsure: bool = False
    is_served: bool = False
    number: Kind | None = None
    has_yes: bool = False
    serve: TimeOfDay | None = None

    def without_progress(self) -> View:
        """The same dinner whatever has happened in it: for reading any text."""
        return View(
            names=self.names,
            language=self.language,
            menu=self.menu,
            timers=self.timers,
            answers=self.answers,
        )

    @cached_property
    def states(self) -> Mapping[StepId, StepState]:
        """The state of every step."""
        return {step.id: _S.WAITING for step in self.names.steps} | {
            step: state for step, state, _ in self.moved
        }

    @cached_property
    def unheard(self) -> frozenset[StepId]:
        """Steps whose call nobody has acknowledged."""
        return frozenset(s for s, state, heard in self.moved if state in (_S.CALLED, _S.UP) and not heard)

    @property
    def is_awaiting(self) -> bool:
        """Whether a call waits for an answer."""
        return bool(self.unheard) or self.has_rung

    @property
    def is_called_lately(self) -> bool:
        """Whether what was called last goes on: "on it" is said of that, whatever has been answered."""
        return self.is_warned or any(self.states.get(step) in _MOVING for step in self.last_called)

    @property
    def is_warned(self) -> bool:
        """Whether what was told of last waits for its time: a warning, which may be answered too soon."""
        return any(self.states.get(step) is _S.WAITING for step in self.last_called)

    @cached_property
    def weights(self) -> Mapping[StepId, float]:
        """How likely each step is named next; steps that are not expected are left out."""
        weighed = ((step.id, self._weight(step)) for step in self.names.steps)
        last = frozenset(self.last_called)
        return {s: weight * (LAST_CALLED_FACTOR if s in last else 1.0) for s, weight in weighed if weight}

    def _weight(self, step: Step) -> float:
        state = self.states[step.id]
        if state is _S.CALLED:
            return UNHEARD_WEIGHT if step.id in self.unheard else CALLED_WEIGHT
        if state is _S.ON:
            return AT_HAND_WEIGHT if step.is_hands_only else ON_WEIGHT
        if state is _S.WAITING:
            return READY_WEIGHT if self._could_begin(step) else 0.0
        return _WEIGHTS[state]

    def _could_begin(self, step: Step) -> bool:
        """Whether all it waits for is under way or over."""
        parent = step.during is None or self.states.get(step.during) in _MOVING
        return parent and all(self.states.get(before, _S.DONE) != _S.WAITING for before in step.after)

    def is_any(self, *states: StepState) -> bool:
        """Whether any step is in one of these states."""
        return any(state in states for _, state, _ in self.moved)


@of_state
def view_of(state: DinnerState) -> View:
    """What of a state decides what can be said."""
    records = ((step.id, state.record_of(step.id)) for step in state.steps)
    asked = state.asked
    return View(
        names=names_of(state),
        language=state.language,
        menu=state.menu,
        moved=tuple((step, r.state, r.is_heard) for step, r in records if r.state is not _S.WAITING),
        timers=tuple((timer.id, timer.is_held) for timer in state.timers if timer.step is None),
        last_called=state.last_called,
        answers=tuple(
            Answer(name=spoken(c.name), place=i) for i, c in enumerate(asked.choices if asked else ())
        ),
        is_asked=asked is not None,
        is_talking=state.speaking is not None or bool(state.waiting_calls),
        has_rung=bool(state.open_calls),
        has_past=bool(state.past),
        is_unsure=state.unsure is not None,
        is_served=state.served_at is not None,
        number=asked_kind(state),
        has_yes=asked is not None and asked.yes is not None,
        serve=None if state.serve is None else _hour_of(state.serve.time_of_day),
    )


def _hour_of(time: TimeOfDay) -> TimeOfDay:
    """The pass to the hour: a pass that slips by minutes changes nothing in what can be said."""
    return TimeOfDay(time.hour)


def gates_of(view: View) -> frozenset[Gate]:
    """What is so in this state."""
    held = view.is_any(_S.HELD) or any(is_held for _, is_held in view.timers)
    is_on = view.names.plan is not None
    facts = {
        Gate.ALWAYS: True,
        Gate.DINNER: is_on,
        Gate.NO_DINNER: not is_on or view.is_served,
        Gate.CALLED: view.is_awaiting or view.is_called_lately,
        Gate.OPEN_STEP: view.is_any(_S.CALLED, _S.ON, _S.UP) or view.is_warned,
        Gate.RUNNING: view.is_any(_S.ON, _S.UP) or bool(view.timers),
        Gate.HELD: held,
        Gate.ASKED: view.is_asked,
        Gate.CHOICES: bool(view.answers),
        Gate.TALKING: view.is_talking or view.is_awaiting,
        Gate.PAST: view.has_past,
        Gate.NUMBER: view.number is not None,
        Gate.UNSURE: view.is_unsure,
    }
    return frozenset(gate for gate, is_so in facts.items() if is_so)


_RULE_WEIGHTS: Mapping[str, float] = {
    "step": 4.0, "finish": 4.0, "start": 3.0, "finish it": 1.0, "start it": 0.7, "heard": 8.0,
    "time left": 4.0, "time left on it": 1.0, "next": 3.0, "what is on": 2.0, "pass": 1.0, "on time": 1.0,
    "say again": 1.5, "give": 4.0, "take": 0.8, "hold": 1.0, "carry on": 2.0, "drop": 0.6, "drop it": 0.2,
    "reading": 3.0, "oven reading": 0.7, "cook": 10.0, "shift": 0.8, "pass at": 0.7,
    "undo": 1.5, "missed": 0.5, "quiet": 0.8, "time": 1.5, "remind": 1.0, "let in": 0.1,
    "louder": 0.15, "softer": 0.15, "whisper": 0.05, "speak up": 0.05, "quiet for": 0.1,
    "choice": 30.0, "yes": 20.0, "okay": 3.0, "no": 20.0, "number": 12.0, "away": 20.0,
}  # fmt: skip
"""How likely each rule is beside the others, when it makes sense. Guesses until real dinners are heard."""

HEARD_ALREADY_WEIGHT = 1.0
"""How likely "heard" is when no call waits for it."""

_WHEN_CALLED: Mapping[str, float] = {
    "step": 10.0,
    "finish": 8.0,
    "start": 8.0,
    "finish it": 3.0,
    "start it": 2.0,
}


def rule_weights(view: View) -> Mapping[str, float]:
    """How likely each rule is in this state."""
    if view.unheard:
        return {**_RULE_WEIGHTS, **_WHEN_CALLED}
    return _RULE_WEIGHTS if view.has_rung else {**_RULE_WEIGHTS, "heard": HEARD_ALREADY_WEIGHT}


def _things(view: View, states: Iterable[StepState], holds: bool | None = None) -> dict[str, float]:
    """Things with a step in one of these states, or a timer held as `holds` says (None: no timers)."""
    wanted, held = frozenset(states), dict(view.timers)
    found: dict[str, float] = {}
    for name, meant in view.names.things.items():
        weights = [view.weights.get(s, 0.0) for s in meant.steps if view.states.get(s) in wanted]
        if holds is not None and meant.timer is not None and held.get(meant.timer) is holds:
            weights.append(ON_WEIGHT)
        if any(weights):
            found[name] = max(weights) * (1.0 if name in view.names.usual else OTHER_NAME_FACTOR)
    return found


def _food(view: View, things: Mapping[str, float]) -> Mapping[str, float]:
    """Of these what is no oven: that goes on, but nobody says that it is in, or puts it on hold."""
    return {name: weight for name, weight in things.items() if not view.names.is_oven(name)}


def _food_first(view: View, things: Mapping[str, float]) -> Mapping[str, float]:
    """The same things: who gives more time, or drops something, seldom means an oven that heats."""
    factors = {name: OVEN_FACTOR if view.names.is_oven(name) else 1.0 for name in things}
    return {name: weight * factors[name] for name, weight in things.items()}


def _droppable(view: View) -> dict[str, float]:
    open_things = (
        name
        for name, meant in view.names.things.items()
        if meant.timer is not None or any(view.states.get(s) not in ENDED for s in meant.steps)
    )
    return dict.fromkeys(open_things, 1.0)


def _known(view: View) -> dict[str, float]:
    """What a cook may ask after: all that has not ended, what is under way far more likely."""
    later = dict.fromkeys(_droppable(view), LATER_WEIGHT)
    return later | _things(view, _MOVING, holds=False) | _things(view, (), holds=True)


def _probed(view: View) -> Iterator[tuple[str, int]]:
    """Things that end by a reading, or rest after that, and are under way, with the degrees they end at."""
    cooked = {step.dish: step.until for step in view.names.steps if step.until is not None}
    rests = {step.id: cooked.get(step.dish) for step in view.names.steps if not step.is_hands_only}
    untils = rests | {step.id: step.until for step in view.names.steps if step.until is not None}
    for name, meant in view.names.things.items():
        for step in meant.steps:
            until = untils.get(step)
            if until is not None and view.states[step] in _MOVING:
                yield name, round(until.degrees)
                break


def _heated(view: View) -> dict[str, int | None]:
    """Equipment that has a temperature, with the one asked for by what is under way or else first."""
    names, found = view.names, dict[EquipmentId, int | None]()
    for step in sorted(names.steps, key=lambda step: view.states[step.id] not in _MOVING):
        for use in step.uses:
            if use.at is not None:
                found.setdefault(use.equipment, round(use.at.degrees))
    for item in names.plan.equipment if names.plan else ():
        if item.preheat_s is not None:
            found.setdefault(item.id, None)
    return {name: found[item] for name, item in names.equipment.items() if item in found}


@of_state
def likely_lexicons(view: View) -> Mapping[str, Lexicon]:
    """The lexicons for what makes sense in this state."""
    named = {name: max(view.weights.get(s, 0.0) for s in a.steps) for name, a in view.names.actions.items()}
    expected = {name: weight for name, weight in named.items() if weight}
    begun, moving = _things(view, (_S.CALLED, _S.WAITING)), _things(view, _MOVING)
    readings, numbers = _likely_readings(view), lex.numbers(is_full=False, around=view.serve)
    return {
        "thing": lex.plain(_things(view, (*_MOVING, _S.WAITING))),
        "menu": lex.menu(view.menu),
        "equipment": lex.plain(dict.fromkeys(view.names.equipment, 1.0)),
        **lex.actions(view.names, expected, is_full=False),
        **lex.verbed("begun", begun, is_full=False),
        **lex.verbed("placed", _food(view, begun), is_full=False),
        **lex.verbed("ended", moving, is_full=False),
        **lex.verbed("known", _known(view), is_full=False),
        **lex.verbed("on", _food_first(view, _things(view, (_S.ON, _S.UP), holds=False)), is_full=False),
        **lex.verbed("held", _food(view, _things(view, (_S.HELD,), holds=True)), is_full=False),
        **lex.named("holdable", _food(view, _things(view, (_S.ON,), holds=False)), is_full=False),
        **lex.named("droppable", _food_first(view, _droppable(view)), is_full=False),
        **readings,
        **_answers(view, is_full=False),
        **_chores(view.names, expected),
        **numbers,
        **amounts(view.number, readings | numbers),
    }


def _likely_readings(view: View) -> dict[str, Lexicon]:
    scale = scale_of(view.names.plan)
    probed, heated = dict(_probed(view)), _heated(view)
    named = {name: 1.0 if name in view.names.usual else OTHER_NAME_FACTOR for name in probed}
    found = lex.verbed("core", named, is_full=False)
    found |= lex.verbed("heated", dict.fromkeys(heated, 1.0), is_full=False)
    if probed:
        found["core_degrees"] = lex.degrees(scale, True, next(iter(probed.values())))
    if heated:
        found["heated_degrees"] = lex.degrees(scale, False, next(filter(None, heated.values()), None))
    return found


@of_state
def full_lexicons(view: View) -> Mapping[str, Lexicon]:
    """The lexicons for everything that can be said about this dinner, now or later.

    Whoever types or presses may name a step by what is done ("hold steam the greens"); nobody says it so.
    """
    names, scale = view.names, scale_of(view.names.plan)
    things = dict.fromkeys(names.things, 1.0)
    equipment = dict.fromkeys(names.equipment, 1.0)
    either = things | dict.fromkeys(names.actions, 1.0)
    groups = dict.fromkeys(("begun", "placed", "on", "held"), either) | dict.fromkeys(
        ("ended", "known"), things
    )
    return {
        "thing": lex.plain(things),
        **lex.named("holdable", either, is_full=True),
        **lex.named("droppable", either, is_full=True),
        "menu": lex.menu(view.menu),
        "equipment": lex.plain(equipment),
        **lex.actions(names, dict.fromkeys(names.actions, 1.0), is_full=True),
        **{
            key: entries
            for group, called in groups.items()
            for key, entries in lex.verbed(group, called, is_full=True).items()
        },
        **lex.verbed("core", things, is_full=True),
        **lex.verbed("heated", things | equipment, is_full=True),
        **dict.fromkeys(("core_degrees", "heated_degrees"), lex.all_numbers()),
        "fraction": tongue().things.FRACTIONS,
        "scale": lex.scale_words(scale),
        **_answers(view, is_full=True),
        **_chores(names, dict.fromkeys(names.actions, 1.0)),
        **lex.numbers(is_full=True, around=None),
        **all_amounts(),
        ANY: AnyWords(),
    }


def _answers(view: View, is_full: bool) -> dict[str, Lexicon]:
    """What answers the question that was asked; places are read even when nothing was asked."""
    size = len(view.answers)
    things = tongue().things
    ordinals = things.ORDINALS if is_full else things.ORDINALS[:size]
    last = [Entry(things.LAST, -1)] if ordinals else []
    return {
        "choice": Lexicon(entry for answer in view.answers for entry in _answer_entries(view.names, answer)),
        "ordinal": Lexicon([*(Entry(word, i) for i, word in enumerate(ordinals)), *last]),
        "number": Lexicon(Entry(words_of(i + 1), i) for i in range(size)),
        "place": Lexicon(Entry(words_of(i + 1), i) for i in range(len(ordinals))),
    }


def _answer_entries(names: Names, answer: Answer) -> Iterator[Entry]:
    """The answer's name, and "carve it" for "carve the chicken"."""
    value = answer.name if names.meaning(answer.name) != Meaning() else answer.place
    yield from lex.both_ways(answer.name, value, 1.0)
    short = tongue().things.short_answer(taken_apart(without_articles(answer.name)))
    if short and answer.name in names.actions:
        yield Entry(short, value, 0.3)


def _chores(names: Names, actions: Mapping[str, float]) -> dict[str, Lexicon]:
    """What can be timed and what to be reminded of: the dinner's own things and a kitchen's common ones."""
    own = tuple(names.things)
    things = tongue().things
    return {
        "new": Lexicon(Entry(thing, thing) for thing in (*things.COMMON_THINGS, *own)),
        "chore": Lexicon(Entry(what, what) for what in things.chores(own, actions)),
    }
