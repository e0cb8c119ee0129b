"""Plans and passes as named on the command line, made into one dinner: which plan, and when its last pass is.

A pass is a time of day, which means the next such moment to come, or a day and a time. One that has gone by,
or lies too far ahead, is wrong use. Nothing is planned here.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from kitchend.core.clock import DAY_S, TimeOfDay, WallTime
from kitchend.core.plan import Plan
from kitchend.core.quantities import QuantityError, parse_time_of_day, show_duration
from kitchend.files.merging import Part, distances, merge_plans
from kitchend.files.plan_yaml import read_plan
from kitchend.service.guard import UseError

FARTHEST_S = 7 * DAY_S
"""As long as the longest step a plan may have; a pass beyond is a slip of the fingers."""

_DATED = re.compile(r"(\d{4}-\d{2}-\d{2})[T ](.+)", re.IGNORECASE)
_TOMORROW = re.compile(r"tomorrow(?: at)? (.+)", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dinner:
    """What is to be cooked. `serve` is the last pass, None for as early as can be; `notes` are told."""

    plan: Plan
    serve: WallTime | None
    notes: tuple[str, ...] = ()
    source: str = ""


def dinner_of(paths: Sequence[Path], serves: Sequence[str], now: WallTime) -> Dinner:
    """One dinner of these plans; PlanError for what stands in them, UseError for passes that cannot be.

    No pass given: each plan's own. One given: the last, and the others keep their distance to it. As many
    given as there are plans: each in its turn.
    """
    if len(serves) not in (0, 1, len(paths)):
        many = f"--serve is given {len(serves)} times for {len(paths)} plan{'s' * (len(paths) > 1)}"
        raise UseError(f"{many}: give it once for the last pass, or once for each plan")
    plans = [read_plan(path) for path in paths]
    passes = [pass_of(text, now) for text in serves]
    serve, before = _passes([plan.serve for plan in plans], passes, now)
    parts = [
        Part(file=str(path), plan=plan, before_s=before_s)
        for path, plan, before_s in zip(paths, plans, before, strict=True)
    ]
    merged = merge_plans(parts, None if serve is None else serve.time_of_day)
    return Dinner(
        plan=merged.plan,
        serve=serve,
        notes=merged.notes,
        source=", ".join(str(path.resolve()) for path in paths),
    )


def pass_of(text: str, now: WallTime) -> TimeOfDay | WallTime:
    """A pass as typed after --serve: "19:30", "tomorrow 19:30", "2026-12-24T19:30". UseError if none."""
    words = " ".join(text.split())
    dated, tomorrow = _DATED.fullmatch(words), _TOMORROW.fullmatch(words)
    try:
        if dated:
            return _moment(datetime.fromisoformat(dated[1]), parse_time_of_day(dated[2]), text, now)
        if tomorrow:
            day = now.local + timedelta(days=1)
            return _moment(datetime(day.year, day.month, day.day), parse_time_of_day(tomorrow[1]), text, now)  # noqa: DTZ001 - the zone comes with `astimezone`
        return parse_time_of_day(words)
    except QuantityError as error:
        raise UseError(f"--serve {text}: {error}") from None
    except (ValueError, OverflowError):
        raise UseError(f"--serve {text}: there is no such day (write it like 2026-12-24T19:30)") from None


def _moment(day: datetime, time: TimeOfDay, text: str, now: WallTime) -> WallTime:
    """That time of that day on the wall here; UseError for a pass that nobody can cook for."""
    local = day.replace(hour=time.hour, minute=time.minute).astimezone()
    offset = local.utcoffset()
    wall = WallTime(local.timestamp(), int(offset.total_seconds()) if offset else 0)
    if wall < now:
        raise UseError(f"--serve {text}: that has gone by; it is {now.local:%Y-%m-%dT%H:%M} now")
    if wall - now > FARTHEST_S:
        raise UseError(f"--serve {text}: more than {show_duration(FARTHEST_S)} ahead (give a nearer day)")
    return wall


def _passes(
    own: Sequence[TimeOfDay | None], asked: Sequence[TimeOfDay | WallTime], now: WallTime
) -> tuple[WallTime | None, tuple[int, ...]]:
    """The last pass, and how long each plan's own is before it.

    Times of day whose first has gone by mean the next day; but a last pass asked for is the next such moment,
    and what that leaves no time for is late.
    """
    if len(asked) == len(own) and any(isinstance(one, WallTime) for one in asked):
        moments = [one if isinstance(one, WallTime) else now.next_at(one) for one in asked]
        last = max(moments, key=lambda moment: moment.epoch_s)
        return last, tuple(round(last - moment) for moment in moments)
    if len(asked) == len(own):
        own = [one for one in asked if isinstance(one, TimeOfDay)]
    last_time, before = distances(own)
    if len(asked) == 1 and isinstance(asked[0], WallTime):
        return asked[0], before
    wanted = asked[0] if len(asked) == 1 else last_time
    if not isinstance(wanted, TimeOfDay):
        return None, before
    serve = now.next_at(wanted)
    is_over = not (len(asked) == 1 < len(own)) and serve - max(before, default=0) < now
    return (serve + DAY_S if is_over else serve), before
