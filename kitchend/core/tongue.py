"""Which language is spoken now: that of the dinner in hand, for as long as a function works on it.

A function that takes a state is a door: `of_state` sets the language by the state's manners, so that the same
state gives the same words whoever asks. Inside, everything asks `tongue()`. Outside any door it is English.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache, wraps
from typing import ParamSpec, TypeVar

from kitchend.core.languages import LANGUAGES
from kitchend.core.languages.language import Language

DEFAULT = "en"

P = ParamSpec("P")
R = TypeVar("R")

_TONGUE: ContextVar[Language] = ContextVar("tongue", default=LANGUAGES[DEFAULT])


def tongue() -> Language:
    """The language spoken now."""
    return _TONGUE.get()


def clause(key: str, /, **facts: str) -> str:
    """A fact as part of a sentence, as it stands in the table."""
    language = tongue()
    return language.speech.finished(language.sentences[key].format(**facts))


def language_of(tag: str) -> Language:
    """The language of a tag; English where there is none of that name."""
    return LANGUAGES.get(tag, LANGUAGES[DEFAULT])


@contextmanager
def speaking(tag: str) -> Iterator[Language]:
    """Speak this language until left."""
    token = _TONGUE.set(language_of(tag))
    try:
        yield _TONGUE.get()
    finally:
        _TONGUE.reset(token)


def of_state(work: Callable[P, R]) -> Callable[P, R]:
    """Have a function speak the language of the first of its arguments that has one.

    Where none has one, the language that is spoken already stays.
    """

    @wraps(work)
    def spoken(*args: P.args, **kwargs: P.kwargs) -> R:
        given = (one.language for one in (*args, *kwargs.values()) if hasattr(one, "language"))
        with speaking(str(next(given, tongue().tag))):
            return work(*args, **kwargs)

    return spoken


def by_tongue(work: Callable[P, R]) -> Callable[P, R]:
    """Keep what a function gave, a language apart; for functions of a few small arguments."""

    @lru_cache(maxsize=64)
    def kept(tag: str, *args: P.args, **kwargs: P.kwargs) -> R:
        return work(*args, **kwargs)

    @wraps(work)
    def asked(*args: P.args, **kwargs: P.kwargs) -> R:
        return kept(tongue().tag, *args, **kwargs)  # type: ignore[arg-type]  # small and hashable, as said

    return asked
