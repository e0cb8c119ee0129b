"""What in a plan's names the listener may stumble over: words no dictionary has, and names that sound alike.

Doubts only, for a cook to judge: another name under `also:` mends most, and where one can be made of the
plan's own words it is proposed. How words sound is asked of the hearing part; nothing is listened to.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from kitchend.core.names import spoken
from kitchend.core.plan import Plan
from kitchend.core.tongue import DEFAULT, of_state
from kitchend.core.wording import clause
from kitchend.errors import DeviceError, Problem
from kitchend.hearing.phones import is_alike
from kitchend.hearing.pocketsphinx_ear import PocketSphinxEar
from kitchend.hearing.pronounce import pronounce
from kitchend.hearing.respelled import respelled
from kitchend.reports.better_names import Name, better_name

Unknown = Callable[[Iterable[str]], Mapping[str, str | None]]
"""The words a listener does not know, with the phones it listens for instead; None: it cannot hear them."""


def built_in(words: Iterable[str]) -> Mapping[str, str | None]:
    """Those the built-in first ear has no pronunciation for, with the one made up; raises DeviceError."""
    return dict(PocketSphinxEar().missing_words(words))


@of_state
def hearing_doubts(file: str, text: str, plan: Plan, unknown: Unknown = built_in) -> tuple[Problem, ...]:
    """Doubts about the names of a plan. `text` is the file's own, to find the lines."""
    names = _names(plan)
    try:
        missing = unknown(_words(names))
        # How words sound is known of English only.
        sounds = pronounce(_words(names)) if plan.language == DEFAULT else {}
    except DeviceError as error:
        message = clause("doubt.sound.no", why=error.problem)
        return (Problem(file=file, message=message, hint=error.hint),)
    doubts = _Doubts(file, text.casefold().splitlines(), plan, names, sounds, missing, unknown)
    return (*doubts.of_words(), *(doubts.of_pairs() if sounds else ()))


@dataclass(frozen=True, slots=True)
class _Doubts:
    """Looks for doubts in one plan."""

    file: str
    lines: Sequence[str]
    plan: Plan
    names: Mapping[str, Name]
    sounds: Mapping[str, str]
    missing: Mapping[str, str | None]
    unknown: Unknown

    def of_words(self) -> Iterator[Problem]:
        """Words that no listener has learnt."""
        for word, phones in self.missing.items():
            said = f"{respelled(phones)} ({phones})" if phones else ""
            heard = clause("doubt.word.phones", phones=said) if phones else clause("doubt.word.deaf")
            message = clause("doubt.word", word=word, instead=heard)
            name = next((name for name in self.names if word in name.split()), word)
            yield self._problem(word, message, "doubt.word.hint", name)

    def of_pairs(self) -> Iterator[Problem]:
        """Names that are easily taken for each other though they mean different things."""
        for one, other in combinations(self.names, 2):
            if _may_be_confused(self.names[one], self.names[other]) and self._is_alike(one, other):
                message = clause("doubt.alike", one=one, other=other)
                yield self._problem(one, message, "doubt.alike.hint", one, other)

    def _problem(self, field: str, message: str, hint: str, *names: str) -> Problem:
        better = next(filter(None, map(self._better, names)), None)
        such = clause("doubt.such", name=better) if better else ""
        told, line = clause(hint, such=such), _line(self.lines, field)
        return Problem(file=self.file, line=line, field=field, message=message, hint=told)

    def _better(self, name: str) -> str | None:
        meaning = self.names.get(name)
        if meaning is None or not self.sounds:
            return None
        return better_name(self.plan, meaning, lambda text: self._is_good(text, meaning))

    def _is_good(self, name: str, meaning: Name) -> bool:
        """Whether a proposal is new, made of known words, and unlike all that means something else."""
        words = name.split()
        if name in self.names or self.unknown(words):
            return False
        sounds = {**self.sounds, **pronounce(words)}
        own = _sounds(name, sounds)
        others = (other for other, meant in self.names.items() if _may_be_confused(meaning, meant))
        return not any(is_alike(own, _sounds(other, sounds)) for other in others)

    def _is_alike(self, one: str, other: str) -> bool:
        return is_alike(_sounds(one, self.sounds), _sounds(other, self.sounds))


def _names(plan: Plan) -> dict[str, Name]:
    """Every name that may be said, with what it means."""
    found: dict[str, Name] = {}
    for dish in plan.dishes:
        for name in (dish.name, *dish.also):
            found.setdefault(spoken(name), (dish.name, None))
        for step in dish.steps:
            for name in (step.name, *step.also):
                found.setdefault(spoken(name), (dish.name, step.name))
    return found


def _words(names: Iterable[str]) -> set[str]:
    return {word for name in names for word in name.split()}


def _may_be_confused(one: Name, other: Name) -> bool:
    """Whether taking one for the other does harm; a dish's name stands for its steps anyway."""
    return one[0] != other[0] or (one != other and None not in (one[1], other[1]))


def _sounds(name: str, sounds: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(sound for word in name.split() if word != "the" for sound in sounds[word].split())


def _line(lines: Sequence[str], words: str) -> int | None:
    """The first line of the file, from 1, that has these words in it."""
    return next((number for number, line in enumerate(lines, start=1) if words in line), None)
