"""Events to text and back: whatever goes in comes out equal, whatever is no event is refused."""

from __future__ import annotations

import json
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchend.core.clock import Instant
from kitchend.core.events import Event, PhraseHeard
from kitchend.service.keeping import event_of, json_of, kind_of
from tests.service.some_events import EVENTS


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: type(event).__name__)
def test_an_event_comes_back_equal(event: Event) -> None:
    assert event_of(kind_of(event), json_of(event)) == event


def test_every_kind_of_event_is_among_the_examples() -> None:
    assert {type(event) for event in EVENTS} == set(get_args(Event))


@given(text=st.text(st.characters(exclude_categories=["Cs"])), at=st.floats(0, 1e12), typed=st.booleans())
def test_any_words_come_back_equal(text: str, at: float, typed: bool) -> None:
    event = PhraseHeard(text=text, started=Instant(at), doubts=(text,), is_typed=typed)
    assert event_of(kind_of(event), json_of(event)) == event


def test_the_text_is_json() -> None:
    for event in EVENTS:
        assert isinstance(json.loads(json_of(event)), dict)


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("Nothing", "{}"),
        ("PhraseHeard", "{}"),
        ("PhraseHeard", "no json"),
        ("SpeechEnded", '{"utterance": "x"}'),
    ],
)
def test_what_is_no_event_is_refused(kind: str, text: str) -> None:
    with pytest.raises(ValueError, match=r".+"):
        event_of(kind, text)
