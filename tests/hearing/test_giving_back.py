"""What is loaded is left alone by the garbage collector, and what comes later is still collected."""

from __future__ import annotations

import gc
import weakref
from collections.abc import Iterator

import pytest

from kitchend.hearing.giving_back import look_seldom


class Ring:
    """Something that only the collector can free."""

    def __init__(self) -> None:
        self.me = self


@pytest.fixture
def as_it_was() -> Iterator[None]:
    before = gc.get_threshold()
    yield
    gc.set_threshold(*before)
    gc.unfreeze()


@pytest.mark.usefixtures("as_it_was")
def test_what_is_loaded_is_left_alone_and_later_garbage_is_not() -> None:
    before = weakref.ref(Ring())
    look_seldom()
    assert before() is None
    assert gc.get_freeze_count() > 10_000
    assert len(gc.get_objects()) < 10_000
    later = weakref.ref(Ring())
    for _ in range(30):
        list(map(list, [()] * 10_001))
    kept: list[list[int]] = [[] for _ in range(10_001 * 25)]
    assert later() is None
    assert kept
