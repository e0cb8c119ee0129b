"""The rules a dinner goes by: the tables of each jurisdiction, and the words that find a row in them."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from kitchend.core.safety_rules import words_in
from kitchend.core.time_at_heat import done_share, hold_s
from kitchend.doneness.guidance import MINIMA, Jurisdiction
from kitchend.doneness.lethality import (
    E_COLI_Z_C,
    LISTERIA_Z_C,
    UK_BURGER_HOLDS_C,
    UK_HOLDS_C,
    equivalent_hold_s,
    roast_done_share,
    uk_hold_s,
)
from kitchend.doneness.rules import KINDS, rules_for

FSIS, CODE, UK = Jurisdiction.US_FSIS, Jurisdiction.US_FOOD_CODE, Jurisdiction.UK_FSA


@pytest.mark.parametrize("who", Jurisdiction, ids=lambda who: who.value)
def test_every_kind_of_food_has_its_row_with_its_source(who: Jurisdiction) -> None:
    rules = rules_for(who)
    rows = {row.kind: row for row in (*rules.rows, rules.stuffed, rules.reheated)}
    assert set(KINDS.values()) == set(rows)
    for food, kind in KINDS.items():
        least = MINIMA[who][food]
        assert (rows[kind].celsius, rows[kind].hold_s, rows[kind].source) == (
            least.celsius,
            least.hold_s,
            least.source,
        )
    assert rules.spoken.startswith("the ")


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("poultry", "poultry"),
        ("Turkey breast", "poultry"),
        ("ground turkey", "poultry"),
        ("minced beef", "minced meat"),
        ("pork sausages", "minced meat"),
        ("stuffed pork", "stuffed food"),
        ("gammon", "fresh ham"),
        ("pork", "whole cuts of meat"),
        ("salmon", "fish and shellfish"),
        ("eggs", "egg dishes"),
        ("eggplant", None),
        ("", None),
    ],
)
def test_words_find_the_strictest_row_they_name(text: str, kind: str | None) -> None:
    assert [row.kind for row in rules_for(FSIS).rows_of(words_in(text))] == ([kind] if kind else [])


# USDA 140/40 F, Food Code 3-501.16 135/41 F, roasts 130 F, UK 63/8 C; two hours, one above 90 F (USDA).
def test_keeping_and_standing_are_the_published_ones() -> None:
    assert [round(rules_for(who).hot_c, 1) for who in (FSIS, CODE, UK)] == [60.0, 57.2, 63.0]
    assert [round(rules_for(who).cold_c, 1) for who in (FSIS, CODE, UK)] == [4.4, 5.0, 8.0]
    roasts = [rules_for(who).roast_hot_c for who in (FSIS, CODE, UK)]
    assert [None if one is None else round(one, 1) for one in roasts] == [None, 54.4, None]
    for who in Jurisdiction:
        rules = rules_for(who)
        assert (rules.stand_s, rules.stand_warm_s, round(rules.warm_c, 1)) == (7200, 3600, 32.2)


# Food Standards Agency: 60 C 45 min, 65 C 10 min, 70 C 2 min, 75 C 30 s, 80 C 6 s: z = 7.5 C, rounded up.
# ACMSF, burgers, March 2007, z = 6 C: 93 min, 13.6 min, 2 min, 18 s.
@pytest.mark.parametrize(
    ("table", "z_c", "printed_min"),
    [
        (UK_HOLDS_C, LISTERIA_Z_C, [45, 10, 2, 0.5, 0.1]),
        (UK_BURGER_HOLDS_C, E_COLI_Z_C, [93, 13.6, 2, 0.3]),
    ],
    ids=["food", "burgers"],
)
def test_the_uk_tables_are_as_printed_and_never_under_their_curve(
    table: tuple[tuple[float, int], ...], z_c: float, printed_min: list[float]
) -> None:
    assert [round(seconds / 60, 1) for _, seconds in table] == printed_min
    for celsius, seconds in table:
        assert seconds >= uk_hold_s(celsius, z_c)
    for tenth in range(600, 750, 3):
        assert (hold_s(table, tenth / 10) or 0) >= uk_hold_s(tenth / 10, z_c) - 1


def test_a_rise_and_fall_by_the_table_is_close_to_the_integral_and_not_above_it() -> None:
    times = [30.0 * step for step in range(60)]
    temps = [60.0 + 8.0 * math.sin(math.pi * step / 59) for step in range(60)]
    share = done_share(UK_HOLDS_C, times, temps)
    whole = equivalent_hold_s(times, temps, reference_c=70.0, z_c=LISTERIA_Z_C) / 120.0
    assert 0.85 * whole < share <= whole
    assert hold_s(UK_HOLDS_C, 59.9) is None
    assert roast_done_share([0, 600], [54.0, 54.0]) == 0.0


@pytest.mark.parametrize("kind", ["poultry", "minced meat", "whole cuts of meat", "fish"])
def test_the_readme_s_table_shows_these_rows(kind: str) -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    (line,) = (line for line in readme.splitlines() if line.startswith(f"| {kind} |"))
    for who, cell in zip(Jurisdiction, line.split("|")[2:5], strict=True):
        row = next(row for row in rules_for(who).rows if row.kind.startswith(kind))
        assert cell.strip().startswith(f"{row.celsius:.0f} C")
        assert f"({row.celsius * 1.8 + 32:.0f} F)" in cell or who is UK
        if row.hold_s > 1:
            assert any(f"{row.hold_s // per} {unit}" in cell for per, unit in ((1, "s"), (60, "min")))
