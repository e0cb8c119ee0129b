"""Every spoken name of a dinner and what it may mean: steps, dishes, equipment, timers.

A name is said in lower-case words; articles never matter when it is looked up. One name may mean several
steps: which is meant is for the dinner, which knows what was called last. Nothing here guesses.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from unicodedata import normalize

from kitchend.core.languages.language import Imperative
from kitchend.core.plan import Dish, DishId, EquipmentId, Plan, Step, StepId
from kitchend.core.quantities import Scale
from kitchend.core.state import DinnerState
from kitchend.core.timers import TimerId
from kitchend.core.tongue import of_state, tongue


def spoken(text: str) -> str:
    """The words of a text as they are said: lower case, digits and hyphens as words, other signs left out."""
    found: list[str] = tongue().naming.WORD.findall(
        normalize("NFC", text).lower().translate(tongue().naming.LETTERS)
    )
    return " ".join(filter(None, (_said(word) for word in found)))


def _said(token: str) -> str:
    if not token.isdigit():
        return token.rstrip("'")
    return tongue().naming.written_number(token)


def without_articles(name: str) -> str:
    """The name as it is looked up."""
    return tongue().reading.bare(name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """What a spoken name may mean: steps in the order of the plan, and perhaps equipment, a timer, a dish."""

    steps: tuple[StepId, ...] = ()
    equipment: EquipmentId | None = None
    timer: TimerId | None = None
    dish: DishId | None = None

    def and_also(self, other: Meaning) -> Meaning:
        """Both meanings in one."""
        return Meaning(
            steps=tuple(dict.fromkeys(self.steps + other.steps)),
            equipment=self.equipment or other.equipment,
            timer=self.timer or other.timer,
            dish=self.dish or other.dish,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """A step named by what is done ("take the chicken out") and what that name can be turned into.

    `thing` is what it is done to, empty if the name says none; then there are no other shapes. `others` are
    what may be said for the thing: its last word where no other thing ends so ("nuts" for "pine nuts"), and
    the dish's other names where it is the dish. `done` are participles ("taken out"), `doing` gerunds
    ("taking out").
    """

    name: str
    steps: tuple[StepId, ...]
    thing: str = ""
    others: tuple[str, ...] = ()
    done: tuple[str, ...] = ()
    doing: tuple[str, ...] = ()

    def named_by(self, other: str) -> str:
        """The action with another name of the thing."""
        return self.name.replace(self.thing, other)


@dataclass(frozen=True, kw_only=True, eq=False)
class Names:
    """All spoken names of a dinner. `actions` name steps by what is done, `things` by what it is done to.

    The keys of `things` and `meanings` have no articles, those of `actions` are as written. Made once a
    dinner and compared by identity, so that what depends on it can be kept. `usual` are the things as the
    steps themselves call them: likelier than other names of the same.
    """

    plan: Plan | None = None
    steps: tuple[Step, ...] = ()
    actions: Mapping[str, Action] = field(default_factory=dict)
    things: Mapping[str, Meaning] = field(default_factory=dict)
    usual: frozenset[str] = frozenset()
    equipment: Mapping[str, EquipmentId] = field(default_factory=dict)
    meanings: Mapping[str, Meaning] = field(default_factory=dict)

    def meaning(self, name: str) -> Meaning:
        """What a name may mean; nothing if it is no name of this dinner."""
        return self.meanings.get(without_articles(spoken(name)), Meaning())

    def is_oven(self, name: str) -> bool:
        """Whether a thing is equipment that is heated, and no timer that was given its name."""
        return name in self.equipment and self.meaning(name).timer is None


@of_state
def meaning(name: str, state: DinnerState) -> Meaning:
    """What a spoken name may mean now; an empty Meaning if it is no name of this dinner.

    A dish name means all its steps in order, a step name that step and its repeats.
    """
    return names_of(state).meaning(name)


@of_state
def spoken_names(state: DinnerState) -> Mapping[str, Meaning]:
    """Every spoken name, as written and without articles, with what it may mean."""
    names = names_of(state)
    written = {name: names.meaning(name) for name in (*names.actions, *names.things, *names.equipment)}
    return {**names.meanings, **written}


@of_state
def names_of(state: DinnerState) -> Names:
    """The names of the dinner that is on; with none on, those of the timers alone."""
    asked_for = tuple(timer for timer in state.timers if timer.step is None)
    named = tuple((timer.id, spoken(timer.name)) for timer in asked_for)
    return _names(tongue().tag, state.plan, state.steps, named)


@lru_cache(maxsize=8)
def _names(
    tag: str, plan: Plan | None, steps: tuple[Step, ...], timers: tuple[tuple[TimerId, str], ...]
) -> Names:
    """Kept for the last few dinners, each in its language."""
    dishes = plan.dishes if plan else ()
    equipment = {spoken(item.name): item.id for item in (plan.equipment if plan else ())}
    actions = _actions(steps, dishes)
    taken = {*map(without_articles, actions), *equipment, *(name.split()[-1] for name in equipment if name)}
    whole = [*_dish_names(dishes, steps), *_thing_names(steps), *_timer_names(timers)]
    things = _joined([*whole, *partly_said(whole, taken)])
    every = _joined(
        [(name, Meaning(steps=action.steps)) for name, action in actions.items()]
        + list(things.items())
        + [(name, Meaning(equipment=item)) for name, item in equipment.items()]
    )
    return Names(
        plan=plan,
        steps=steps,
        actions=actions,
        things={name: every[without_articles(name)] for name in things},
        usual=frozenset(action.thing for action in actions.values()) | {name for _, name in timers},
        equipment={name: item for name, item in equipment.items() if name},
        meanings=every,
    )


def _joined(pairs: Iterable[tuple[str, Meaning]]) -> dict[str, Meaning]:
    """Names without their articles; equal ones mean all that each of them means."""
    joined: dict[str, Meaning] = {}
    for name, meant in pairs:
        bare = without_articles(name)
        if bare:
            joined[bare] = joined[bare].and_also(meant) if bare in joined else meant
    return joined


def _dish_names(dishes: Iterable[Dish], steps: tuple[Step, ...]) -> Iterator[tuple[str, Meaning]]:
    for dish in dishes:
        own = tuple(step.id for step in steps if step.dish == dish.id)
        for name in (dish.name, *dish.also):
            yield spoken(name), Meaning(steps=own, dish=dish.id)
        head = _head(dish, dishes)
        if head:
            yield head, Meaning(steps=own, dish=dish.id)


def partly_said(named: Iterable[tuple[str, Meaning]], taken: Container[str]) -> Iterator[tuple[str, Meaning]]:
    """The ends of longer names ("nuts", "nut tart"), where all names that end so are of the same steps' dish.

    An end that is a name itself, of whatever, is left to that.
    """
    known = [(without_articles(name), meant) for name, meant in named]
    whole = {name for name, _ in known}
    ends: dict[str, list[Meaning]] = {}
    for name, meant in known:
        for end in tongue().naming.ends(name):
            if end not in whole and end not in taken:
                ends.setdefault(end, []).append(meant)
    for end, meanings in ends.items():
        if all(set(meanings[0].steps) & set(other.steps) or meanings[0] == other for other in meanings):
            yield from ((end, meant) for meant in meanings)


def _head(dish: Dish, dishes: Iterable[Dish]) -> str:
    """The last word of "roast chicken", if the dish's steps are done to it and no other dish ends in it."""
    words = spoken(dish.name).split()
    things = {taken_apart(spoken(step.name)).thing for step in dish.steps}
    lasts = [spoken(other.name).split()[-1:] for other in dishes]
    is_own = len(words) > 1 and words[-1] in things and lasts.count(words[-1:]) == 1
    return words[-1] if is_own else ""


