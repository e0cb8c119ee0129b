"""Careful calls and questions of food safety during a dinner: each once, by rules that come with the manners.

The figures are USDA FSIS's safe minimum internal temperature chart of April 2025 (poultry 165 F, whole cuts
145 F, eggs 160 F), the USDA's two-hour rule (one hour above 90 F), and FDA Food Code 3-401.11(B)(2) (130 F
for 112 minutes), written here again so that the core is tested without the tables of others.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.events import MannersSet
from kitchend.core.plan import Dish, DishId, EquipmentId, Plan, Step, Use
from kitchend.core.quantities import Scale, Temperature
from kitchend.core.safety_rules import HeatRow, SafetyRules
from kitchend.core.state import Manners
from kitchend.core.steps import StepState
from tests.core.evening import CARVE, PLAN, REST, ROAST, Evening, a_step, minutes, timeline

POULTRY = HeatRow(kind="poultry", words=("poultry", "chicken"), celsius=(165 - 32) / 1.8, source="FSIS")
MINCED = HeatRow(kind="minced meat", words=("minced", "burgers"), celsius=(160 - 32) / 1.8, source="FSIS")
STUFFED = HeatRow(kind="stuffed food", words=("stuffed",), celsius=(165 - 32) / 1.8, source="FSIS")
WHOLE = HeatRow(
    kind="whole cuts of meat",
    words=("meat", "beef", "ham"),
    celsius=(145 - 32) / 1.8,
    hold_s=180,
    is_rest=True,
    source="FSIS",
    holds=(((130 - 32) / 1.8, 6720), ((131 - 32) / 1.8, 5340), ((145 - 32) / 1.8, 240), (70.0, 0)),
    holds_source="FDA Food Code",
)
EGGS = HeatRow(kind="egg dishes", words=("eggs",), celsius=(160 - 32) / 1.8, source="FSIS", is_flesh=False)
RULES = SafetyRules(
    spoken="the USDA",
    rows=(POULTRY, MINCED, WHOLE, EGGS),
    minced=MINCED,
    stuffed=STUFFED,
    reheated=POULTRY,
    hot_c=60.0,
    cold_c=(40 - 32) / 1.8,
    keeping_source="USDA",
    stand_s=7200,
    stand_warm_s=3600,
    warm_c=(90 - 32) / 1.8,
    stand_source="USDA",
    stand_spoken="the USDA",
)
MANNERS = Manners(rules=RULES)

SLAW = a_step("dress the slaw", "slaw", minutes(5), hands_s=300, keeps_s=7200)
SALT = a_step("salt the chicken", "chicken", minutes(5), hands_s=300, raw="poultry", keeps_s=7200)
OVEN = Use(equipment=EquipmentId("oven"), at=Temperature(degrees=200))


def plan_of(*steps: Step) -> Plan:
    """These steps in dishes named as their ids say."""
    names = dict.fromkeys(step.dish for step in steps)
    dishes = (Dish(id=one, name=str(one), steps=tuple(s for s in steps if s.dish == one)) for one in names)
    return replace(PLAN, dishes=tuple(dishes))


CHICKEN = plan_of(ROAST, REST, CARVE)


def roasting(plan: Plan = CHICKEN, manners: Manners = MANNERS) -> Evening:
    """A dinner twenty minutes in, its chicken on since five past."""
    evening = Evening(plan, manners=manners)
    evening.at_minute(5)
    evening.hear("roast the chicken")
    evening.at_minute(20)
    return evening


def test_done_under_the_target_is_asked_back_with_its_source_and_the_cook_decides() -> None:
    evening = roasting()
    evening.hear("the chicken is at sixty eight")
    said = evening.hear("chicken done")
    fact = "The chicken read sixty eight. Seventy four is the target, and the USDA gives seventy four for "
    assert said == [f"{fact}poultry. Done anyway?"]
    assert evening.where(ROAST) is StepState.ON
    assert evening.hear("yes")[0].startswith("Chicken roasted.")
    assert evening.where(ROAST) is StepState.DONE


def test_a_no_leaves_it_on_and_it_is_asked_once_for_one_reading() -> None:
    evening = roasting()
    evening.hear("the chicken is at sixty eight")
    evening.hear("chicken done")
    evening.hear("no")
    assert evening.where(ROAST) is StepState.ON
    evening.hear("the chicken is at seventy one")
    assert "read seventy one" in evening.hear("chicken done")[0]
    evening.hear("no")
    assert evening.hear("chicken done")[0].startswith("Chicken roasted.")


def test_carving_what_reads_too_low_is_asked_back_whatever_lies_between() -> None:
    evening = roasting()
    evening.hear("the chicken is at sixty eight")
    assert evening.hear("carve the chicken is done")[0].endswith("Carve the chicken anyway?")
    assert evening.where(ROAST) is StepState.ON
    assert evening.where(CARVE) is StepState.WAITING


def test_carving_what_is_up_at_its_target_is_not_asked_about() -> None:
    evening = roasting(plan_of(ROAST, replace(CARVE, after=(ROAST.id,))))
    evening.at_minute(30)
    evening.hear("the chicken is at seventy four")
    evening.hear("carve the chicken is done")
    assert (evening.where(ROAST), evening.where(CARVE)) == (StepState.DONE, StepState.DONE)


@pytest.mark.parametrize("manners", [MANNERS, Manners()], ids=["rules", "no rules"])
def test_at_the_target_nothing_is_asked(manners: Manners) -> None:
    evening = roasting(manners=manners)
    evening.at_minute(30)
    evening.hear("the chicken is at seventy four")
    assert evening.where(ROAST) is StepState.UP
    evening.hear("chicken done")
    assert evening.where(ROAST) is StepState.DONE
    assert evening.state.asked is None


def test_without_rules_or_without_a_reading_nothing_is_asked() -> None:
    evening = roasting(manners=Manners())
    evening.hear("the chicken is at sixty eight")
    evening.hear("chicken done")
    assert evening.where(ROAST) is StepState.DONE
    other = roasting()
    other.hear("chicken done")
    assert other.where(ROAST) is StepState.DONE


def beef(until: Temperature, raw: str | None = "beef") -> Plan:
    roast = replace(ROAST, until=until, raw=raw, name="roast the chicken")
    return plan_of(roast, REST, CARVE)


def test_a_low_target_reached_is_asked_about_until_it_was_held_as_published() -> None:
    low = Temperature(degrees=130, scale=Scale.FAHRENHEIT)
    evening = roasting(beef(low))
    evening.at_minute(30)
    evening.hear("the chicken is at one hundred and thirty")
    assert evening.where(ROAST) is StepState.UP
    fact = "The chicken read one hundred and thirty. The USDA gives one hundred and forty five for whole cuts"
    assert evening.hear("chicken done") == [f"{fact} of meat. Done anyway?"]


def test_a_target_no_guidance_knows_is_asked_about_for_itself() -> None:
    evening = roasting(plan_of(replace(ROAST, dish=DishId("bread"), raw=None)))
    evening.hear("the bread is at sixty eight")
    assert evening.hear("roast the chicken is done") == [
        "The chicken read sixty eight, and seventy four is the target. Done anyway?"
    ]


def test_a_piece_held_as_long_as_the_table_says_needs_no_question() -> None:
    # FDA Food Code 3-401.11(B)(2): 145 F for four minutes; here it stays at the target of 152 F for six.
    late = replace(ROAST, until=Temperature(degrees=66), raw="beef")
    evening = roasting(plan_of(late, REST, CARVE))
    evening.at_minute(30)
    for minute in (30, 33, 36):
        evening.at_minute(minute)
        evening.hear("the chicken is at sixty three")
    text = evening.hear("chicken done")[0]
    assert text == "The chicken read sixty three, and sixty six is the target. Done anyway?"
    assert "the USDA" not in text


def test_food_that_stands_is_called_once_a_quarter_of_an_hour_before_two_hours() -> None:
    evening = roasting()
    evening.at_minute(30)
    evening.hear("the chicken is at seventy four")
    evening.hear("chicken done")
    evening.replies_to_replans = False
    told = [text for minute in range(31, 134) for text in evening.at_minute(minute)]
    assert not any(", out for" in text for text in told)
    told = [text for minute in range(134, 200) for text in evening.at_minute(minute)]
    stood = [text for text in told if ", out for" in text]
    assert len(stood) == 1
    fact = "Careful: the chicken, out for an hour and forty five minutes."
    assert f"{fact} The USDA says two hours at most." in stood[0]


def warm_supper(place: Use | None, name: str = "stand the chicken") -> Evening:
    stand = replace(REST, name=name, uses=() if place is None else (place,), hands_s=60, after=(ROAST.id,))
    evening = roasting(plan_of(ROAST, stand))
    evening.at_minute(30)
    evening.hear("the chicken is at seventy four")
    evening.hear("chicken done")
    evening.at_minute(35)
    evening.hear(f"{name} is on")
    return evening


def minute_told(evening: Evening) -> int | None:
    for minute in range(36, 200):
        if any(", out for" in text for text in evening.at_minute(minute)):
            return minute
    return None


@pytest.mark.parametrize(
    ("celsius", "minute"),
    # USDA: one hour in air above 90 F (32.2 C), two below; at 140 F and above it is kept hot, at 40 F cold.
    [(34, 75), (32, 135), (65, None), (4, None)],
)
def test_where_it_stands_decides_how_long_it_may(celsius: int, minute: int | None) -> None:
    place = Use(equipment=EquipmentId("terrace"), at=Temperature(degrees=celsius))
    assert minute_told(warm_supper(place)) == minute


def test_what_was_put_in_the_fridge_is_not_out() -> None:
    assert minute_told(warm_supper(Use(equipment=EquipmentId("fridge")))) is None
    assert minute_told(warm_supper(None, "chill the chicken")) is None
    assert minute_told(warm_supper(None)) == 135


def salting(*more: Step, manners: Manners = MANNERS, salt: Step = SALT) -> Evening:
    """Ten past six: the chicken is salted; the slaw is to be dressed at a quarter past."""
    roast = replace(ROAST, after=(salt.id,), raw=None)
    steps = (salt, roast, SLAW, *more)
    times = {salt.id: (5.0, 10.0), SLAW.id: (15.0, 20.0), roast.id: (30.0, 60.0)}
    times |= {step.id: (12.0, 14.0) for step in more}
    evening = Evening(plan_of(*steps), timeline(times), manners=manners)
    evening.at_minute(5)
    evening.hear("salt the chicken")
    evening.at_minute(10)
    assert "Wash your hands: raw" in " ".join(evening.hear("salt the chicken is done"))
    return evening


def carefuls(evening: Evening, end: int = 25) -> list[str]:
    said = [text for minute in range(11, end) for text in evening.at_minute(minute)]
    return [text for text in said if "wash your hands, then" in text]


def test_hands_that_were_not_said_to_be_washed_are_asked_for_once_before_what_is_eaten_as_it_is() -> None:
    told = carefuls(salting())
    assert len(told) == 1
    assert "Careful: wash your hands, then dress the slaw. Raw poultry." in told[0]


def test_after_a_heard_nobody_is_told_to_wash_again() -> None:
    evening = salting()
    evening.hear("heard")
    assert carefuls(evening) == []


def test_washing_hands_as_a_step_counts() -> None:
    wash = a_step("wash the hands", "washing", minutes(1), hands_s=60)
    evening = salting(wash)
    evening.at_minute(12)
    evening.hear("wash the hands")
    evening.hear("wash the hands is done")
    assert carefuls(evening) == []


def test_what_is_cooked_next_needs_no_warning_and_neither_do_eggs() -> None:
    boil = a_step("boil the beans", "beans", minutes(9), hands_s=60, uses=(OVEN,))
    evening = salting(boil)
    assert carefuls(evening) == []
    eggs = replace(SALT, raw="eggs")
    assert carefuls(salting(salt=eggs)) == []
    assert carefuls(salting(manners=Manners())) == []


def test_a_slaw_begun_at_once_is_warned_of_after_the_time_washing_takes() -> None:
    evening = salting()
    evening.hear("dress the slaw is on")
    assert evening.at_minute(10 + 19 / 60) == []
    assert any("wash your hands, then" in text for text in evening.at_minute(10 + 21 / 60))


def test_rules_that_come_later_hold_from_then_on() -> None:
    evening = roasting(manners=Manners())
    evening.feed(MannersSet(manners=MANNERS))
    evening.hear("the chicken is at sixty eight")
    assert evening.hear("chicken done")[0].endswith("Done anyway?")


def test_what_is_begun_much_later_is_not_warned_of() -> None:
    evening = salting()
    told = [text for minute in range(11, 45) for text in evening.at_minute(minute)]
    assert sum("wash your hands, then" in text for text in told) == 1
    late = salting()
    late.state = replace(late.state, timeline=timeline({SALT.id: (5.0, 10.0), SLAW.id: (45.0, 50.0)}))
    late.timeline = late.state.timeline or late.timeline
    told = [text for minute in range(11, 60) for text in late.at_minute(minute)]
    assert any("Dress the slaw" in text for text in told)
    assert not any("wash your hands, then" in text for text in told)
