"""Readings as they come in: every shape that is one, and one line for everything that is none.

The pairs of degrees are those printed by USDA FSIS beside each other ("145 F (62.8 C)", "165 F (73.9 C)") and
the definition C = (F - 32) / 1.8.
"""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchend.core.quantities import Scale
from kitchend.service.taking import ReadingError, Taking, taking_of, taking_of_line

C, F = Scale.CELSIUS, Scale.FAHRENHEIT

LINES: dict[str, tuple[str, Taking]] = {
    "a number": ("58.5", Taking(of="pork", degrees=58.5)),
    "below zero": (" -3 \r", Taking(of="pork", degrees=-3)),
    "with its unit": ("136.4 F", Taking(of="pork", degrees=136.4, scale=F)),
    "with a degree sign": ("58°C", Taking(of="pork", degrees=58, scale=C)),
    "powers of ten": ("5.85e1", Taking(of="pork", degrees=58.5)),
    "celsius": ('{"celsius": 58}', Taking(of="pork", degrees=58, scale=C)),
    "fahrenheit": ('{"fahrenheit": 136}', Taking(of="pork", degrees=136, scale=F)),
    "value": ('{"value": 58}', Taking(of="pork", degrees=58)),
    "value and unit": ('{"value": 58, "unit": "Celsius"}', Taking(of="pork", degrees=58, scale=C)),
    "of": ('{"of": " the  oven ", "celsius": 190}', Taking(of="the oven", degrees=190, scale=C)),
    "name": ('{"name": "oven", "degrees": 374, "unit": "F"}', Taking(of="oven", degrees=374, scale=F)),
    "more than we need": ('{"celsius": 58, "battery": 3, "x": [1]}', Taking(of="pork", degrees=58, scale=C)),
}


@pytest.mark.parametrize(("line", "taking"), LINES.values(), ids=LINES)
def test_a_line_is_a_reading(line: str, taking: Taking) -> None:
    assert taking_of_line(line, of="pork") == taking


def test_a_number_has_the_senders_unit_unless_it_has_its_own() -> None:
    assert taking_of_line("136", of="pork", scale=F).scale is F
    assert taking_of_line("58 C", of="pork", scale=F).scale is C
    assert taking_of_line('{"value": 136}', of="pork", scale=F).scale is F


JUNK: dict[str, tuple[str, str]] = {
    "words": ("warm", '"warm" is neither a number nor a JSON object'),
    "nothing": ("", "is neither a number"),
    "nan": ("nan", "is neither a number"),
    "infinity": ("inf", "is neither a number"),
    "too large to be a number": ("1e999", "a temperature is a finite number"),
    "no unit": ("58 K", '"K" is no unit of temperature'),
    "two numbers": ("58 59", "is neither a number"),
    "broken JSON": ('{"celsius": ', "is not JSON"),
    "a list": ("[58]", "a reading is an object"),
    "a nest": ("[" * 3000, "is not JSON"),
    "no temperature": ('{"of": "pork"}', "one temperature, not 0"),
    "two temperatures": ('{"celsius": 58, "fahrenheit": 136}', "one temperature, not 2"),
    "two names": ('{"of": "pork", "name": "pork", "celsius": 5}', "one name, not 2"),
    "a name that is none": ('{"of": 5, "celsius": 58}', '"of" needs a name as text'),
    "an empty name": ('{"of": " ", "celsius": 58}', "nothing says what the thermometer is in"),
    "a long name": (json.dumps({"of": "x" * 500, "celsius": 58}), "at most 120 characters"),
    "text for a number": ('{"celsius": "58"}', '"celsius" needs a number such as 58.5, not "58"'),
    "true for a number": ('{"celsius": true}', "needs a number"),
    "null for a number": ('{"celsius": null}', "needs a number"),
    "NaN": ('{"celsius": NaN}', "finite number"),
    "Infinity": ('{"celsius": -Infinity}', "finite number"),
    "a number beyond all": ('{"celsius": 1' + "0" * 400 + "}", "finite number"),
    "a unit of its own": ('{"celsius": 58, "unit": "C"}', "is a unit already"),
    "a unit that is none": ('{"value": 58, "unit": "warm"}', '"warm" is no unit'),
    "a unit that is a number": ('{"value": 58, "unit": 1}', "is no unit"),
}


@pytest.mark.parametrize(("line", "told"), JUNK.values(), ids=JUNK)
def test_what_is_no_reading_is_one_line(line: str, told: str) -> None:
    with pytest.raises(ReadingError) as caught:
        taking_of_line(line, of="pork")
    assert told in str(caught.value)
    assert len(str(caught.value).splitlines()) == 1
    assert len(str(caught.value)) < 300


def test_without_a_name_there_is_no_reading() -> None:
    with pytest.raises(ReadingError, match="nothing says what"):
        taking_of_line("58")


def test_the_strict_door_refuses_a_key_that_means_nothing() -> None:
    with pytest.raises(ReadingError, match='a reading has no "colour"'):
        taking_of({"of": "pork", "celsius": 58, "colour": 1}, is_strict=True)


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"), [(145, 62.8), (160, 71.1), (165, 73.9), (32, 0.0), (-40, -40)]
)
def test_fahrenheit_is_as_printed(fahrenheit: float, celsius: float) -> None:
    assert Taking(of="pork", degrees=fahrenheit, scale=F).celsius(C) == pytest.approx(celsius, abs=0.05)
    assert Taking(of="pork", degrees=fahrenheit).celsius(F) == pytest.approx(celsius, abs=0.05)


OUTSIDE = {
    "below absolute zero": (-300.0, C, "-300 C is colder than anything is"),
    "below absolute zero in Fahrenheit": (-460.0, F, "-460 F is colder than anything is"),
    "a freezer of no kitchen": (-80.0, C, "-80 C is nothing a kitchen has (-60 to 600 C)"),
    "millidegrees": (58_250.0, C, "58250 C is nothing a kitchen has"),
    "a billion": (1e9, C, "1000000000 C is nothing a kitchen has"),
}


@pytest.mark.parametrize(("degrees", "scale", "told"), OUTSIDE.values(), ids=OUTSIDE)
def test_what_no_thermometer_gives_is_refused(degrees: float, scale: Scale, told: str) -> None:
    with pytest.raises(ReadingError) as caught:
        Taking(of="pork", degrees=degrees, scale=scale).celsius(C)
    assert told in str(caught.value)
    assert "is the unit right?" in str(caught.value)


_ANY: st.SearchStrategy[Any] = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=20)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(
            st.one_of(
                st.sampled_from(["of", "name", "celsius", "fahrenheit", "value", "unit"]), st.text(max_size=5)
            ),
            inner,
            max_size=4,
        ),
    ),
    max_leaves=8,
)


def outcome(line: str) -> float | str:
    """The degrees Celsius of a line, or why it has none."""
    try:
        return taking_of_line(line, of="pork").celsius(C)
    except ReadingError as error:
        return str(error)


def is_clear(found: float | str) -> bool:
    return len(found.splitlines()) == 1 if isinstance(found, str) else -60 <= found <= 600


@given(value=_ANY)
def test_whatever_comes_is_a_reading_in_reach_or_one_line(value: Any) -> None:
    assert is_clear(outcome(json.dumps(value)))


@given(line=st.text(max_size=60))
def test_whatever_is_printed_is_a_reading_or_one_line(line: str) -> None:
    assert is_clear(outcome(line))
