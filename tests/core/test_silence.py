"""A thermometer that falls silent in mid-dinner: told once, and once more when it is back."""

from __future__ import annotations

from dataclasses import replace

from kitchend.core.events import Resumed
from kitchend.core.plan import EquipmentId, Use
from kitchend.core.quantities import Temperature
from tests.core.roasting import LONG_ROAST, Roasting

SILENT = "The thermometer in the chicken has said nothing for five minutes."


def told(said: list[str]) -> list[str]:
    return [text for text in said if "thermometer" in text]


def minutes_on(evening: Roasting, first: int, last: int) -> list[str]:
    return told([text for minute in range(first, last) for text in evening.at_minute(minute)])


def test_a_thermometer_that_came_every_minute_is_missed_once_and_is_back_once() -> None:
    evening = Roasting()
    assert told(evening.rise(5, 15)) == []
    assert minutes_on(evening, 16, 20) == []
    said = minutes_on(evening, 20, 60)
    assert len(said) == 1
    assert SILENT in said[0]
    assert "tell me what you read" in said[0]
    assert told(evening.probe(60, 30.0)) == ["The thermometer in the chicken is back: thirty."]
    assert told(evening.rise(61, 66, 31.0)) == []
    assert len(minutes_on(evening, 67, 90)) == 1, "and again when it is lost again"


def test_one_that_speaks_seldom_is_given_five_of_its_pauses() -> None:
    evening = Roasting()
    for place, minute in enumerate((10, 20, 30)):
        evening.probe(minute, 10.0 + 5 * place)
    assert minutes_on(evening, 31, 80) == []
    assert len(minutes_on(evening, 80, 82)) == 1


def test_a_cook_and_a_probe_read_twice_are_waited_for_by_nobody() -> None:
    evening = Roasting()
    evening.probe(10, 20.0)
    evening.probe(11, 20.5)
    for minute in (15, 25, 35):
        evening.at_minute(minute)
        evening.hear("the chicken is at thirty")
    assert minutes_on(evening, 36, 89) == []


def test_what_cannot_be_is_no_silence() -> None:
    evening = Roasting()
    evening.rise(5, 15)
    assert told([text for minute in range(16, 40) for text in evening.probe(minute, 300.0)]) == []


def test_once_it_is_off_the_heat_nobody_misses_it() -> None:
    evening = Roasting()
    evening.rise(5, 15)
    evening.hear("roast the chicken is done")
    evening.hear("yes")
    assert minutes_on(evening, 16, 60) == []


def test_the_oven_s_own_is_missed_by_the_oven_s_name_while_something_is_in_it() -> None:
    evening = Roasting()
    for minute in range(5, 12):
        evening.probe(minute, 198.0, EquipmentId("oven"))
    said = minutes_on(evening, 12, 40)
    assert len(said) == 1
    assert "The thermometer in the oven has said nothing" in said[0]


def test_what_is_in_no_equipment_of_the_plan_has_no_name_to_miss() -> None:
    elsewhere = replace(LONG_ROAST, uses=(Use(equipment=EquipmentId("pit"), at=Temperature(degrees=200)),))
    evening = Roasting(elsewhere)
    evening.state = replace(evening.state, probes=())
    for minute in range(5, 12):
        evening.probe(minute, 198.0, EquipmentId("pit"))
    assert minutes_on(evening, 12, 40) == []


def test_after_an_absence_of_kitchend_it_has_its_time_again() -> None:
    evening = Roasting()
    evening.rise(5, 15)
    evening.at_minute(15)
    evening.now = evening.now.after(1800)
    said = len(evening.said)
    evening.feed(Resumed(away_s=1800.0))
    assert told(evening.said[said:]) == []
    assert minutes_on(evening, 46, 50) == []
    assert len(minutes_on(evening, 50, 55)) == 1
