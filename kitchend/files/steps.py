"""One step of a plan as it is written: every key read, nothing looked up yet.

Keys that contradict each other are complained of here; names of other steps and of equipment are looked up
when the whole plan is known. A step that was complained of still comes back, so that the rest can be read.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import yaml

from kitchend.core.clock import DAY_S
from kitchend.core.measures import parse_shape, parse_thickness, parse_weight
from kitchend.core.papers import written_duration
from kitchend.core.plan import GRACE_S, Piece
from kitchend.core.quantities import (
    DurationRange,
    QuantityError,
    Temperature,
    parse_duration,
    parse_range,
    parse_temperature,
)
from kitchend.core.wording import clause
from kitchend.files.complaints import Complaints, Spot
from kitchend.files.equipment import WrittenUse, counted, parse_use
from kitchend.files.names import folded
from kitchend.files.section import Section, Written, is_speakable

STEP_KEYS = (
    *("step", "also", "hands", "takes", "until", "in", "on", "after", "during", "at", "every"),
    *("keeps", "ready", "raw", "look for", "weight", "thickness", "shape"),
)

LONGEST_STEP_S = 7 * DAY_S
"""Longer than any cure or brine that a dinner is called for."""

LEAST_READY_S, MOST_READY_S = 60, 1800
"""A warning that comes later is no warning, one that comes earlier is forgotten again."""

_OTHER_WORDS = {
    "name": "wrong.is.step",
    "time": "wrong.is.time",
    "duration": "wrong.is.takes",
    "temperature": "wrong.is.degrees",
    "temp": "wrong.is.degrees",
    "warning": "wrong.is.ready",
    "soon": "wrong.is.ready",
    "before": "wrong.is.after",
    "look_for": "wrong.is.look",
    "lookfor": "wrong.is.look",
}

_INSIDE = re.compile(r"\s+inside$", re.IGNORECASE)
_AT_TABLE = re.compile(r"\s+at the table$", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenStep:
    """A step as the file has it. `after` None: not given. Without `is_timed` its `takes` is a stand-in."""

    section: Section
    name: str
    also: tuple[str, ...]
    hands_s: int
    takes: DurationRange
    until: Temperature | None
    is_for_table: bool
    piece: Piece
    uses: tuple[WrittenUse, ...]
    after: tuple[Written, ...] | None
    during: Written | None
    at_s: int | None
    every_s: int | None
    keeps_s: int | None = GRACE_S
    raw: str | None = None
    look_for: str | None = None
    ready_s: int | None = None
    is_timed: bool = True


def read_step(node: yaml.Node, way: str, complaints: Complaints) -> WrittenStep:
    """Everything one step says. `way` leads to its dish; the step's own name is added to it."""
    section = Section(node, STEP_KEYS, f"{way}.{_named(node)}", complaints, _OTHER_WORDS)
    name = section.name("step", clause("wrong.name.step")) or "unnamed"
    hands_s, takes = _times(section)
    longest = DurationRange(low_s=LONGEST_STEP_S, high_s=LONGEST_STEP_S)
    during = _during(section)
    until = section.value("until", _reading)
    return WrittenStep(
        section=section,
        name=name,
        also=read_also(section),
        hands_s=hands_s,
        takes=takes or longest,
        is_timed=takes is not None,
        until=until,
        is_for_table=until is not None and _AT_TABLE.search(section.text("until") or "") is not None,
        piece=_piece(section),
        uses=tuple(
            use
            for key in ("in", "on")
            for text in counted(section.texts(key))
            if (use := parse_use(text, complaints))
        ),
        after=section.texts("after") if section.has("after") else None,
        during=during,
        at_s=section.value("at", _some_time),
        every_s=section.value("every", _some_time),
        keeps_s=_keeps(section),
        raw=section.text("raw"),
        look_for=section.text("look for", most=200),
        ready_s=_ready(section, hands_s),
    )


def read_also(section: Section) -> tuple[str, ...]:
    """The other names under `also`, those that can be spoken."""
    return tuple(
        name.text for name in section.texts("also") if is_speakable(name.text, name.spot, section.complaints)
    )


def _named(node: yaml.Node) -> str:
    """The step's name for the way to it, before anything is complained of."""
    for key, value in node.value:
        if isinstance(value, yaml.ScalarNode) and value.value and key.value == "step":
            return " ".join(str(value.value).split())
    return clause("wrong.step.line", line=f"{node.start_mark.line + 1}")


