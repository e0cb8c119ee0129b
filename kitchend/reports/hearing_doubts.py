"""What in a plan's names the listener may stumble over: words no dictionary has, and names that sound alike.

Doubts only, for a cook to judge: another name under `also:` mends most. How words sound is asked of the
hearing part; nothing is listened to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from kitchend.core.names import spoken
from kitchend.core.plan import DishId, Plan
from kitchend.errors import DeviceError, Problem
from kitchend.hearing.pocketsphinx_ear import PocketSphinxEar
from kitchend.hearing.pronounce import pronounce

Meaning = tuple[DishId, str | None]
"""A dish and, where a step is meant, the step's name."""

ALIKE_SHARE = 0.12
"""Names whose sounds differ by less than this share, or by a single sound, are taken to sound alike."""


def hearing_doubts(file: str, text: str, plan: Plan) -> tuple[Problem, ...]:
    """Doubts about the names of a plan. `text` is the file's own, to find the lines."""
    names = _names(plan)
    try:
        missing = PocketSphinxEar().missing_words(_words(names))
        sounds = pronounce(_words(names))
    except DeviceError as error:
        return (
            Problem(file=file, message=f"cannot tell how the names sound: {error.problem}", hint=error.hint),
        )
    lines = text.casefold().splitlines()
    return (*_unknown(file, lines, missing), *_alike(file, lines, names, sounds))


def _unknown(file: str, lines: Sequence[str], missing: Mapping[str, str]) -> Iterator[Problem]:
    for word, sounds in missing.items():
        message = f"the listener does not know the word {word!r}; it will listen for {sounds}"
        hint = "if it is not heard, give it an easier name under `also:`"
        yield Problem(file=file, line=_line(lines, word), field=word, message=message, hint=hint)


def _alike(
    file: str, lines: Sequence[str], names: Mapping[str, Meaning], sounds: Mapping[str, str]
) -> Iterator[Problem]:
    spelled = {name: _sounds(name, sounds) for name in names}
    for one, other in combinations(names, 2):
        if _may_be_confused(names[one], names[other]) and _is_alike(spelled[one], spelled[other]):
            message = f"{one!r} and {other!r} sound alike, and mean different things"
            hint = "give one of them another name under `also:` and say that"
            yield Problem(file=file, line=_line(lines, one), field=one, message=message, hint=hint)


def _names(plan: Plan) -> dict[str, Meaning]:
    """Every name that may be said, with what it means."""
    found: dict[str, Meaning] = {}
    for dish in plan.dishes:
        for name in (dish.name, *dish.also):
            found.setdefault(spoken(name), (dish.id, None))
        for step in dish.steps:
            for name in (step.name, *step.also):
                found.setdefault(spoken(name), (dish.id, step.name))
    return found


def _words(names: Mapping[str, Meaning]) -> set[str]:
    return {word for name in names for word in name.split()}


def _may_be_confused(one: Meaning, other: Meaning) -> bool:
    """Whether taking one for the other does harm; a dish's name stands for its steps anyway."""
    return one[0] != other[0] or (one != other and None not in (one[1], other[1]))


def _sounds(name: str, sounds: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(sound for word in name.split() if word != "the" for sound in sounds[word].split())


def _is_alike(one: Sequence[str], other: Sequence[str]) -> bool:
    longest = max(len(one), len(other))
    most = max(1, int(ALIKE_SHARE * longest))
    return longest > most and abs(len(one) - len(other)) <= most and _distance(one, other) <= most


def _distance(one: Sequence[str], other: Sequence[str]) -> int:
    """How many sounds must be changed, added or left out to make one of the other."""
    row = list(range(len(other) + 1))
    for i, a in enumerate(one, start=1):
        before, row[0] = row[0], i
        for j, b in enumerate(other, start=1):
            before, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, before + (a != b))
    return row[-1]


def _line(lines: Sequence[str], words: str) -> int | None:
    """The first line of the file, from 1, that has these words in it."""
    return next((number for number, line in enumerate(lines, start=1) if words in line), None)
