"""Rehearses a plan: checks what was asked for, opens the ears, lets the dinner happen, says what came of it.

With sound, the cook's words go through the real listener; `typed`, they arrive as they are, so that many
dinners fit into a minute. One plan, cook, seed and kind of ears give one conversation.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Final

from kitchend.core.clock import TimeOfDay
from kitchend.core.quantities import QuantityError, parse_time_of_day
from kitchend.errors import KitchendError
from kitchend.files.plan_yaml import read_plan
from kitchend.rehearsal.character import CHARACTERS
from kitchend.rehearsal.ears import Ears, TypedEars
from kitchend.rehearsal.production import OnLine, Production
from kitchend.rehearsal.recording import Recording
from kitchend.reports.rehearsal import Rehearsal
from kitchend.service.wall_clock import Stopwatch
from kitchend.speaking.espeak_voice import EspeakVoice

EARS: Final = ("auto", "both", "first", "second", "typed")
"""Which ears listen; auto is what a dinner would use, typed is none."""


class RehearsalError(KitchendError):
    """A rehearsal cannot be set up as asked; the text says why and what to ask for."""


def rehearse(
    plan_path: Path,
    *,
    cook: str = "steady",
    seed: int = 1,
    serve: str | None = None,
    wav: Path | None = None,
    ears: str = "auto",
    on_line: OnLine = lambda line: None,
) -> Rehearsal:
    """Live through the plan's dinner. PlanError, DeviceError or RehearsalError if it cannot be."""
    watch = Stopwatch()
    _refuse_nonsense(cook, ears, wav)
    asked = _time_of(serve)
    plan = read_plan(plan_path)
    with ExitStack() as open_things:
        production = Production(
            plan,
            CHARACTERS[cook],
            seed,
            ears=open_things.enter_context(_open_ears(ears, seed, on_line)),
            voice=None if ears == "typed" else EspeakVoice(),
            recording=None if wav is None else open_things.enter_context(_recording(wav)),
            on_line=on_line,
        )
        score = production.play(asked or plan.serve, ears)
    return replace(score, took_s=watch.took_s)


def _refuse_nonsense(cook: str, ears: str, wav: Path | None) -> None:
    if cook not in CHARACTERS:
        raise RehearsalError(f"no cook is called {cook!r}; choose {' or '.join(CHARACTERS)}")
    if ears not in EARS:
        raise RehearsalError(f"there are no ears called {ears!r}; choose {', '.join(EARS)}")
    if wav is not None and ears == "typed":
        raise RehearsalError("typed words make no sound; leave out --wav or choose other ears")


def _recording(wav: Path) -> Recording:
    try:
        return Recording(wav)
    except OSError as error:
        raise RehearsalError(f"--wav {wav}: cannot be written: {error.strerror}") from None


def _time_of(serve: str | None) -> TimeOfDay | None:
    if serve is None:
        return None
    try:
        return parse_time_of_day(serve)
    except QuantityError as error:
        raise RehearsalError(f"--serve {serve!r}: {error}") from None


@contextmanager
def _open_ears(name: str, seed: int, complain: Callable[[str], None]) -> Iterator[Ears]:
    if name == "typed":
        yield TypedEars()
        return
    # The engines are loaded for sound only: a typed dinner needs none of them.
    from kitchend.rehearsal.sound_ears import sound_ears

    with sound_ears(name, seed, complain) as ears:
        yield ears
