"""Facts as they are written on tables and charts, in the language spoken now: times, days, small counts.

What is spoken is in `wording`; what a plan file holds is in `quantities`, and always the same.
"""

from __future__ import annotations

from kitchend.core.clock import DAY_S, WallTime
from kitchend.core.numbers import words_of
from kitchend.core.plan import Equipment
from kitchend.core.quantities import DurationRange
from kitchend.core.wording import clause

IN_WORDS = 9


def counted(number: int, one: str, many: str) -> str:
    """So many, by the key for one or for several."""
    return clause(one if number == 1 else many, n=f"{number}")


def written_places(item: Equipment, number: str) -> str:
    """So many (a number, or in words) of what its places are called: "4 rings", "one shelf"."""
    one = "one." if item.places == 1 else ""
    return clause(f"places.{one}{item.word.value}", n=number)


def small_count(number: int) -> str:
    """A count as it is written: in words up to nine."""
    return clause(f"small.{number}") if 0 <= number <= IN_WORDS else f"{number}"


def in_words(number: int) -> str:
    """A count of dinners in ten or a hundred, in words."""
    return clause(f"small.{number}") if 0 <= number <= IN_WORDS else words_of(number)


def written_duration(seconds: int) -> str:
    """ "1 h 20 min", "45 s", "0 min"; days from 48 h on; "-5 min" below zero."""
    if seconds < 0:
        return clause("span.below", time=written_duration(-seconds))
    days, rest = divmod(seconds, DAY_S) if seconds >= 2 * DAY_S else (0, seconds)
    hours, rest = divmod(rest, 3600)
    minutes, rest = divmod(rest, 60)
    parts = [counted(days, "span.day", "span.days")] if days else []
    units = ((hours, "span.h"), (minutes, "span.min"), (rest, "span.s"))
    parts += [clause(key, n=f"{count}") for count, key in units if count]
    return " ".join(parts) or clause("span.min", n="0")


def written_range(span: DurationRange) -> str:
    """ "10 min" when both ends are equal, else "70 to 85 min", "5 to 7 h", "1 h 50 min to 2 h 10 min"."""
    low, high = written_duration(span.low_s), written_duration(span.high_s)
    if not span.is_guess:
        return low
    for unit_s, key, most_s in ((1, "span.s", 60), (60, "span.min", 7200), (3600, "span.h", 2 * DAY_S)):
        if span.high_s < most_s and span.low_s % unit_s == span.high_s % unit_s == 0:
            return clause(
                "span.range", low=f"{span.low_s // unit_s}", high=clause(key, n=f"{span.high_s // unit_s}")
            )
    return clause("span.range", low=low, high=high)


def written_day(at: WallTime, *, with_year: bool = False) -> str:
    """ "Thursday, 24 December", perhaps with the year."""
    day = at.local
    facts = {"weekday": clause(f"weekday.{day.weekday()}"), "month": clause(f"month.{day.month}")}
    if with_year:
        return clause("day.long.year", day=f"{day.day}", year=f"{day.year}", **facts)
    return clause("day.long", day=f"{day.day}", **facts)


def written_time(at: WallTime, now: WallTime | None) -> str:
    """A time of day; with the day where that is not today: "19:30 tomorrow", "19:30 on Thu 24 Dec"."""
    time, day = f"{at.time_of_day}", at.local
    days = 0 if now is None else (day.date() - now.local.date()).days
    if days == 0:
        return time
    if days == 1:
        return clause("day.tomorrow", time=time)
    weekday, month = clause(f"weekday.{day.weekday()}.short"), clause(f"month.{day.month}.short")
    return clause("day.other", time=time, weekday=weekday, day=f"{day.day}", month=month)