def _thing_names(steps: tuple[Step, ...]) -> Iterator[tuple[str, Meaning]]:
    for step in steps:
        for name in (taken_apart(spoken(step.name)).thing, *map(spoken, step.also)):
            yield name, Meaning(steps=(step.id,))


def _timer_names(timers: Sequence[tuple[TimerId, str]]) -> Iterator[tuple[str, Meaning]]:
    yield from ((name, Meaning(timer=timer)) for timer, name in timers)
    if len(timers) == 1:
        yield spoken(tongue().things.TIMER), Meaning(timer=timers[0][0])


def _actions(steps: tuple[Step, ...], dishes: Iterable[Dish]) -> dict[str, Action]:
    """Actions by their name as written; steps of equal names (repeats, say) are one action."""
    written: dict[str, str] = {}
    ids: dict[str, list[StepId]] = {}
    dish_of: dict[str, DishId] = {}
    for step in steps:
        name = spoken(step.name)
        bare = without_articles(name)
        ids.setdefault(bare, []).append(step.id)
        written.setdefault(bare, name)
        dish_of.setdefault(bare, step.dish)
    named = {dish.id: _other_names(dish, dishes) for dish in dishes}
    things = {taken_apart(name).thing for name in written.values()}
    lasts = Counter(thing.split()[-1] for thing in things if thing)
    found = {}
    for bare, own in ids.items():
        if bare:
            action = _action(written[bare], tuple(own), lasts)
            taken = action.others + named.get(dish_of[bare], {}).get(action.thing, ())
            free = (one for one in taken if without_articles(action.named_by(one)) not in ids)
            found[written[bare]] = replace(action, others=tuple(dict.fromkeys(free)))
    return found


def _other_names(dish: Dish, dishes: Iterable[Dish]) -> Mapping[str, tuple[str, ...]]:
    """For each name of a dish the others that no other dish has: "carve the bird" for "carve the chicken"."""
    own = dict.fromkeys(filter(None, (*map(spoken, (dish.name, *dish.also)), _head(dish, dishes))))
    foreign = {spoken(name) for other in dishes if other is not dish for name in (other.name, *other.also)}
    return {name: tuple(one for one in own if one != name and one not in foreign) for name in own}


def _action(name: str, steps: tuple[StepId, ...], lasts: Mapping[str, int]) -> Action:
    parts = taken_apart(name)
    if not parts.thing:
        return Action(name=name, steps=steps)
    last = parts.thing.split()[-1]
    is_enough = last in list(tongue().naming.ends(parts.thing)) and lasts[last] == 1
    turned = tongue().naming.shapes(parts)
    return Action(
        name=name,
        steps=steps,
        thing=parts.thing,
        others=(last,) if is_enough else (),
        done=turned.done,
        doing=turned.doing,
    )


def taken_apart(name: str) -> Imperative:
    """The parts of a spoken step name."""
    return tongue().naming.taken_apart(name)


def short_name(step: Step, plan: Plan) -> str:
    """How kitchend itself says what a step is done to: "greens", "chicken"; else the dish, else the step."""
    parts = taken_apart(spoken(step.name))
    if parts.thing:
        return parts.thing
    dish = next((dish for dish in plan.dishes if dish.id == step.dish), None)
    return spoken(dish.name if dish else step.name) or step.name


def scale_of(plan: Plan | None) -> Scale:
    """The scale a plan's temperatures are written in: that of its first one, Celsius if it has none."""
    for step in plan.iter_steps() if plan else ():
        found = [step.until, *(use.at for use in step.uses)]
        for temperature in found:
            if temperature is not None:
                return temperature.scale
    return Scale.CELSIUS
