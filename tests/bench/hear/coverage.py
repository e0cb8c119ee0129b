"""How much of what people say for a wish can be said here: sentences in `said/`, for five dinners.

They were written for each dinner by writers who were given its plan and a list of the wishes with one example
each, and had seen no form of the grammar; so what is not held is what a cook would have to learn. The first
two dinners' were looked at while forms were added, the others' only afterwards in part (`HEARING.md`).
    PYTHONPATH=. .venv/bin/python -m tests.bench.hear.coverage [--list]
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from kitchend.core.commands import Command, Unclear
from kitchend.core.intents import intent_name, understand
from kitchend.core.phrases import Sayable
from kitchend.core.state import DinnerState
from kitchend.service.full_swing import in_full_swing, sayable_in_full_swing
from kitchend.service.listening_back import dinner_of
from kitchend.service.settings import settings_for
from tests.bench.hear.kitchen import NOW

SAID = Path(__file__).parent / "said"
DINNERS = ("quay", "loft", "mill", "yard", "attic")

SAME: dict[str, tuple[str, ...]] = {
    "take_time": ("give_time",),
    "louder": ("loudness",),
    "softer": ("loudness",),
    "speak_up": ("whisper",),
    "step": ("step", "start"),
    "number": ("number", "reading"),
    "heard": ("heard", "yes"),
    "pass": ("pass", "time_left"),
}
"""What does a wish is named otherwise, or one of several: "washing the leeks" begins that step, and "okay"
answers a question where there is one."""


class Held(Enum):
    """What the grammar makes of a sentence."""

    RIGHT = "right"
    NOT_HEARD = "understood, not listened for"
    OTHER = "as something else"
    NOT = "not held"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sentence:
    """What was said for which wish; minutes or degrees where it has them."""

    said: str
    intent: str
    minutes: float | None = None
    degrees: float | None = None


def sentences(dinner: str) -> tuple[Sentence, ...]:
    """All of a dinner's."""
    lines = (SAID / f"{dinner}.jsonl").read_text(encoding="utf-8").splitlines()
    return tuple(Sentence(**json.loads(line)) for line in lines)


def at(dinner: str) -> tuple[DinnerState, Sayable]:
    """The dinner in full swing, and what may be said inside the answer window."""
    state = in_full_swing(dinner_of(SAID / f"{dinner}.yaml", settings_for(None), NOW), NOW)
    return state, sayable_in_full_swing(state, NOW, in_window=True)


def held(sentence: Sentence, state: DinnerState, sayable: Sayable) -> Held:
    """What is made of a sentence."""
    command = understand(sentence.said, state).command
    if isinstance(command, Unclear):
        return Held.NOT
    if not _is_meant(command, sentence):
        return Held.OTHER
    return Held.RIGHT if sayable.accepts(sentence.said) else Held.NOT_HEARD


def _is_meant(command: Command, sentence: Sentence) -> bool:
    seconds, degrees = getattr(command, "seconds", None), getattr(command, "degrees", None)
    return (
        intent_name(command) in SAME.get(sentence.intent, (sentence.intent,))
        and (None in (seconds, sentence.minutes) or seconds == 60 * (sentence.minutes or 0))
        and (None in (degrees, sentence.degrees) or degrees == sentence.degrees)
    )


def found(dinner: str) -> Iterator[tuple[Sentence, Held]]:
    """Each sentence of a dinner with what is made of it."""
    state, sayable = at(dinner)
    for sentence in sentences(dinner):
        yield sentence, held(sentence, state, sayable)


def main() -> None:
    """Print the table, with `--list` after the sentences that are not right."""
    print("| dinner | sentences | " + " | ".join(one.value for one in Held) + " |\n|---|---|---|---|---|---|")
    for dinner in DINNERS:
        listed = tuple(found(dinner))
        if "--list" in sys.argv:
            for sentence, what in listed:
                if what is not Held.RIGHT:
                    print(f"{dinner}: {sentence.intent}: {sentence.said!r}: {what.value}")
        counts = Counter(what for _, what in listed)
        print(f"| {dinner} | {len(listed)} | " + " | ".join(str(counts[one]) for one in Held) + " |")


if __name__ == "__main__":
    main()
