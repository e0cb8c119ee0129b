"""Durations, ranges, temperatures and times of day: what is read, what is refused and with which hint."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchend.core.clock import TimeOfDay
from kitchend.core.quantities import (
    DurationRange,
    QuantityError,
    Scale,
    Temperature,
    parse_chance,
    parse_duration,
    parse_range,
    parse_temperature,
    parse_time_of_day,
    show_duration,
    show_range,
    show_temperature,
)

# RFC 5545 section 3.3.6 gives P15DT5H0M20S and P7W; the sums in seconds are those of public iCalendar suites.
# PT1H30M, PT36H, P12W: ISO 8601, as the suites of published duration parsers have them.
PUBLISHED_S = {
    "P15DT5H0M20S": 1_314_020,
    "P7W": 4_233_600,
    "PT1H30M": 5_400,
    "PT36H": 129_600,
    "P12W": 84 * 86_400,
}

PLAIN_S = {
    "10 min": 600,
    "1 h 20 min": 4800,
    "90 s": 90,
    "90s": 90,
    "1h20min": 4800,
    "1 hour and 20 minutes": 4800,
    "1 hour, 20 mins": 4800,
    "2 hrs.": 7200,
    "1.5 h": 5400,
    "1,5 h": 5400,
    "½ h": 1800,
    "1½ h": 5400,
    "half an hour": 1800,
    "An hour and a half": 5400,
    "a quarter of an hour": 900,
    "2 days": 172_800,
    "1 week": 604_800,
    "PT1H20M": 4800,
    "+PT5M": 300,
    "pt90s": 90,
    "PT1.5H": 5400,
    "PT0,8S": 1,
    "0 min": 0,
}

NO_DURATION = {
    "": ("there is nothing here", "write it like 10 min"),
    "12": ("12 has no unit", "say 12 min or 12 h"),
    "1 h 20": ("the 20 in 1 h 20 has no unit", "write it like 1 h 20 min"),
    "1:20": ("1:20 could be minutes or hours", "write it like 1 h 20 min"),
    "20 min 1 h": ("the units of 20 min 1 h are out of order", "write it like 1 h 20 min"),
    "5 min 5 min": ("the units of 5 min 5 min are out of order", "write it like 1 h 20 min"),
    "3 cups": ("cups is no unit of time", "units are s, min, h, days and weeks"),
    "soon": ("soon is no duration", "write it like 10 min, 1 h 20 min or PT1H20M"),
    "-5 min": ("-5 min is below zero", "a duration is zero or more"),
    "-P15DT5H0M20S": ("-P15DT5H0M20S is below zero", "a duration is zero or more"),
    "x" * 61: ("this is too long to be one quantity", "write it like 10 min"),
}

NO_ISO = ["PT", "P1Y", "P1M", "P1WT1H", "PT1H20", "P1DT", "PT1M1H", "P1.5DT1H"]


@pytest.mark.parametrize(("text", "seconds"), PUBLISHED_S.items())
def test_published_iso_durations_have_their_published_length(text: str, seconds: int) -> None:
    assert parse_duration(text) == seconds


@pytest.mark.parametrize(("text", "seconds"), PLAIN_S.items())
def test_durations_are_read_as_cooks_write_them(text: str, seconds: int) -> None:
    assert parse_duration(text) == seconds


@pytest.mark.parametrize(("text", "refusal"), NO_DURATION.items())
def test_what_is_no_duration_is_refused_with_a_hint(text: str, refusal: tuple[str, str]) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_duration(text)
    assert (caught.value.problem, caught.value.hint) == refusal
    assert str(caught.value) == f"{refusal[0]} ({refusal[1]})"


@pytest.mark.parametrize("text", NO_ISO)
def test_half_an_iso_duration_is_refused(text: str) -> None:
    with pytest.raises(QuantityError, match=r"PT1H20M"):
        parse_duration(text)


@pytest.mark.parametrize(
    ("text", "low_s", "high_s"),
    [
        ("70 to 85 min", 4200, 5100),
        ("70-85 min", 4200, 5100),
        ("70 – 85 min", 4200, 5100),
        ("1 h to 1 h 20 min", 3600, 4800),
        ("5 to 7 h", 18_000, 25_200),
        ("50 s to 2 min", 50, 120),
        ("PT1H to PT2H", 3600, 7200),
        ("10 to 10 min", 600, 600),
        ("15 min", 900, 900),
    ],
)
def test_ranges_are_read_with_both_ends(text: str, low_s: int, high_s: int) -> None:
    span = parse_range(text)
    assert span == DurationRange(low_s=low_s, high_s=high_s)
    assert span.is_guess == (low_s != high_s)
    assert low_s <= span.middle_s <= high_s


@pytest.mark.parametrize(
    ("text", "problem", "hint"),
    [
        ("70 to 85", "70 to 85 has no unit", "say 70 to 85 min or 70 to 85 h"),
        ("20 to 10 min", "20 to 10 min runs backwards", "give both ends a unit, the shorter one first"),
        ("10 to 1 h", "10 to 1 h runs backwards", "give both ends a unit, the shorter one first"),
        ("50 to 1 h 20 min", "50 has no unit", "say 50 min to 1 h 20 min or 50 h to 1 h 20 min"),
        ("1 h 10 to 20 min", "the 10 in 1 h 10 has no unit", "write it like 1 h 20 min"),
        ("1 to 2 to 3 h", "1 to 2 to 3 h has more than two ends", "write it like 10 to 15 min"),
        ("-5 min", "-5 min is below zero", "a duration is zero or more"),
        (
            "5 min to",
            "5 min to is no duration",
            "write it like 10 min, 1 h 20 min or PT1H20M",
        ),
    ],
)
def test_what_is_no_range_is_refused_with_a_hint(text: str, problem: str, hint: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_range(text)
    assert (caught.value.problem, caught.value.hint) == (problem, hint)


@pytest.mark.parametrize(
    ("text", "degrees", "scale"),
    [
        ("74 C", 74.0, Scale.CELSIUS),
        ("165 F", 165.0, Scale.FAHRENHEIT),
        ("74 °C", 74.0, Scale.CELSIUS),
        ("74°c", 74.0, Scale.CELSIUS),
        ("62,8 C", 62.8, Scale.CELSIUS),
        ("165 degrees Fahrenheit", 165.0, Scale.FAHRENHEIT),
        ("-18 C", -18.0, Scale.CELSIUS),
    ],
)
def test_temperatures_are_read_in_both_scales(text: str, degrees: float, scale: Scale) -> None:
    assert parse_temperature(text) == Temperature(degrees=degrees, scale=scale)


@pytest.mark.parametrize(
    ("text", "problem", "hint"),
    [
        ("165", "165 has no scale", "say 165 C or 165 F"),
        ("165°", "165° has no scale", "say 165 C or 165 F"),
        ("74 X", "x is no temperature scale", "say 74 C or 74 F"),
        ("golden", "golden is no temperature", "write it like 74 C or 165 F"),
        ("9000 C", "9000 C is no kitchen temperature", "write it like 74 C or 165 F"),
        (" ", "there is nothing here", "write it like 74 C or 165 F"),
    ],
)
def test_what_is_no_temperature_is_refused_with_a_hint(text: str, problem: str, hint: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_temperature(text)
    assert (caught.value.problem, caught.value.hint) == (problem, hint)


@pytest.mark.parametrize(
    ("text", "chance"),
    [
        ("90 %", 0.9),
        ("90%", 0.9),
        ("97.5 %", 0.975),
        ("75 percent", 0.75),
        ("0.9", 0.9),
        ("50 per cent", 0.5),
        ("99 %", 0.99),
    ],
)
def test_chances_are_read_in_hundredths_or_as_a_part(text: str, chance: float) -> None:
    assert parse_chance(text) == chance


@pytest.mark.parametrize(
    ("text", "problem", "hint"),
    [
        ("90", "90 could be anything", "say 90 %"),
        ("1", "1 could be anything", "say 1 %"),
        ("likely", "likely is no chance", "write it like 90 %"),
        ("-90 %", "-90 % is no chance", "write it like 90 %"),
        ("100 %", "nobody can be promised 100 %", "from 50 % to 99 %, such as 90 %"),
        ("0.3", "nobody can be promised 0.3", "from 50 % to 99 %, such as 90 %"),
        ("", "there is nothing here", "write it like 90 %"),
    ],
)
def test_what_is_no_chance_is_refused_with_a_hint(text: str, problem: str, hint: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_chance(text)
    assert (caught.value.problem, caught.value.hint) == (problem, hint)


# USDA FSIS, Safe Minimum Internal Temperature Chart, 14 April 2025: its Fahrenheit and Celsius columns.
@pytest.mark.parametrize(("fahrenheit", "celsius"), [(140, 60.0), (145, 62.8), (160, 71.1), (165, 73.9)])
def test_fahrenheit_turns_into_the_celsius_that_is_published(fahrenheit: int, celsius: float) -> None:
    assert round(parse_temperature(f"{fahrenheit} F").celsius, 1) == celsius


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("19:30", "19:30"),
        ("7:30 pm", "19:30"),
        ("7.30 p.m.", "19:30"),
        ("7 pm", "19:00"),
        ("12 am", "00:00"),
        ("12 pm", "12:00"),
        ("0:05", "00:05"),
    ],
)
def test_times_of_day_are_read(text: str, shown: str) -> None:
    assert str(parse_time_of_day(text)) == shown


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("1170", 'write "19:30"'),  # 19:30 in a file that a YAML 1.1 tool has rewritten: 19 x 60 + 30
        ("1930", 'write "19:30"'),
        ("9999", 'write it like "19:30"'),
        ("25:00", "hours go from 0 to 23, minutes to 59"),
        ("19:75", "hours go from 0 to 23, minutes to 59"),
        ("13 pm", "hours go from 0 to 23, minutes to 59"),
        ("19", "write it like 19:30"),
        ("supper time", "write it like 19:30"),
    ],
)
def test_what_is_no_time_of_day_is_refused_with_a_hint(text: str, hint: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_time_of_day(text)
    assert caught.value.hint == hint


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [
        (0, "0 min"),
        (45, "45 s"),
        (90, "1 min 30 s"),
        (4800, "1 h 20 min"),
        (86_400, "24 h"),
        (216_000, "2 days 12 h"),
        (-300, "-5 min"),
    ],
)
def test_durations_are_shown_short(seconds: int, shown: str) -> None:
    assert show_duration(seconds) == shown


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("70 to 85 min", "70 to 85 min"),
        ("1 h to 1 h 20 min", "60 to 80 min"),
        ("5 to 7 h", "5 to 7 h"),
        ("30 to 50 s", "30 to 50 s"),
        ("6 h to 7 h 30 min", "6 h to 7 h 30 min"),
        ("10 min", "10 min"),
    ],
)
def test_ranges_are_shown_with_one_unit_where_one_will_do(text: str, shown: str) -> None:
    assert show_range(parse_range(text)) == shown


@pytest.mark.parametrize("text", ["74 C", "165 F", "62.8 C", "-18 C"])
def test_temperatures_are_shown_as_they_may_be_written(text: str) -> None:
    assert show_temperature(parse_temperature(text)) == text


@given(st.integers(min_value=0, max_value=10_000_000))
def test_a_shown_duration_reads_back_the_same(seconds: int) -> None:
    assert parse_duration(show_duration(seconds)) == seconds


@given(st.integers(min_value=0, max_value=500_000), st.integers(min_value=0, max_value=500_000))
def test_a_shown_range_reads_back_the_same(low_s: int, more_s: int) -> None:
    span = DurationRange(low_s=low_s, high_s=low_s + more_s)
    assert parse_range(show_range(span)) == span


@given(st.integers(min_value=0, max_value=23), st.integers(min_value=0, max_value=59))
def test_a_shown_time_of_day_reads_back_the_same(hour: int, minute: int) -> None:
    assert parse_time_of_day(str(TimeOfDay(hour, minute))) == TimeOfDay(hour, minute)


_LIKELY = st.text(alphabet="0123456789 .,:-–½°+ptdhmswcfaninjo/\x00²٣", max_size=20)


def _refusal(parse: Callable[[str], object], text: str) -> QuantityError | None:
    try:
        parse(text)
    except QuantityError as error:
        return error
    return None


@given(st.one_of(st.text(max_size=80), _LIKELY))
def test_any_text_is_a_quantity_or_refused_in_words(text: str) -> None:
    for parse in (parse_duration, parse_range, parse_temperature, parse_time_of_day, parse_chance):
        refusal = _refusal(parse, text)
        assert refusal is None or (refusal.problem and refusal.hint)
