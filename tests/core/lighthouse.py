"""A small dinner to talk about, and the states it passes through: for tests of what can be said.

Steps are moved here by writing their records, so that no rule of the dinner takes part.
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core.clock import Instant, WallTime
from kitchend.core.commands import Drop, StepSaid
from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, Plan, Step, StepId, Use
from kitchend.core.quantities import DurationRange, Scale, Temperature
from kitchend.core.state import Asked, Choice, DinnerState, Manners, Past
from kitchend.core.steps import StepRecord, StepState
from kitchend.core.timers import Timer, TimerId

OVEN = Use(equipment=EquipmentId("oven"), at=Temperature(degrees=180))


def a_step(dish: str, step_id: str, name: str, *after: str, **more: object) -> Step:
    takes = DurationRange(low_s=300, high_s=300)
    plain = Step(
        id=StepId(step_id), dish=DishId(dish), name=name, takes=takes, after=tuple(map(StepId, after))
    )
    return replace(plain, **more)  # type: ignore[arg-type]  # keyword facts of a Step


SALMON = Dish(
    id=DishId("salmon"),
    name="baked salmon",
    also=("fish",),
    steps=(
        a_step("salmon", "season", "season the salmon", hands_s=300),
        a_step("salmon", "bake", "bake the salmon", "season", until=Temperature(degrees=63), uses=(OVEN,)),
        a_step("salmon", "glaze#1", "glaze the salmon", during=StepId("bake"), at_s=300, hands_s=60),
        a_step("salmon", "glaze#2", "glaze the salmon", during=StepId("bake"), at_s=600, hands_s=60),
        a_step("salmon", "rest", "rest the salmon", "bake"),
        a_step("salmon", "slice", "slice the salmon", "rest", hands_s=300, also=("slicing",)),
    ),
)
LEEKS = Dish(
    id=DishId("leeks"),
    name="leeks",
    steps=(
        a_step("leeks", "trim", "wash and trim the leeks", hands_s=300),
        a_step("leeks", "steam", "steam the leeks", "trim"),
    ),
)
PILAF = Dish(
    id=DishId("pilaf"),
    name="4-grain pilaf",
    also=("pilaf",),
    steps=(
        a_step("pilaf", "rinse", "rinse the grain", hands_s=300),
        a_step("pilaf", "simmer", "simmer it", "rinse", uses=(Use(equipment=EquipmentId("hob")),)),
    ),
)
BREADS = Dish(
    id=DishId("breads"),
    name="flatbreads",
    steps=(
        a_step("breads", "put", "put the flatbreads in the oven", uses=(OVEN,)),
        a_step("breads", "take", "take the flatbreads out", "put", hands_s=300),
    ),
)
PLAN = Plan(
    name="Lighthouse supper",
    equipment=(
        Equipment(id=EquipmentId("oven"), name="oven", places=3, preheat_s=900),
        Equipment(id=EquipmentId("hob"), name="hob", places=4),
    ),
    dishes=(SALMON, LEEKS, PILAF, BREADS),
)
FAHRENHEIT_PLAN = replace(
    PLAN,
    dishes=(
        replace(
            SALMON, steps=(replace(SALMON.steps[1], until=Temperature(degrees=145, scale=Scale.FAHRENHEIT)),)
        ),
    ),
)
NOW = Instant(1000.0)
SEVEN = WallTime(1_780_000_000.0 - 1_780_000_000 % 86_400 + 19 * 3600)
MANNERS = Manners(address="Hey Kitchen")


def having(state: DinnerState, **states: StepState) -> DinnerState:
    """The state with these steps moved; ids by name."""
    moved = {StepId(name): StepRecord(state=now) for name, now in states.items()}
    return replace(state, records={**state.records, **moved})


EGGS = Timer(id=TimerId("eggs"), name="Eggs", due=Instant(1600.0))
NO_DINNER = DinnerState(manners=MANNERS, menu=("Lighthouse supper", "Sunday by the mill"))
BEGUN = replace(NO_DINNER, plan=PLAN, serve=SEVEN)
BUSY = replace(
    having(
        BEGUN,
        season=StepState.DONE,
        bake=StepState.ON,
        trim=StepState.DONE,
        steam=StepState.CALLED,
        put=StepState.UP,
    ),
    last_called=(StepId("steam"),),
    timers=(EGGS,),
    past=(Past(what="leeks trimmed"),),
)
HELD = having(BUSY, bake=StepState.HELD, steam=StepState.ON, put=StepState.DONE)
CHOOSING = replace(
    having(BUSY, bake=StepState.DONE, rest=StepState.UP, slice=StepState.CALLED),
    asked=Asked(
        text="Rest the salmon, or slice it?",
        lapses=NOW + 30,
        choices=(
            Choice(name="rest the salmon", command=StepSaid(name="rest the salmon")),
            Choice(name="slice the salmon", command=StepSaid(name="slice the salmon")),
        ),
    ),
    window_until=NOW + 12,
)
DOUBTING = replace(
    BUSY,
    asked=Asked(
        text="Drop the leeks?", lapses=NOW + 30, yes=Choice(name="leeks", command=Drop(name="leeks"))
    ),
    window_until=NOW + 12,
)
STATES = {
    "no dinner": NO_DINNER,
    "begun": BEGUN,
    "busy": BUSY,
    "held": HELD,
    "choosing": CHOOSING,
    "doubting": DOUBTING,
    "fahrenheit": having(replace(BEGUN, plan=FAHRENHEIT_PLAN), bake=StepState.ON),
}
"""States a dinner passes through, by name."""
