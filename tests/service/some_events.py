"""Events of every kind, with every kind of value inside, for tests of keeping them."""

from __future__ import annotations

from kitchend.core.clock import Instant, Now, TimeOfDay, WallTime
from kitchend.core.events import (
    ClockMoved,
    DinnerRefused,
    DinnerStarted,
    DoorWordsMade,
    Event,
    ForecastMade,
    MannersSet,
    Mishap,
    MishapNoticed,
    PhraseHeard,
    PhraseRefused,
    PlansKnown,
    ReadingTaken,
    Resumed,
    SpeechEnded,
    TimelinePlanned,
    TimeReached,
)
from kitchend.core.forecasts import Forecast, Outlook
from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, Plan, Step, StepId, Use
from kitchend.core.quantities import DurationRange, Scale, Temperature
from kitchend.core.state import Manners, Repeats
from kitchend.core.timeline import Conflict, Planned, Timeline
from kitchend.doneness.guidance import Jurisdiction
from kitchend.doneness.rules import rules_for

WALL = WallTime(1_780_000_000.25, 7200)
START = Now(Instant(1000.5), WALL)

OVEN = EquipmentId("oven")
RICE = Step(
    id=StepId("rice/boil the rice"),
    dish=DishId("rice"),
    name="boil the rice",
    also=("riz à l'eau",),
    hands_s=60,
    takes=DurationRange(low_s=600, high_s=720),
    until=Temperature(degrees=165.5, scale=Scale.FAHRENHEIT),
    uses=(Use(equipment=OVEN, at=Temperature(degrees=180)),),
    keeps_s=None,
)
PLAN = Plan(
    name="quay supper",
    serve=TimeOfDay(19, 30),
    equipment=(Equipment(id=OVEN, name="oven", places=2, preheat_s=900),),
    dishes=(Dish(id=DishId("rice"), name="rice", also=("grains",), steps=(RICE,)),),
)
TIMELINE = Timeline(
    serve=WALL + 3600,
    ready=WALL + 3700,
    late_by_s=100,
    planned=(Planned(step=RICE.id, start=WALL, end=WALL + 720, slack_s=5, decides=(0,)),),
    added=(RICE,),
    conflicts=(Conflict(message="too late", changes=("the pass at 20:00",)),),
    on_time_probability=0.25,
)
DINNER = DinnerStarted(plan=PLAN, serve=WALL, timeline=TIMELINE, source="plans/quay.yaml")
EVENTS: tuple[Event, ...] = (
    MannersSet(
        manners=Manners(
            address="hello larder", is_open=True, window_s=7.5, repeats=Repeats(now=(40.0,), careful=())
        )
    ),
    MannersSet(manners=Manners(rules=rules_for(Jurisdiction.UK_FSA))),
    PlansKnown(names=("quay supper", "Smörgås")),
    DINNER,
    DinnerRefused(message='there is no "quay supper"'),
    PhraseHeard(text="rice is on", started=Instant(1000.125), doubts=("rice is in",), is_typed=True),
    PhraseRefused(text="drop the rice", reason="explained better as free talk", started=Instant(1000.25)),
    ReadingTaken(of="rice/boil the rice", celsius=58.25),
    TimeReached(),
    TimelinePlanned(timeline=TIMELINE, revision=3),
    SpeechEnded(utterance=4, ok=False),
    Resumed(away_s=None),
    Resumed(away_s=12.5),
    ClockMoved(by_s=-10800.5, zone_s=3600),
    MishapNoticed(mishap=Mishap.DAMAGED),
    DoorWordsMade(words="acorn lantern otter plum"),
    ReadingTaken(of="duck", celsius=61.5),
    ForecastMade(
        forecast=Forecast(
            step=StepId("duck/roast-the-duck"),
            outlook=Outlook.RISING,
            at=Instant(12.0),
            low=Instant(900.0),
            middle=Instant(1000.5),
            high=Instant(1200.0),
            pull_c=66.4,
            carry_c=7.6,
        )
    ),
)
