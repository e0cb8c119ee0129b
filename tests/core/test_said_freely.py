"""What people say for a wish who have seen no form of it: most of it can be said, and little is misread."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.bench.hear.coverage import DINNERS, Held, found


@pytest.mark.parametrize("dinner", DINNERS)
def test_most_of_what_people_say_can_be_said_and_hardly_any_of_it_means_something_else(dinner: str) -> None:
    """Eighty in a hundred of every writer's; as they stood 82 to 97 were held when this was written."""
    counts = Counter(what for _, what in found(dinner))
    assert counts.total() > 200
    assert counts[Held.RIGHT] >= 0.8 * counts.total()
    assert counts[Held.OTHER] <= 1
