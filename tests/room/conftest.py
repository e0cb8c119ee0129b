"""A room without hardware for every test that asks for one; such tests are marked `sound`."""

from collections.abc import Iterator
from contextlib import ExitStack

import pytest

from kitchend.rehearsal.room import Room, RoomUnavailable

NEEDS_SOUND = {"room", "in_room"}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if NEEDS_SOUND & set(getattr(item, "fixturenames", ())):
            item.add_marker(pytest.mark.sound)


@pytest.fixture
def room() -> Iterator[Room]:
    """A room; this process stays outside it."""
    with ExitStack() as stack:
        try:
            opened = stack.enter_context(Room())
        except RoomUnavailable as error:
            pytest.skip(str(error))
        yield opened


@pytest.fixture
def in_room(room: Room) -> Iterator[Room]:
    """A room with this process inside: sounddevice's default devices are the room's."""
    with room.enter_process():
        yield room
