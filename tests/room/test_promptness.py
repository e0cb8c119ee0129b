"""The bench of promptness at work, a few calls of it: each is heard in the room. No time is asserted."""

import pytest

from kitchend.rehearsal.room import RoomUnavailable
from tests.bench.promptness import LOST_S, measured

pytestmark = pytest.mark.sound


def test_calls_known_ahead_are_each_heard_in_the_room() -> None:
    try:
        late = measured(3)
    except RoomUnavailable as error:
        pytest.skip(str(error))
    assert len(late) == 3
    assert all(0 < each < LOST_S for each in late), late
