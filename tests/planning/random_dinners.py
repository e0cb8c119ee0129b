"""Random small dinners for hypothesis: a few dishes with shared ovens, rings and hands, and reminders."""

from __future__ import annotations

from hypothesis import strategies as st

from kitchend.core.plan import Plan, Step
from tests.planning.dinners import MIN, dinner, on, oven, step

_MINUTES = st.integers(1, 12).map(lambda n: n * MIN)
_USES = st.sampled_from(
    [(), (on("hob"),), (on("hob", 2),), (on("steamer"),), (oven(150),), (oven(160),), (oven(220),)]
)
_KEEPS = st.sampled_from([2 * MIN, 10 * MIN, 40 * MIN, None])


@st.composite
def dinners(draw: st.DrawFn, most: int = 7) -> Plan:
    """A dinner of up to `most` steps, and a reminder for some of them."""
    steps: list[Step] = []
    for place in range(draw(st.integers(1, most))):
        hands = draw(st.sampled_from([0, MIN, 4 * MIN]))
        uses = draw(_USES)
        takes = hands + (draw(_MINUTES) if uses or not hands else draw(st.sampled_from([0, 5 * MIN])))
        before = [other.name for other in steps if other.during is None]
        after = draw(st.lists(st.sampled_from(before), max_size=2, unique=True)) if before else []
        name = f"step {place}"
        low = draw(st.integers(hands, takes))
        steps.append(step(name, (low, takes), hands=hands, uses=uses, after=after, keeps=draw(_KEEPS)))
        if takes > 3 * MIN and draw(st.integers(0, 3)) == 0:
            steps.append(step(f"look {place}", hands=MIN, during=name, at=2 * MIN))
    cooks = draw(st.sampled_from([1, 1, 1, 2]))
    return dinner(*steps, cooks=cooks, places={"oven": 2, "hob": 2, "steamer": 1}, preheat=6 * MIN)
