"""Events to text and back, for the journal. Whatever goes in comes out equal.

The kind is the event's class name. Nothing here knows files or tables. Text that is no event is refused with
ValueError.
"""

from __future__ import annotations

from functools import cache
from typing import Any, get_args

from pydantic import TypeAdapter

from kitchend.core.events import Event

KINDS: dict[str, type[Any]] = {kind.__name__: kind for kind in get_args(Event)}


def kind_of(event: Event) -> str:
    """The name the event is kept under."""
    return type(event).__name__


def json_of(event: Event) -> str:
    """The event's fields as JSON."""
    return _adapter(kind_of(event)).dump_json(event).decode()


def event_of(kind: str, text: str) -> Event:
    """The event again; ValueError if the kind is unknown or the text does not fit it."""
    if kind not in KINDS:
        raise ValueError(f"no event is called {kind}")
    event: Event = _adapter(kind).validate_json(text)
    return event


@cache
def _adapter(kind: str) -> TypeAdapter[Any]:
    return TypeAdapter(KINDS[kind])
