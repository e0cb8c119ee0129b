"""Why a timeline is as it is, in sentences: what decides, the busiest hands, how sure it is, what collides.

Facts come from the timeline and are only put into words; what is not known is not said.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby

from kitchend.core.papers import in_words, written_duration, written_range
from kitchend.core.passes import passes_of
from kitchend.core.plan import Plan
from kitchend.core.quantities import show_temperature
from kitchend.core.timeline import Conflict, Timeline
from kitchend.core.wording import capital, clause, said_list
from kitchend.reports.rows import Row, lanes_of
from kitchend.reports.wrapping import rough, wrapped

NEARLY_ALL, HARDLY_ANY = 0.995, 0.05
"""Beyond these a chance is not put in tenths."""
SHORT_OF = 0.02
"""A chance is known no better than that; a smaller lack is not worth a word."""
NO_BOUND = 0.5
"""A gap this wide says nothing."""
IN_TENTHS = 0.94
"""Above it a tenth is too coarse: nine dinners in ten is not nineteen in twenty."""


def why(plan: Plan, rows: Sequence[Row], timeline: Timeline) -> str:
    """Everything there is to say about a timeline below its chart, a paragraph each."""
    said = [
        *chains(plan, rows, timeline),
        busiest(timeline),
        heats(plan, rows, timeline),
        chance(timeline, plan.chance),
        spoiler(rows, timeline),
        margin(rows, timeline, plan.chance),
        gap(timeline),
    ]
    return "\n".join(line for text in said if text for line in wrapped("", text))


def conflicts(timeline: Timeline) -> str:
    """What cannot be had, and every change that would make it work, cheapest first; what mends several
    collisions only together is said once, below them.
    """
    groups = groupby(timeline.conflicts, key=lambda conflict: conflict.changes)
    return "\n".join(line for changes, group in groups for line in _conflicts(list(group), changes))


def _conflicts(group: Sequence[Conflict], changes: Sequence[str]) -> list[str]:
    lines = [line for conflict in group for line in wrapped("! ", f"{conflict.message}.")]
    if len(changes) == 1:
        return [*lines, *wrapped(f"  {clause('why.one')}", f"{changes[0]}.")]
    if changes:
        lines.append(f"  {clause('why.each')}")
    for change in changes:
        lines += wrapped("  - ", f"{change}.")
    return lines


def chains(plan: Plan, rows: Sequence[Row], timeline: Timeline) -> list[str]:
    """Which steps decide each pass, in their order, the earliest pass first."""
    passes = passes_of(plan)
    found = []
    for one in passes:
        deciding = [row.step.name for row in rows if one.before_s in row.planned.decides]
        steps = clause("why.then").join(dict.fromkeys(deciding))
        if steps and len(passes) == 1:
            found.append(clause("why.chain", steps=steps))
        elif steps:
            found.append(clause("why.chain.of", at=f"{one.at(timeline.serve).time_of_day}", steps=steps))
    return found


def busiest(timeline: Timeline) -> str:
    """When the hands have the least rest."""
    moments = [
        clause(
            "why.moment",
            start=f"{busy.start.time_of_day}",
            end=f"{busy.end.time_of_day}",
            work=written_duration(-(-busy.hands_s // 60) * 60),
        )
        for busy in timeline.busiest
    ]
    return clause("why.busiest", moments=said_list(moments)) if moments else ""


def heats(plan: Plan, rows: Sequence[Row], timeline: Timeline) -> str:
    """How hot each oven is, and when."""
    said = []
    for item in lanes_of(plan, list(rows)):
        own = [
            clause(
                "why.heat",
                degrees=show_temperature(heat.at),
                start=f"{heat.start.time_of_day}",
                end=f"{heat.end.time_of_day}",
            )
            for heat in timeline.heats
            if heat.equipment == item.id
        ]
        if own:
            said.append(clause("why.heats", item=item.name, heats=", ".join(own)))
    return " ".join(said)


def chance(timeline: Timeline, asked: float | None = None) -> str:
    """The chance that all is at the pass within five minutes, and whether that is less than was asked for."""
    sure = timeline.on_time_probability
    if sure is None:
        return ""
    told = clause("why.chance", often=capital(said_chance(sure)), percent=_percent(sure))
    if asked is None or sure >= asked - SHORT_OF:
        return told
    return f"{told} {clause('why.less', percent=_percent(asked))}"


def said_chance(sure: float) -> str:
    """ "nine dinners in ten", "ninety seven dinners in a hundred", "nearly every dinner"."""
    if sure >= NEARLY_ALL:
        return clause("why.nearly")
    if sure < HARDLY_ANY:
        return clause("why.hardly")
    if sure > IN_TENTHS:
        return clause("why.hundred", n=in_words(round(sure * 100)))
    tenths = max(1, round(sure * 10))
    if tenths == 5:
        return clause("why.half")
    return clause("why.tenth" if tenths == 1 else "why.tenths", n=in_words(tenths))


def _percent(sure: float) -> str:
    """To a whole percent; never 100 for what is not sure, never 0 for what may be."""
    whole = min(99, max(1, round(sure * 100))) if 0 < sure < 1 else round(sure * 100)
    return f"{whole} %"


def spoiler(rows: Sequence[Row], timeline: Timeline) -> str:
    """Which step is most likely to spoil it, and why that one."""
    row = next((row for row in rows if row.step.id == timeline.spoiler), None)
    if row is None:
        return ""
    step = row.step
    reading = clause("why.reading", degrees=show_temperature(step.until)) if step.until else ""
    is_guess = step.takes.is_guess
    guess = f"{clause('why.guess', time=written_range(step.takes))}{reading}" if is_guess else reading
    return clause("why.spoiler", step=step.name, guess=guess)


def margin(rows: Sequence[Row], timeline: Timeline, asked: float | None = None) -> str:
    """How much more than is likely what is most uncertain gets, what for, and what can wait then."""
    if timeline.margin_s <= 0:
        return ""
    wish = "" if asked is None else clause("why.wish", percent=_percent(asked))
    time = rough(timeline.margin_s)
    row = next((row for row in rows if row.step.id == timeline.spoiler), None)
    cushion = None if row is None else _cushion(rows, row, timeline.margin_s)
    if cushion is None:
        return clause("why.margin", time=time, wish=wish)
    facts = {"step": cushion.step.name, "keeps": _keeping(cushion)}
    return clause("why.margin.waits", time=time, wish=wish, **facts)


def _cushion(rows: Sequence[Row], spoiler: Row, margin_s: int) -> Row | None:
    """The step from the spoiler on, in its dish, that keeps longest and longer than the margin."""
    later = [row for row in rows if row.step.dish == spoiler.step.dish and _follows(row, spoiler)]
    able = [row for row in later if _room_s(row) is None or (_room_s(row) or 0) >= margin_s]
    return max(able, key=lambda row: math.inf if row.step.keeps_s is None else row.step.keeps_s, default=None)


def _follows(row: Row, spoiler: Row) -> bool:
    return row.step.during is None and row.planned.start.epoch_s >= spoiler.planned.start.epoch_s


def _room_s(row: Row) -> int | None:
    return None if row.step.keeps_s is None else row.step.keeps_s - row.planned.stands_s


def _keeping(row: Row) -> str:
    if row.step.keeps_s is None:
        return clause("why.keeps.day")
    return clause("why.keeps", time=written_duration(row.step.keeps_s))


def gap(timeline: Timeline) -> str:
    """How far it may be from the best there is, where it is not proved to be the best."""
    if timeline.gap is None:
        return clause("why.unproved")
    if timeline.gap <= 0:
        return ""
    if timeline.gap > NO_BOUND:
        return clause("why.unbound")
    return clause("why.gap", percent=f"{timeline.gap * 100:.1f}")
