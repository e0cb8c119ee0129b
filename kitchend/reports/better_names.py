"""A better name for what a listener may miss: words it knows, and far enough from every other name.

Names are made of the plan's own words: the thing with what is done to it ("braised leeks"), a step with
another kitchen word for the same work. Proposals; the cook decides.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from kitchend.core.languages.en.verbs import participle, taken_apart
from kitchend.core.names import spoken
from kitchend.core.plan import Plan

OTHER_VERBS = {
    pair.split("/")[0]: pair.split("/")[1].replace("_", " ")
    for pair in (
        "rest/set_aside baste/brush carve/slice slice/cut cut/chop chop/cut trim/clean rinse/wash wash/clean "
        "steam/boil boil/cook fry/brown brown/fry roast/bake bake/cook grill/char warm/heat heat/warm "
        "toast/brown mix/stir stir/mix whisk/beat beat/whisk glaze/brush brush/coat drain/strain "
        "strain/drain "
        "mash/crush crush/mash season/salt salt/season plate/dish_up simmer/cook poach/simmer braise/stew "
        "stew/braise dress/toss toss/mix"
    ).split()
}
"""Another word for the same work."""

Name = tuple[str, str | None]
"""A dish, and where a step is meant the step, both as the plan writes them."""


def better_name(plan: Plan, name: Name, is_good: Callable[[str], bool]) -> str | None:
    """The first name for this that `is_good` takes; None if none of them is."""
    return next((text for text in _names(plan, *name) if is_good(text)), None)


def _names(plan: Plan, dish_name: str, step_name: str | None) -> Iterator[str]:
    dish = next(dish for dish in plan.dishes if dish.name == dish_name)
    whole = spoken(dish.name)
    if step_name is None:
        for step in dish.steps:
            verbs = taken_apart(spoken(step.name)).verbs
            yield from (f"{participle(verb)} {whole}" for verb in verbs if verb not in whole.split())
        return
    parts = taken_apart(spoken(step_name))
    if parts.thing:
        for verb in parts.verbs:
            if verb in OTHER_VERBS:
                yield f"{OTHER_VERBS[verb]} the {parts.thing}"
        if whole != parts.thing and parts.verbs[0] not in whole.split():
            yield f"{parts.verbs[0]} the {whole}"
