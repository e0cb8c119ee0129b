"""The timeline as calendar events, RFC 5545: one for each step, one for each pass.

Times are in UTC, so that no time zone has to be described. An event keeps its UID as long as plan, day and
step are the same, so that a later import takes the place of an earlier one. Lines end in CRLF and are folded
at 75 octets, never inside a letter.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from datetime import UTC, datetime

from kitchend.core.clock import WallTime
from kitchend.core.papers import written_duration, written_range
from kitchend.core.passes import Pass, passes_of
from kitchend.core.plan import Plan
from kitchend.core.quantities import show_temperature
from kitchend.core.timeline import Timeline
from kitchend.core.tongue import of_state
from kitchend.core.wording import clause
from kitchend.reports.rows import Row, rows_of

OCTETS = 75
"""RFC 5545, section 3.1: the longest line, its end not counted."""

PASS_S = 300
"""How long a pass stands in the calendar: the five minutes in which a dinner is on time."""

_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff]")
"""Letters that RFC 5545, section 3.1 (CONTROL), allows in no value, and halves of pairs, which are none."""


@of_state
def timeline_ics(plan: Plan, timeline: Timeline, now: WallTime) -> str:
    """The whole calendar, as text; `now` is when it was made."""
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:-//kitchend//timeline//{plan.language.upper()}",
        "CALSCALE:GREGORIAN",
    ]
    lines.append(f"X-WR-CALNAME:{escaped(plan.name)}")
    for row in rows_of(plan, timeline):
        lines += _event(_uid(plan, timeline, row.step.id), now, _step(row))
    for one in passes_of(plan):
        lines += _event(_uid(plan, timeline, f"pass {one.before_s}"), now, _pass(plan, timeline, one))
    return "".join(f"{folded}\r\n" for line in [*lines, "END:VCALENDAR"] for folded in fold(line))


def escaped(words: str) -> str:
    r"""A TEXT value (section 3.3.11): \ ; , and line breaks escaped, control letters left out."""
    clean = _CONTROL.sub("", words.replace("\r\n", "\n"))
    for plain, shown in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\n", "\\n")):
        clean = clean.replace(plain, shown)
    return clean


def fold(line: str) -> Iterator[str]:
    """The line in pieces of at most 75 octets of UTF-8; every piece but the first begins with a space."""
    piece, room = "", OCTETS
    for letter in line:
        size = len(letter.encode("utf-8", "replace"))
        if size > room:
            yield piece
            piece, room = " ", OCTETS - 1
        piece += letter
        room -= size
    yield piece


def _event(uid: str, now: WallTime, facts: Iterator[str]) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{uid}"
    yield f"DTSTAMP:{_utc(now)}"
    yield from facts
    yield "END:VEVENT"


def _step(row: Row) -> Iterator[str]:
    start, end = row.planned.start, row.planned.end
    yield f"DTSTART:{_utc(start)}"
    yield f"DTEND:{_utc(max(end, start + 1, key=lambda at: at.epoch_s))}"
    who = f"{row.cook}: " if row.cook else ""
    yield f"SUMMARY:{escaped(who + row.step.name)}"
    yield f"CATEGORIES:{escaped(row.dish)}"
    if row.equipment:
        yield f"LOCATION:{escaped(', '.join(row.equipment))}"
    yield f"DESCRIPTION:{escaped(_told(row))}"
    yield f"TRANSP:{'OPAQUE' if row.step.hands_s else 'TRANSPARENT'}"


def _told(row: Row) -> str:
    step = row.step
    lines = [clause("event.takes", dish=row.dish, time=written_range(step.takes))]
    lines += [clause("event.hands", time=written_duration(step.hands_s))] if step.hands_s else []
    lines += [clause("event.until", degrees=show_temperature(step.until))] if step.until else []
    lines += [clause("event.look", sign=step.look_for)] if step.look_for else []
    lines += [clause("event.raw", raw=step.raw)] if step.raw else []
    return "\n".join(lines)


def _pass(plan: Plan, timeline: Timeline, one: Pass) -> Iterator[str]:
    """One of several is called by its dishes."""
    at, dishes = one.at(timeline.serve), ", ".join(dish.name for dish in one.dishes)
    is_only = len(passes_of(plan)) == 1
    summary = clause("event.pass", plan=plan.name) if is_only else clause("sheet.pass", dishes=dishes)
    yield f"DTSTART:{_utc(at)}"
    yield f"DTEND:{_utc(at + PASS_S)}"
    yield f"SUMMARY:{escaped(summary)}"
    yield f"DESCRIPTION:{escaped(dishes)}"
    yield "TRANSP:OPAQUE"


def _uid(plan: Plan, timeline: Timeline, what: str) -> str:
    day = f"{timeline.serve.local:%Y-%m-%d}"
    known = hashlib.sha256(f"{plan.name}\n{day}\n{what}".encode("utf-8", "replace")).hexdigest()
    return f"{known[:32]}@kitchend"


def _utc(wall: WallTime) -> str:
    return f"{datetime.fromtimestamp(round(wall.epoch_s), UTC):%Y%m%dT%H%M%SZ}"
