"""The picture and the sheet: all steps are there, kinds differ by shape, names stay words."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest

from kitchend.core.languages import LANGUAGES
from kitchend.core.plan import Plan
from kitchend.core.quantities import Scale, Temperature
from kitchend.core.timeline import Timeline
from kitchend.doneness.guidance import Jurisdiction
from kitchend.doneness.rules import rules_for
from kitchend.reports.cautions import cautions
from kitchend.reports.sheet import timeline_sheet
from kitchend.reports.svg import timeline_svg
from kitchend.reports.svg_sheet import words as svg_words
from tests.reports.supper import (
    BOIL,
    LATE,
    PLAN,
    ROAST,
    SEASON,
    SEVEN,
    TIMELINE,
    TWO_PASSES,
    a_step,
    at,
    named,
)

CAUTION = LANGUAGES["en"].sentences["caution.guidance"]

SVG = "{http://www.w3.org/2000/svg}"
NASTY = "<script src='https://x.example/a.js'>&\"]]>--><img src=x onerror=alert(1)>\x07{{7*7}}"
TIGHT: tuple[str, dict[str, str | None]] = ("td", {"class": "tight"})
EMPTY = Timeline(serve=SEVEN, ready=SEVEN)


def drawn(plan: Plan, timeline: Timeline) -> ElementTree.Element:
    return ElementTree.fromstring(timeline_svg(plan, timeline))


def words(root: ElementTree.Element) -> list[str]:
    return ["".join(element.itertext()) for element in root.iter(f"{SVG}text")]


class Page(HTMLParser):
    """What a browser would make of a page: its tags with their attributes, and its text."""

    def __init__(self, source: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(source)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data + "\n"


def test_the_picture_names_dishes_steps_cooks_equipment_and_temperatures() -> None:
    told = words(drawn(PLAN, TIMELINE))
    wanted = [
        "Millpond supper",
        *("duck", "season the duck", "roast the duck", "barley", "boil the barley", "heat the oven to 190"),
        *("Mira", "Jonas", "busiest", "oven", "190 C", "hob", "pass 19:00", "oven at 190 C x2"),
        *("needs hands", "looks after itself", "stands and keeps", "decides the pass"),
    ]
    assert [word for word in wanted if word not in told] == []


def test_the_picture_uses_no_colour_to_tell_things_apart() -> None:
    colours = set(re.findall(r"#[0-9a-f]{6}", timeline_svg(PLAN, TIMELINE)))
    for colour in colours:
        red, green, blue = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
        assert max(red, green, blue) - min(red, green, blue) <= 12, colour


def test_hands_runs_and_deciding_steps_have_shapes_of_their_own() -> None:
    bars = [bar for bar in drawn(PLAN, TIMELINE).iter(f"{SVG}rect") if bar.find(f"{SVG}title") is not None]
    runs = {bar.findtext(f"{SVG}title"): bar for bar in bars if bar.get("fill") == "url(#runs)"}
    roast, boil = runs["roast the duck, 17:25 to 18:35"], runs["boil the barley, 18:25 to 18:55"]
    assert float(roast.get("stroke-width", 0)) > 2 * float(boil.get("stroke-width", 0))
    solid = [bar for bar in drawn(PLAN, TIMELINE).iter(f"{SVG}rect") if bar.get("fill") == "#1d1d1b"]
    assert len(solid) == 5 + 5 + 1, (
        "a bar for each step with hands, in its row and its cook's lane, and the key"
    )


def test_a_bar_lies_and_ends_where_its_times_are() -> None:
    bars = {
        bar.findtext(f"{SVG}title"): (float(bar.get("x", 0)), float(bar.get("width", 0)))
        for bar in drawn(PLAN, TIMELINE).iter(f"{SVG}rect")
        if bar.get("fill") == "url(#runs)" and bar.find(f"{SVG}title") is not None
    }
    roast_x, roast_width = bars["roast the duck, 17:25 to 18:35"]
    rest_x, rest_width = bars["rest the duck, 18:35 to 18:50"]
    assert roast_x + roast_width == pytest.approx(rest_x, abs=0.2)
    assert roast_width / rest_width == pytest.approx(70 / 15, rel=0.01)


def test_each_pass_is_drawn() -> None:
    told = words(drawn(TWO_PASSES, TIMELINE))
    assert {"pass 18:30", "pass 19:00"} <= set(told)


def test_bold_and_wide_letters_are_cut_sooner_and_whole_in_the_title() -> None:
    told = "braise the celeriac"
    room = 12 * 0.6 * len(told)
    assert svg_words(told, 0, 0, room).endswith(f">{told}</text>")
    for cut in (svg_words(told, 0, 0, room, font_weight="bold"), svg_words("생선" * 10, 0, 0, room)):
        assert "<title>" in cut
        assert cut.endswith("…</text>")
    assert svg_words("", 0, 0, room) == svg_words("", 0, 0, 0)


def test_the_thread_of_the_chain_leaves_a_step_where_the_next_one_begins() -> None:
    """What waits for hands alone begins while the step before still runs by itself."""
    both = [replace(place, decides=(0,)) if place.step == BOIL.id else place for place in TIMELINE.planned]
    root = drawn(PLAN, replace(TIMELINE, planned=tuple(both)))
    bars = {
        bar.findtext(f"{SVG}title", "").partition(",")[0]: float(bar.get("x", 0))
        for bar in root.iter(f"{SVG}rect")
        if bar.get("fill") == "url(#runs)" and bar.find(f"{SVG}title") is not None
    }
    threads = [path.get("d", "") for path in root.iter(f"{SVG}path") if path.get("stroke-width") == "1.4"]
    x = f"{bars['boil the barley']:.1f}"
    assert any(d.startswith(f"M{x} ") and f"H{x} " in d for d in threads), threads


def test_a_long_place_leaves_the_other_columns_their_room() -> None:
    """The names of equipment may wrap where they are long."""
    far = replace(PLAN.equipment[0], name="oven behind the boathouse")
    page = Page(timeline_sheet(replace(PLAN, equipment=(far, *PLAN.equipment[1:])), TIMELINE))
    assert "oven behind the boathouse at 190 C" in page.text
    assert page.tags.count(TIGHT) < Page(timeline_sheet(PLAN, TIMELINE)).tags.count(TIGHT)


@pytest.mark.parametrize("timeline", [TIMELINE, LATE, EMPTY], ids=["in time", "late", "empty"])
def test_every_timeline_can_be_drawn_and_printed(timeline: Timeline) -> None:
    assert drawn(PLAN, timeline).tag == f"{SVG}svg"
    assert Page(timeline_sheet(PLAN, timeline)).tags


def test_names_with_markup_stay_words_in_the_picture() -> None:
    root = drawn(named(NASTY), TIMELINE)
    kinds = {element.tag.removeprefix(SVG) for element in root.iter()}
    assert kinds == {"svg", "title", "defs", "pattern", "rect", "path", "text", "line"}
    assert NASTY.replace("\x07", "") in "".join(root.itertext())
    assert not any(key.startswith("on") for element in root.iter() for key in element.attrib)


def test_names_with_markup_stay_words_on_the_sheet() -> None:
    roast = replace(ROAST, look_for=NASTY, raw=NASTY)
    plan = named(NASTY)
    plan = replace(plan, dishes=(replace(plan.dishes[0], steps=(SEASON, roast)), *plan.dishes[1:]))
    page = Page(timeline_sheet(plan, replace(TIMELINE, planned=TIMELINE.planned[:3])))
    kinds = {tag for tag, _ in page.tags}
    assert kinds <= set(
        "html head meta title style body h1 h2 p table thead tbody tr th td span div ul li".split()
    )
    assert page.text.count(NASTY.replace("\x07", "")) >= 3
    assert {key for _, given in page.tags for key in given} <= {"lang", "charset", "class", "colspan"}


def test_the_sheet_needs_nothing_from_elsewhere() -> None:
    assert not re.search(r"https?:|url\(|@import|src=|href=", timeline_sheet(PLAN, TIMELINE))


def test_the_sheet_has_every_step_in_order_with_time_and_cue() -> None:
    page = Page(timeline_sheet(PLAN, TIMELINE))
    rows = re.findall(r"^(\d\d:\d\d)\n(?:\d\d:\d\d\n)?(.+)$", page.text, re.MULTILINE)
    assert rows == [
        ("17:10", "heat the oven to 190"),
        ("17:15", "season the duck"),
        ("17:25", "roast the duck"),
        ("18:20", "rinse the barley"),
        ("18:25", "boil the barley"),
        ("18:35", "rest the duck"),
        ("19:00", "The pass: duck, barley"),
    ]
    assert "74 C inside; juices run clear; takes 50 to 70 min" in page.text
    assert "rinse the barley (keeps all day)." in page.text, "it may be done ahead"
    assert "raw poultry: wash your hands" in page.text


def test_cautions_give_the_published_minimum_with_its_source() -> None:
    # USDA FSIS, Safe Minimum Internal Temperature Chart: poultry 165 F, that is 73.9 C.
    told = cautions(PLAN)
    assert told[0].startswith("Raw poultry (duck). Wash hands, board and knife")
    assert "74 C (165 F) inside for poultry" in told[0]
    (guidance,) = (one for one in told if one.startswith(CAUTION))
    assert CAUTION == "Guidance, not a guarantee. Local rules win."
    assert "USDA FSIS" in guidance
    # UK Food Standards Agency: 70 C for two minutes, hot food at 63 C or more.
    uk = cautions(PLAN, rules_for(Jurisdiction.UK_FSA))
    assert "70 C (158 F) inside for poultry, kept for 2 min" in uk[0]
    assert any("63 C (145 F) or more" in one for one in uk)


def test_a_low_target_is_shown_with_its_equivalent_hold() -> None:
    # FDA Food Code 3-401.11(B)(2): 135 F for 36 minutes.
    until = Temperature(degrees=135, scale=Scale.FAHRENHEIT)
    roast = a_step("beef", "roast the beef", 90, raw="beef", until=until)
    plan = replace(PLAN, dishes=(replace(PLAN.dishes[0], steps=(roast,)),))
    (told,) = (one for one in cautions(plan) if "held for" in one)
    assert "135 F held for 36 min is worth as much, FDA Food Code 3-401.11(B)(2)" in told


def test_raw_food_without_a_published_minimum_gets_no_number() -> None:
    step = a_step("tofu", "press the tofu", 5, raw="tofu")
    plan = replace(PLAN, dishes=(replace(PLAN.dishes[0], steps=(step,)),))
    assert "Advice" not in cautions(plan)[0]


@pytest.mark.parametrize(("word", "warns"), [("light the charcoal", True), ("season the duck", False)])
def test_fire_brings_its_own_caution(word: str, warns: bool) -> None:
    plan = replace(PLAN, dishes=(replace(PLAN.dishes[0], steps=(a_step("duck", word, 5),)),))
    assert any("carbon monoxide" in told for told in cautions(plan)) is warns


def test_a_dinner_of_more_than_a_day_names_its_days() -> None:
    early = replace(TIMELINE.planned[0], start=at(30 * 60), end=at(30 * 60 - 15))
    long = replace(TIMELINE, planned=(early, *TIMELINE.planned[1:]))
    told = Page(timeline_sheet(PLAN, long)).text.splitlines()
    assert told.index("Wednesday, 27 May") < told.index("heat the oven to 190")
    assert told.index("heat the oven to 190") < told.index("Thursday, 28 May") < told.index("season the duck")
    assert "Thu" in words(drawn(PLAN, long))


def test_what_is_printed_has_the_date_of_the_pass() -> None:
    dated = "Thursday, 28 May 2026: the pass at 19:00, beginning at 17:10."
    assert f"{dated} For 4. Cooking: Mira, Jonas." in Page(timeline_sheet(PLAN, TIMELINE)).text
    assert dated in words(drawn(PLAN, TIMELINE))
