"""Rehearses a plan: checks what was asked for, opens the ears, lets the dinner happen, says what came of it.

With sound, the cook's words go through the real listener; `typed`, they arrive as they are, so that many
dinners fit into a minute. One plan, cook, seed and kind of ears give one conversation.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Final

from kitchend.core.quantities import QuantityError, parse_time_of_day
from kitchend.core.tongue import language_of
from kitchend.errors import KitchendError
from kitchend.rehearsal.character import CHARACTERS
from kitchend.rehearsal.ears import Ears, TypedEars
from kitchend.rehearsal.production import EVENING, OnLine, Production
from kitchend.rehearsal.recording import Recording
from kitchend.reports.rehearsal import Rehearsal
from kitchend.service.serving import dinner_of
from kitchend.service.wall_clock import Stopwatch
from kitchend.speaking.espeak_voice import EspeakVoice

EARS: Final = ("auto", "both", "first", "second", "typed")
"""Which ears listen; auto is what a dinner would use, typed is none."""


PROBE_EVERY_S: Final = 10.0
"""How often a made-up probe sends a reading."""


class RehearsalError(KitchendError):
    """A rehearsal cannot be set up as asked; the text says why and what to ask for."""


def rehearse(
    plan_paths: Path | Sequence[Path],
    *,
    cook: str = "steady",
    seed: int = 1,
    serve: str | Sequence[str] | None = None,
    wav: Path | None = None,
    ears: str = "auto",
    probe: bool = False,
    on_line: OnLine = lambda line: None,
) -> Rehearsal:
    """Live through the dinner of these plans. PlanError, DeviceError or a use error if it cannot be.

    Passes are times of day: a rehearsal has an evening of its own. With a probe the cook reads no core.
    """
    watch = Stopwatch()
    _refuse_nonsense(cook, ears, wav)
    paths = [plan_paths] if isinstance(plan_paths, Path) else plan_paths
    serves = [serve] if isinstance(serve, str) else serve or ()
    _refuse_days(serves)
    dinner = dinner_of(paths, serves, EVENING)
    plan = dinner.plan
    for note in dinner.notes:
        on_line(f"          ! {note}")
    with ExitStack() as open_things:
        production = Production(
            plan,
            CHARACTERS[cook],
            seed,
            ears=open_things.enter_context(_open_ears(ears, seed, on_line, plan.language)),
            voice=None if ears == "typed" else EspeakVoice(language_of(plan.language).espeak),
            recording=None if wav is None else open_things.enter_context(_recording(wav)),
            on_line=on_line,
            probe_every_s=PROBE_EVERY_S if probe else None,
        )
        score = production.play(None if dinner.serve is None else dinner.serve.time_of_day, ears)
    return replace(score, took_s=watch.took_s)


def _refuse_nonsense(cook: str, ears: str, wav: Path | None) -> None:
    if cook not in CHARACTERS:
        raise RehearsalError(f"no cook is called {cook!r}; choose {' or '.join(CHARACTERS)}")
    if ears not in EARS:
        raise RehearsalError(f"there are no ears called {ears!r}; choose {', '.join(EARS)}")
    if wav is not None and ears == "typed":
        raise RehearsalError("typed words make no sound; leave out --wav or choose other ears")


def _refuse_days(serves: Sequence[str]) -> None:
    for text in serves:
        try:
            parse_time_of_day(text)
        except QuantityError as error:
            raise RehearsalError(f"--serve {text!r}: {error}") from None


def _recording(wav: Path) -> Recording:
    try:
        return Recording(wav)
    except OSError as error:
        raise RehearsalError(f"--wav {wav}: cannot be written: {error.strerror}") from None


@contextmanager
def _open_ears(name: str, seed: int, complain: Callable[[str], None], language: str) -> Iterator[Ears]:
    if name == "typed":
        yield TypedEars()
        return
    # The engines are loaded for sound only: a typed dinner needs none of them.
    from kitchend.rehearsal.sound_ears import sound_ears

    with sound_ears(name, seed, complain, language) as ears:
        yield ears
