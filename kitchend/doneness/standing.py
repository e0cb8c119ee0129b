"""How long food may stand, how it is kept hot or cold, cooled and reheated: rules as pure functions.

Each takes times in seconds and temperatures in Celsius and gives a fact, never an order. They are published
guidance with the source beside the figure; none says that food is safe, and local rules win.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from kitchend.doneness.guidance import Jurisdiction

HOUR_S = 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeping:
    """Food may be kept at `hot_c` or above, at `cold_c` or below; between them is the danger zone."""

    hot_c: float
    cold_c: float
    source: str


def _f(degrees: float) -> float:
    return (degrees - 32.0) / 1.8


KEEPING: dict[Jurisdiction, Keeping] = {
    Jurisdiction.US_FSIS: Keeping(
        hot_c=_f(140), cold_c=_f(40), source="USDA: keep hot food at 140 F or more, cold food at 40 F or less"
    ),
    Jurisdiction.US_FOOD_CODE: Keeping(hot_c=_f(135), cold_c=_f(41), source="FDA Food Code 3-501.16"),
    Jurisdiction.UK_FSA: Keeping(
        hot_c=63.0,
        cold_c=8.0,
        source="Food Hygiene (Wales) Regulations 2006 Sch. 4 para. 6; 8 C as taught with the UK rules",
    ),
}
ROAST_HOT_C = _f(130)
"""Roasts cooked by the Food Code's table may be held from here on: 3-501.16."""
WARM_ROOM_C = _f(90)
OUT_S = 2 * HOUR_S
OUT_WARM_S = HOUR_S
"""Off the heat or out of the cold: 2 hours, 1 hour in air above 90 F (32 C): USDA, 2016."""
COOL_FIRST_C = _f(135)
COOL_MIDDLE_C = _f(70)
COOL_LAST_C = _f(41)
COOL_FIRST_S = 2 * HOUR_S
COOL_TOTAL_S = 6 * HOUR_S
"""135 to 70 F within 2 hours and 135 to 41 F within 6 hours in all: FDA Food Code 3-501.14."""
COOL_AMBIENT_S = 4 * HOUR_S
"""Made of ingredients at room temperature: to 41 F within 4 hours: FDA Food Code 3-501.14."""
REHEAT_C = _f(165)
REHEAT_HOLD_S = 15.0
REHEAT_WITHIN_S = 2 * HOUR_S
"""To 165 F for 15 seconds, within 2 hours: FDA Food Code 3-403.11."""


def is_in_danger_zone(temp_c: float, jurisdiction: Jurisdiction, *, roast_by_table: bool = False) -> bool:
    """Whether a temperature is neither hot nor cold enough to keep food."""
    rule = KEEPING[jurisdiction]
    hot = rule.hot_c
    if roast_by_table and jurisdiction is Jurisdiction.US_FOOD_CODE:
        hot = ROAST_HOT_C
    return rule.cold_c + 1e-6 < temp_c < hot - 1e-6


def may_stand_s(room_c: float | None = None) -> float:
    """How long food may stand out: 2 hours, 1 in air above 32 C (90 F). An unknown room is a mild one."""
    return OUT_WARM_S if room_c is not None and room_c > WARM_ROOM_C + 1e-6 else OUT_S


def left_to_stand_s(stood_s: float, room_c: float | None = None) -> float:
    """What is left of that time; below zero once it is over."""
    return may_stand_s(room_c) - stood_s


class Cooling(Enum):
    """Where a cooling food is."""

    ON_COURSE = "on course"
    DONE = "done"
    TOO_SLOW_FIRST = "not at 70 F (21 C) within two hours: reheat or discard"
    TOO_SLOW = "not at 41 F (5 C) within six hours: discard"


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolingState:
    """What is known of a cooling: where it is, how long until the next line must be passed (None: none)."""

    state: Cooling
    left_s: float | None


def cooling_of(times_s: Sequence[float], temps_c: Sequence[float], now_s: float) -> CoolingState:
    """Judge a cooling by its readings; it began when the food was last at 135 F (57 C) or more.

    Without any such reading it began at the first. A crossing counts when a reading shows it, not before.
    Raises ValueError for no readings.
    """
    if not times_s:
        raise ValueError("no readings of a cooling")
    pairs = sorted(zip(times_s, temps_c, strict=True))
    hot = [place for place, (_, temp) in enumerate(pairs) if temp >= COOL_FIRST_C - 1e-6]
    pairs = pairs[hot[-1] :] if hot else pairs
    began = pairs[0][0]
    middle = _first_at_or_below(pairs, COOL_MIDDLE_C)
    last = _first_at_or_below(pairs, COOL_LAST_C)
    if (now_s if middle is None else middle) - began > COOL_FIRST_S:
        return CoolingState(state=Cooling.TOO_SLOW_FIRST, left_s=None)
    if (now_s if last is None else last) - began > COOL_TOTAL_S:
        return CoolingState(state=Cooling.TOO_SLOW, left_s=None)
    if last is not None:
        return CoolingState(state=Cooling.DONE, left_s=None)
    limit = COOL_FIRST_S if middle is None else COOL_TOTAL_S
    return CoolingState(state=Cooling.ON_COURSE, left_s=began + limit - now_s)


def is_reheated(times_s: Sequence[float], temps_c: Sequence[float]) -> bool:
    """Whether readings show 165 F (74 C) kept for 15 seconds within two hours of the first of them."""
    since: float | None = None
    for moment, temp in sorted(zip(times_s, temps_c, strict=True)):
        if temp < REHEAT_C - 1e-6:
            since = None
            continue
        since = moment if since is None else since
        if moment - since >= REHEAT_HOLD_S:
            return since - min(times_s) <= REHEAT_WITHIN_S
    return False


def _first_at_or_below(pairs: list[tuple[float, float]], limit_c: float) -> float | None:
    return next((moment for moment, temp in pairs if temp <= limit_c + 1e-6), None)
