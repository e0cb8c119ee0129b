"""Calendar events as another program reads them: the icalendar library, and RFC 5545's rules for lines."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar, Event

from kitchend.core.plan import Plan
from kitchend.core.timeline import Timeline
from kitchend.reports.ics import OCTETS, escaped, fold, timeline_ics
from tests.reports.supper import PLAN, SEVEN, TIMELINE, TWO_PASSES, at, named

ODD = (
    "Käse, Brät; Übermut \\n & Ländle: "
    + "ein sehr langer Name für ein Abendessen " * 3
    + "\u2014 \U0001f372"
)


def events(plan: Plan, timeline: Timeline = TIMELINE) -> list[Any]:
    """The events as the library reads them; what a property holds depends on its kind."""
    read = Calendar.from_ical(timeline_ics(plan, timeline, at(300)))
    found = [part for part in read.walk("VEVENT") if isinstance(part, Event)]
    assert not [error for event in found for error in event.errors]
    return found


def test_each_step_is_an_event_with_its_times() -> None:
    found = events(PLAN)
    assert [str(event["SUMMARY"]) for event in found] == [
        "Mira: heat the oven to 190",
        "Mira: season the duck",
        "Mira: roast the duck",
        "Jonas: rinse the barley",
        "Jonas: boil the barley",
        "rest the duck",
        "The pass: Millpond supper",
    ]
    for event, planned in zip(found, TIMELINE.planned, strict=False):
        assert event["DTSTART"].dt == datetime.fromtimestamp(planned.start.epoch_s, UTC)
        assert event["DTEND"].dt == datetime.fromtimestamp(planned.end.epoch_s, UTC)
    assert found[-1]["DTSTART"].dt == datetime.fromtimestamp(SEVEN.epoch_s, UTC)
    assert found[-1]["DTEND"].dt - found[-1]["DTSTART"].dt == timedelta(minutes=5)


def test_every_event_has_what_the_standard_requires_and_an_identity_of_its_own() -> None:
    # RFC 5545, sections 3.6.1 and 3.6: UID and DTSTAMP in every event; VERSION and PRODID in the calendar.
    read = Calendar.from_ical(timeline_ics(PLAN, TIMELINE, at(300)))
    assert (str(read["VERSION"]), str(read["PRODID"])) == ("2.0", "-//kitchend//timeline//EN")
    found = events(PLAN)
    assert len({str(event["UID"]) for event in found}) == len(found) == 7
    assert {event["DTSTAMP"].dt for event in found} == {datetime.fromtimestamp(at(300).epoch_s, UTC)}


def test_events_keep_their_identity_when_the_plan_moves_within_the_day() -> None:
    later = replace(
        TIMELINE, planned=tuple(replace(p, start=p.start + 60, end=p.end + 60) for p in TIMELINE.planned)
    )
    ids = [str(event["UID"]) for event in events(PLAN)]
    assert [str(event["UID"]) for event in events(PLAN, later)] == ids
    tomorrow = replace(TIMELINE, serve=SEVEN + 24 * 3600)
    assert not set(ids) & {str(event["UID"]) for event in events(PLAN, tomorrow)}


def test_a_step_of_no_length_still_ends_after_it_begins() -> None:
    # RFC 5545, section 3.8.2.2: DTEND is later than DTSTART.
    short = replace(TIMELINE, planned=tuple(replace(p, end=p.start) for p in TIMELINE.planned))
    assert all(event["DTEND"].dt > event["DTSTART"].dt for event in events(PLAN, short))


def test_each_pass_of_a_shared_kitchen_is_an_event() -> None:
    passes = [event for event in events(TWO_PASSES) if str(event["SUMMARY"]).startswith("The pass")]
    assert [event["DTSTART"].dt for event in passes] == [
        datetime.fromtimestamp(when.epoch_s, UTC) for when in (at(30), SEVEN)
    ]
    assert [str(event["DESCRIPTION"]) for event in passes] == ["duck", "barley"]
    assert [str(event["SUMMARY"]) for event in passes] == ["The pass: duck", "The pass: barley"]


def test_odd_names_come_back_as_they_were_written() -> None:
    found = events(named(ODD))
    assert str(found[-1]["SUMMARY"]) == f"The pass: {ODD}"
    assert str(found[2]["SUMMARY"]) == f"{ODD}: {ODD} roast the duck"
    assert [str(name) for name in found[2]["CATEGORIES"].cats] == [ODD]
    assert str(found[2]["LOCATION"]) == "oven at 190 C x2"


@pytest.mark.parametrize("plan", [PLAN, named(ODD), named("é" * 400)], ids=["plain", "odd", "accents"])
def test_lines_are_folded_at_75_octets_and_end_in_crlf(plan: Plan) -> None:
    raw = timeline_ics(plan, TIMELINE, at(300)).encode()
    assert raw.endswith(b"\r\n")
    lines = raw.removesuffix(b"\r\n").split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert not any(b"\n" in line or b"\r" in line for line in lines)
    for line in lines:
        line.decode()


@given(st.text())
def test_any_words_are_folded_whole_and_read_back(words: str) -> None:
    kept = "".join(
        letter
        for letter in words
        if letter >= " " and letter != "\x7f" and not "\ud800" <= letter <= "\udfff"
    )
    pieces = list(fold(f"SUMMARY:{escaped(kept)}"))
    assert all(len(piece.encode()) <= OCTETS for piece in pieces)
    assert "".join([pieces[0], *(piece[1:] for piece in pieces[1:])]) == f"SUMMARY:{escaped(kept)}"
    event = Event.from_ical("\r\n".join(["BEGIN:VEVENT", *pieces, "END:VEVENT", ""]))
    assert str(event["SUMMARY"]) == kept


def test_control_letters_are_left_out_and_line_breaks_escaped() -> None:
    assert escaped("a\x00b\x1bc\ud800\r\nd\ne\\f;g,h") == "abc\\nd\\ne\\\\f\\;g\\,h"
