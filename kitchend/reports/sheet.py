"""The dinner as one page to print and hang up: what to do in order, when, until what, what to mind.

One HTML file that needs nothing from anywhere: no script, no font, no picture. Whatever a plan holds is text
in it. Boxes are there to be ticked with a pencil.
"""

from __future__ import annotations

from collections.abc import Sequence

from kitchend.core.papers import written_duration, written_range
from kitchend.core.passes import passes_of
from kitchend.core.plan import Plan
from kitchend.core.quantities import show_temperature
from kitchend.core.safety_rules import SafetyRules
from kitchend.core.timeline import Timeline
from kitchend.core.tongue import of_state
from kitchend.core.wording import clause
from kitchend.reports.cautions import USUAL, cautions
from kitchend.reports.markup import Markup, tag
from kitchend.reports.rows import Row, days_of, rows_of
from kitchend.reports.timeline import on_paper
from kitchend.reports.why import chains, chance

TIGHT = 22
"""A place as long as this stays on its line; a longer one would leave the other columns too little room."""
AHEAD_S = 3600
"""What keeps this long, and needs nothing before it, may be done ahead."""

STYLE = """
@page { size: A4; margin: 9mm 12mm; }
body { font: 8.8pt/1.2 Helvetica, Arial, 'Liberation Sans', sans-serif; color: #1d1d1b; background: #fff;
  max-width: 186mm; margin: 0 auto; }
h1 { font-size: 16pt; margin: 0; } h2 { font-size: 10pt; margin: 2.5mm 0 .5mm; }
p { margin: 1mm 0; } .more { color: #55554f; }
table { border-collapse: collapse; width: 100%; }
td, th { text-align: left; vertical-align: top; padding: .55mm 2.5mm .55mm 0; }
td { border-bottom: .2mm solid #c9c8c0; }
th { font-weight: normal; color: #55554f; border-bottom: .4mm solid #1d1d1b; }
tr { page-break-inside: avoid; break-inside: avoid; }
.at { font-variant-numeric: tabular-nums; font-weight: bold; white-space: nowrap; }
.box { width: 3mm; height: 3mm; border: .3mm solid #1d1d1b; display: inline-block; }
.pass td { border-top: .6mm double #1d1d1b; font-weight: bold; }
.step { width: 33%; } .tight { white-space: nowrap; } .mind { font-weight: bold; }
ul { margin: 1mm 0; padding-left: 5mm; } li { margin: .5mm 0; }
"""


@of_state
def timeline_sheet(plan: Plan, timeline: Timeline, rules: SafetyRules = USUAL) -> str:
    """The whole page, as text; its cautions go by these rules."""
    rows = rows_of(plan, timeline)
    head = tag("head", tag("meta", charset="utf-8"), tag("title", plan.name), tag("style", Markup(STYLE)))
    body = tag(
        "body",
        tag("h1", plan.name),
        tag("p", _facts(plan, timeline)),
        *_ahead(rows),
        tag("h2", clause("sheet.order")),
        _list(plan, timeline, rows),
        *_why(plan, rows, timeline),
        tag("h2", clause("sheet.mind")),
        tag("ul", *(tag("li", caution) for caution in cautions(plan, rules))),
    )
    return f"<!DOCTYPE html>\n{tag('html', head, body, lang=plan.language)}\n"


def _facts(plan: Plan, timeline: Timeline) -> str:
    facts = [on_paper(plan, timeline)]
    facts += [clause("sheet.people", people=f"{plan.people}")] if plan.people else []
    if len(plan.cook_names) > 1:
        facts.append(clause("sheet.cooks", cooks=", ".join(plan.cook_names)))
    return " ".join(facts)


def _ahead(rows: Sequence[Row]) -> list[Markup]:
    """Work that may be done long before, because it follows nothing and keeps."""
    found = [
        f"{row.step.name} ({_kept(row.step.keeps_s)})"
        for row in rows
        if row.step.is_hands_only and not row.step.after and row.step.during is None and _keeps_long(row)
    ]
    if not found:
        return []
    return [tag("h2", clause("sheet.ahead")), tag("p", f"{'; '.join(found)}.")]


def _kept(seconds: int | None) -> str:
    if seconds is None:
        return clause("sheet.keeps.day")
    return clause("sheet.keeps", time=written_duration(seconds))


def _keeps_long(row: Row) -> bool:
    return row.step.keeps_s is None or row.step.keeps_s >= AHEAD_S


def _list(plan: Plan, timeline: Timeline, rows: Sequence[Row]) -> Markup:
    """Every step in order of its start, the passes among them."""
    names_cooks = any(row.cook for row in rows)
    heads = ["", "at", "until", "step", *(["cook"] * names_cooks), "hands", "where", "done"]
    lines = [(row.planned.start.epoch_s, 1, _step(row, names_cooks)) for row in rows]
    starts, days = {row.step.id: row.planned.start.epoch_s for row in rows}, days_of(rows)
    lines += [
        (starts[first], 0, tag("tr", tag("td", day, colspan=len(heads)), class_="pass"))
        for first, day in days.items()
    ]
    for one in passes_of(plan):
        at = one.at(timeline.serve)
        dishes = ", ".join(dish.name for dish in one.dishes)
        cells = tag("td", ""), tag("td", f"{at.time_of_day}", class_="at"), tag("td", "")
        told = tag("td", clause("sheet.pass", dishes=dishes), colspan=len(heads) - 3)
        lines.append((at.epoch_s, 2, tag("tr", *cells, told, class_="pass")))
    ordered = [line for *_, line in sorted(lines, key=lambda line: line[:2])]
    return tag(
        "table",
        tag(
            "thead",
            tag("tr", *(tag("th", head and clause(f"sheet.{head}"), class_=head or None) for head in heads)),
        ),
        tag("tbody", *ordered),
    )


def _step(row: Row, names_cooks: bool) -> Markup:
    step, planned = row.step, row.planned
    is_plain = step.during is not None or step.added or _names(step.name, row.dish)
    of = [] if is_plain else [tag("span", f" ({row.dish})", class_="more")]
    where = ", ".join(row.equipment)
    mind = [tag("div", clause("sheet.wash", raw=step.raw), class_="mind")] if step.raw else []
    return tag(
        "tr",
        tag("td", tag("span", Markup(" "), class_="box")),
        tag("td", f"{planned.start.time_of_day}", class_="at"),
        tag("td", f"{planned.end.time_of_day}"),
        tag("td", step.name, *of, *mind),
        *([tag("td", row.cook)] * names_cooks),
        tag("td", written_duration(step.hands_s) if step.hands_s else "", class_="tight"),
        tag("td", where, class_="tight" if len(where) <= TIGHT else None),
        tag("td", _cue(row)),
    )


def _names(step: str, dish: str) -> bool:
    """Whether a step's name says of which dish it is."""
    return bool(set(dish.casefold().split()) & set(step.casefold().split()))


def _cue(row: Row) -> str:
    """How the cook sees that it is done."""
    step = row.step
    cues = [clause("sheet.inside", degrees=show_temperature(step.until))] if step.until else []
    cues += [step.look_for] if step.look_for else []
    if step.takes.is_guess:
        cues.append(clause("sheet.takes", time=written_range(step.takes)))
    return "; ".join(cues)


def _why(plan: Plan, rows: Sequence[Row], timeline: Timeline) -> list[Markup]:
    told = " ".join(filter(None, (*chains(plan, rows, timeline), chance(timeline))))
    return [tag("p", told, class_="more")] if told else []
