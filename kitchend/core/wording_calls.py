"""How calls are said: several in one sentence, ahead of time, late. Facts in, one short text out.

The words are in the tables of `wording`; what is up comes first, then what is to be done, in its order.
"""

from __future__ import annotations

from collections.abc import Sequence

from kitchend.core.plan import Step
from kitchend.core.timers import Timer
from kitchend.core.tongue import tongue
from kitchend.core.wording import (
    clause,
    now_head,
    said_be,
    said_by_among,
    said_duration,
    said_list,
    said_range,
    said_step,
    said_thing,
    said_until,
    say,
)


def now_clause(step: Step, cook: str = "", *, hot: str | None = None, late_s: float = 0.0) -> str:
    """A step that is due, beside others: "steam the greens, four minutes"; with `late_s`, since when."""
    who = said_by_among(cook, said_step(step))
    if late_s:
        return clause("now.clause.late", step=who, time=said_duration(late_s))
    head = now_head(step, who) if hot is None else clause("now.clause.hot", oven=hot, step=who)
    if step.until is not None:
        head += said_until(step, step.until)
    elif step.takes.high_s < 60:
        return head
    return head + clause("for.clause", time=said_range(step.takes))


def up_clause(step: Step, *, late_s: float = 0.0) -> str:
    """What is up, beside others: "the rice", "the rice four minutes ago"."""
    return _since(said_thing(step), late_s)


def _since(what: str, late_s: float) -> str:
    if not late_s:
        return what
    return clause("up.clause.late", thing=what, time=said_duration(late_s))


def timer_clause(timer: Timer, *, late_s: float = 0.0) -> str:
    """A cook's own timer beside others, or what its reminder is of; one that is late is said by itself."""
    if timer.remind is not None:
        return "" if late_s else timer.remind
    return _since(clause("up.clause", thing=timer.name), late_s)


def seen_of(thing: str, step: Step) -> str:
    """The question what shows that this one of several is done; empty where the plan does not say."""
    return say("seen.of", thing=thing, sign=step.look_for) if step.look_for else ""


def things(up: Sequence[str], acts: Sequence[str]) -> str:
    """Several things at once: "Up: the rice and the eggs. Then turn the bread."; acts alone are counted."""
    then = clause("then").join(acts)
    up = tuple(dict.fromkeys(up))
    if not up:
        return say("things", count=tongue().speech.tally(len(acts)), list=then)
    return " ".join(
        [say("things.up", list=said_list(up)), *([say("things.then", list=then)] if acts else [])]
    )


def missed(up: Sequence[str], acts: Sequence[str]) -> str:
    """Every call that waits for an answer, in one breath."""
    if up:
        up = tuple(dict.fromkeys(up))
        still = say("things.still", list=said_list(up))
        return " ".join([still, *([say("things.then", list=clause("then").join(acts))] if acts else [])])
    if len(acts) == 1:
        return say("one.missed", step=acts[0])
    return things((), acts) if acts else say("missed.nothing")


def soon_call(step: Step, cook: str, *, in_s: float, out: str | None = None) -> str:
    """The warning that a step is due soon; `out` is what has to leave its place by then."""
    what, time = said_step(step), said_duration(in_s)
    if out is None:
        return say("soon.of" if cook else "soon", cook=cook, step=what, time=time)
    key = "soon.place.of" if cook else "soon.place"
    return say(key, cook=cook, step=what, time=time, thing=out, be=said_be(out))


def soon_clause(step: Step, cook: str, *, in_s: float) -> str:
    """The same beside other warnings."""
    return clause("soon.clause", step=said_by_among(cook, said_step(step)), time=said_duration(in_s))


def soon_things(clauses: Sequence[str]) -> str:
    """Several warnings in one sentence."""
    return say("soon.things", list=said_list(clauses))


def quiet_for(seconds: float) -> str:
    """That kitchend keeps quiet, and for how long."""
    return say("quiet.for", time=said_duration(seconds))
