"""What fills the slots of the English phrasebook beside numbers: things, verbs that agree, directions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from kitchend.core.grammar import Entry, Lexicon
from kitchend.core.languages.en.numbers import HALF_HOUR_S, HOUR_S, words_of
from kitchend.core.languages.en.small_words import READING
from kitchend.core.languages.en.verbs import is_plural
from kitchend.core.languages.language import Imperative, Weights

ORDINALS = "first second third fourth fifth sixth".split()
LAST = "last"

CELSIUS, FAHRENHEIT = ("celsius", "centigrade"), ("fahrenheit",)

COMMON_THINGS = (
    "eggs pasta rice bread pizza cake tea coffee beans oven water sauce soup dough steak toast"
).split()
"""What cooks put a timer on that no plan names."""

TIMER = "timer"
"""What a timer is called that is the only one, whatever its name."""

CHORES = (
    "check the oven",
    "turn the bread",
    "stir the sauce",
    "open the wine",
    "set the table",
    "light the candles",
    "warm the plates",
    "drain the water",
)
"""What cooks want to be reminded of that no plan names."""

_LESS, _RARE = 0.5, 0.2

MORE = Lexicon(
    (
        Entry("one more minute", 60, 3.0),
        Entry("another minute", 60),
        Entry("a minute more", 60, _LESS),
        Entry("a couple more minutes", 120),
        Entry("a couple of minutes more", 120, _LESS),
        Entry("half an hour more", HALF_HOUR_S),
        Entry("one more hour", HOUR_S, _RARE),
    )
)
"""More time in words that have no number of minutes in them."""


WAYS = Lexicon([Entry("later", 1, 2.0), Entry("earlier", -1)])
SHIFTS = Lexicon(
    [
        *(
            Entry(f"{verb} {what} back", 1)
            for verb in ("push", "move", "put")
            for what in ("dinner", "it", "the pass")
        ),
        *(
            Entry(f"{verb} {what} back", 1, _RARE)
            for verb in ("push", "move", "put")
            for what in ("everything", "supper", "lunch")
        ),
        Entry("hold dinner for", 1, _LESS),
        *(Entry(f"delay {what}", 1) for what in ("dinner", "it", "the pass")),
        *(
            Entry(f"{verb} {what} forward", -1)
            for verb in ("bring", "move")
            for what in ("dinner", "it", "the pass")
        ),
    ]
)
"""Which way the pass is moved: 1 is later, -1 earlier."""


FRACTIONS = Lexicon(
    [Entry("and a half", 0.5)] + [Entry(f"point {words_of(n)}", n / 10) for n in range(10)],
)
"""Parts of a degree; read when typed, not listened for."""


def further(durations: Sequence[Entry]) -> Lexicon:
    """Durations as they stand after "another": "minute", "couple of minutes", "half an hour"."""
    found: dict[str, Entry] = {}
    for entry in durations:
        first, _, rest = entry.text.partition(" ")
        text = rest if first in ("a", "an") else entry.text
        found.setdefault(text, Entry(text, entry.value, entry.weight))
    return Lexicon(found.values())


def spans(minutes: Iterable[int], hours: Iterable[int], weights: Mapping[int, float]) -> Lexicon:
    """Durations as they stand before a word: "a ten minute timer"."""
    plain = [Entry(f"{words_of(n)} minute", 60 * n, weights.get(n, 1.0)) for n in minutes]
    long = [Entry(f"{words_of(n)} hour", HOUR_S * n) for n in hours]
    return Lexicon([*plain, *long, Entry("half hour", HALF_HOUR_S)])


_RUN_TOGETHER = "{name} {verb}"
"""Where "is" and "has" become "'s"."""

_SHAPES = {
    "{group}_is": ("is", "are", _RUN_TOGETHER),
    "is_{group}": ("is", "are", "{verb} the {name}"),
    "{group}_has": ("has", "have", _RUN_TOGETHER),
    "has_{group}": ("has", "have", "{verb} the {name}"),
    "does_{group}": ("does", "do", "{verb} the {name}"),
    "{group}_needs": ("needs", "need", _RUN_TOGETHER),
}


def verbed(group: str, weights: Weights, is_full: bool) -> dict[str, Lexicon]:
    """The names as they are and joined to each verb that agrees; to both numbers of it when `is_full`."""
    found = {group: Lexicon(Entry(name, name, weight) for name, weight in weights.items())}
    for key, (one, many, shape) in _SHAPES.items():
        entries = [
            Entry(shape.format(name=name, verb=verb), name, weight)
            for name, weight in weights.items()
            for verb in ((one, many) if is_full else (many if is_plural(name) else one,))
        ]
        if shape == _RUN_TOGETHER and one in ("is", "has"):
            singular = ((name, weight) for name, weight in weights.items() if not is_plural(name))
            entries += [Entry(f"{name}'s", name, weight * _LESS) for name, weight in singular]
        found[key.format(group=group)] = Lexicon(entries)
    return found


def named(group: str, weights: Weights, is_full: bool) -> dict[str, Lexicon]:
    """The names as they are."""
    return {group: Lexicon(Entry(name, name, weight) for name, weight in weights.items())}


def both_ways(name: str) -> tuple[str, ...]:
    """A name as written and, less likely, without its articles."""
    bare = READING.bare(name)
    return (name,) if bare == name else (name, bare)


def reported(thing: str, done: str, is_full: bool) -> tuple[str, ...]:
    """ "greens steamed", "greens are steamed"."""
    return (f"{thing} {done}", *going_on(thing, done, is_full))


def wholly(thing: str, done: str) -> tuple[str, ...]:
    """ "greens are all trimmed", "chicken has rested"."""
    verb, have = ("are", "have") if is_plural(thing) else ("is", "has")
    together = () if is_plural(thing) else (f"{thing}'s all {done}",)
    return (f"{thing} {verb} all {done}", f"{thing} {have} {done}", *together)


def going_on(thing: str, doing: str, is_full: bool) -> tuple[str, ...]:
    """ "greens are steaming", "fish is poaching", "fish's poaching"."""
    verbs = ("is", "are") if is_full else ("are" if is_plural(thing) else "is",)
    together = () if is_plural(thing) else (f"{thing}'s {doing}",)
    return (*(f"{thing} {verb} {doing}" for verb in verbs), *together)


def past(thing: str, done: str) -> str:
    """ "steamed the greens", after "I've"."""
    return f"{done} the {thing}"


def being_done(thing: str, doing: str) -> str:
    """ "steaming the greens"."""
    return f"{doing} the {thing}"


def chores(things: Sequence[str], actions: Iterable[str]) -> Iterable[str]:
    """ "open the wine", the dinner's steps, "check the rice"."""
    return (
        *CHORES,
        *actions,
        *(f"{verb} the {thing}" for thing in things for verb in ("check", "turn", "stir", "taste")),
    )


def short_answer(parts: Imperative) -> str:
    """ "carve it" for "carve the chicken"."""
    return f"{parts.verbs[0]} it" if parts.thing else ""


def with_unit(degrees: str) -> str:
    """ "sixty two degrees"."""
    return f"{degrees} degrees"
