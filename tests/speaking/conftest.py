"""What several of these tests say aloud."""

import pytest

CALLS = (
    "Put the loaf in the oven now.",
    "The squash is up. Take it out and rest it for ten minutes.",
    "Couscous on. Six minutes.",
    "In two minutes, turn the aubergines.",
    "The pass is at half past seven. You are on time.",
    "Twelve more minutes on the beans. They are up at ten past seven.",
    "Wash your hands before you touch the salad.",
    "Nothing is due for twenty five minutes. Next, stir the risotto.",
)


@pytest.fixture(scope="session")
def calls() -> tuple[str, ...]:
    """Sentences as kitchend says them: short words, short sentences."""
    return CALLS