def _times(section: Section) -> tuple[int, DurationRange | None]:
    """Hands and takes; no takes where it can't be known, so that nothing else is complained of for it."""
    hands_s = section.value("hands", _hands)
    takes = section.value("takes", _takes)
    if not section.has("hands") and not section.has("takes"):
        section.complaints.problem(section.spot("takes"), clause("wrong.time"), clause("wrong.time.hint"))
    if section.has("until") and not section.has("takes"):
        hint = clause("wrong.estimate.hint")
        section.complaints.problem(section.spot("takes"), clause("wrong.estimate"), hint)
    if takes is None and hands_s is not None and not section.has("takes") and not section.has("until"):
        takes = DurationRange(low_s=hands_s, high_s=hands_s)
    return hands_s or 0, takes


def _during(section: Section) -> Written | None:
    complaints = section.complaints
    hosts = section.texts("during")
    for key in ("at", "every"):
        if section.has(key) and not section.has("during"):
            hint = clause("wrong.during.need.hint")
            complaints.problem(section.key_spot(key), clause("wrong.during.need", key=key), hint)
    if not section.has("during"):
        return None
    if len(hosts) > 1:
        hint = clause("wrong.during.one.hint")
        complaints.problem(section.spot("during"), clause("wrong.during.one"), hint)
    if section.has("at") == section.has("every"):
        spot = section.key_spot("every" if section.has("every") else "during")
        complaints.problem(spot, clause("wrong.at.every"), clause("wrong.at.every.hint"))
    for key in ("after", "keeps"):
        if section.has(key):
            hint = clause("wrong.beside.during.hint")
            complaints.problem(section.key_spot(key), clause("wrong.beside.during", key=key), hint)
    return hosts[0] if hosts else None


def _piece(section: Section) -> Piece:
    """What is said of the piece; it helps a forecast, so it belongs to a step that ends by a reading."""
    for key in ("weight", "thickness", "shape"):
        if section.has(key) and not section.has("until"):
            hint = clause("wrong.no.until.hint")
            section.complaints.problem(section.key_spot(key), clause("wrong.no.until", key=key), hint)
    return Piece(
        weight_kg=section.value("weight", parse_weight),
        thickness_m=section.value("thickness", parse_thickness),
        shape=section.value("shape", parse_shape),
    )


def _keeps(section: Section) -> int | None:
    text = section.text("keeps") if section.has("keeps") else None
    if text is None:
        return GRACE_S
    if folded(text) == "all day":
        return None
    kept = section.value("keeps", _keeping)
    return GRACE_S if kept is None else kept


def _ready(section: Section, hands_s: int) -> int | None:
    if section.has("ready") and not hands_s:
        hint = clause("wrong.ready.hint")
        section.complaints.problem(section.key_spot("ready"), clause("wrong.ready"), hint)
        return None
    return section.value("ready", _warning)


def _warning(text: str) -> int:
    if folded(text) == "none":
        return 0
    seconds = parse_duration(text)
    if not LEAST_READY_S <= seconds <= MOST_READY_S:
        raise QuantityError(clause("wrong.ready.span"), clause("wrong.ready.span.hint"))
    return seconds


def _keeping(text: str) -> int:
    if parse_range(text).is_guess:
        raise QuantityError(clause("wrong.keeps.range"), clause("wrong.keeps.range.hint"))
    return parse_range(text).high_s


def _hands(text: str) -> int:
    if parse_range(text).is_guess:
        raise QuantityError(clause("wrong.hands.range"), clause("wrong.hands.range.hint"))
    return _bounded(parse_range(text), least_s=0).high_s


def _some_time(text: str) -> int:
    return _bounded(DurationRange(low_s=(seconds := parse_duration(text)), high_s=seconds)).high_s


def _takes(text: str) -> DurationRange:
    return _bounded(parse_range(text), least_s=0)


def _bounded(span: DurationRange, least_s: int = 1) -> DurationRange:
    """Within what a plan may say; a step may take no time at all, as a mark that others wait for."""
    if span.low_s < least_s:
        raise QuantityError(clause("wrong.zero"), clause("wrong.zero.hint"))
    if span.high_s > LONGEST_STEP_S:
        limit = clause("wrong.too.long", time=written_duration(LONGEST_STEP_S))
        raise QuantityError(limit, clause("wrong.too.long.hint"))
    return span


def _reading(text: str) -> Temperature:
    try:
        return parse_temperature(_INSIDE.sub("", _AT_TABLE.sub("", text)))
    except QuantityError as error:
        if any(letter.isdecimal() for letter in text):
            raise
        raise QuantityError(error.problem, clause("wrong.until.look")) from None


def step_spot(step: WrittenStep) -> Spot:
    """Where a complaint about the step as a whole points: its name."""
    return step.section.spot("step") if step.section.has("step") else step.section.spot()
