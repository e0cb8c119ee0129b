"""How long food may stand, how it is kept hot or cold, cooled and reheated: the published figures.

Seconds and degrees Celsius, each with its source; `rules` hands them to the core, which judges a plan and a
dinner by them. None says that food is safe, and local rules win.
"""

from __future__ import annotations

from dataclasses import dataclass

from kitchend.doneness.guidance import Jurisdiction

HOUR_S = 3600


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
TIME_ONLY_S = 4 * HOUR_S
TIME_ONLY_COLD_S = 6 * HOUR_S
TIME_ONLY_COLD_C = _f(70)
"""Marked with when it is to be thrown away, food may be out 4 hours without a thermometer, or 6 from the cold
on where it stays at 70 F or less: FDA Food Code 3-501.19(B) and (C)."""
PACKED_HAM_C = _f(140)
"""Fully cooked ham, reheated: 140 F where a plant under inspection packed it, any other as leftovers: USDA
FSIS chart, April 2025."""
PACKED_C = _f(135)
"""What was cooked and packed by a plant, reheated to be kept hot: 135 F, FDA Food Code 3-403.11."""
SCOTLAND_REHEAT_C = 82.0
"""Reheating in Scotland: Food Hygiene (Scotland) Regulations 2006 Sch. 4, as it is taught."""
ROAST_LARGE_KG = 10 * 0.45359237
ROAST_OVEN_C = _f(350)
ROAST_FAN_C = _f(325)
ROAST_LARGE_OVEN_C = ROAST_MOIST_C = _f(250)
"""Ovens for roasts that end by the table: below 10 lb 350 F, with a fan 325 F, from 10 lb on 250 F, all at
least; a moist one at most 250 F, whatever the weight: FDA Food Code 3-401.11(B)(1), 18 AAC 31.232 Table C."""
REHEAT_WITHIN_S = 2 * HOUR_S
"""To 165 F for 15 seconds (`guidance`), within 2 hours: FDA Food Code 3-403.11."""
