"""Facts into sentences, in the language that is spoken now.

Takes facts, gives one short sentence that carries the new fact. Nothing here decides what is worth saying,
and no word of any language stands here: templates are in the language's `sentences`, the rest in `speech`.
"""

from __future__ import annotations

from collections.abc import Iterable

from kitchend.core.clock import DAY_S, TimeOfDay, WallTime
from kitchend.core.names import spoken
from kitchend.core.numbers import HOUR_S, words_of
from kitchend.core.plan import Step, Use
from kitchend.core.quantities import DurationRange, Scale, Temperature, in_scale
from kitchend.core.timers import Timer
from kitchend.core.tongue import clause as clause
from kitchend.core.tongue import tongue


def say(key: str, /, **facts: str) -> str:
    """The sentence or sentences for a fact, each as it begins."""
    return tongue().speech.begun(clause(key, **facts))


def capital(text: str) -> str:
    """The text as it begins a sentence."""
    return tongue().speech.capital(text)


def said_step(step: Step) -> str:
    """A step's name as it is spoken: digits as words."""
    return " ".join(
        words_of(int(word)) if word.isdigit() and len(word) < 4 else word for word in step.name.split()
    )


def said_thing(step: Step) -> str:
    """What a step is done to, as it is called once nothing but that is news: "the rice"; else its name."""
    thing = tongue().naming.taken_apart(spoken(step.name)).thing
    return clause("up.clause", thing=thing) if thing else said_step(step)


def said_duration(seconds: float) -> str:
    """ "four minutes", "an hour and twenty minutes", "thirty seconds"; rounded as a cook would say it."""
    count = tongue().speech.count
    whole = max(0, round(seconds))
    if whole < 55:
        return count(whole if whole < 20 else round(whole / 10) * 10, "second")
    minutes = max(1, round(whole / 60))
    if whole >= 2 * YEAR_S:
        return count(min(999, round(whole / YEAR_S)), "year")
    if whole >= 2 * DAY_S:
        return count(round(whole / DAY_S), "day")
    if minutes < 60:
        return count(minutes, "minute")
    return tongue().speech.hours(*divmod(minutes, 60))


def said_range(takes: DurationRange) -> str:
    """A duration, or both ends of a guess: "seventy to eighty five minutes"."""
    if not takes.is_guess:
        return said_duration(takes.high_s)
    if takes.high_s < LONG_S and not (takes.low_s % 60 or takes.high_s % 60):
        return tongue().speech.minutes_span(takes.low_s // 60, takes.high_s // 60)
    if takes.low_s >= LONG_S // 2 and takes.high_s - takes.low_s >= 2 * HALF_S:
        return tongue().speech.half_hours_span(
            *(max(2, round(s / HALF_S)) for s in (takes.low_s, takes.high_s))
        )
    return tongue().speech.span(said_duration(takes.low_s), said_duration(takes.high_s))


def said_left(low_s: float, high_s: float) -> str:
    """What is left of a guess: "ten to fifteen minutes"; from an hour on to five minutes."""
    grain_s = 60 if low_s < HOUR_S else 300
    low, high = (grain_s * round(s / grain_s) for s in (low_s, high_s))
    if low < 60:
        return tongue().speech.at_most(said_duration(high))
    return said_range(DurationRange(low_s=low, high_s=high))


def said_remaining(low_s: float, spread_s: float) -> str:
    """What is left on a timer: both ends while it is a guess, nothing once it has run out."""
    return said_left(low_s, low_s + spread_s) if spread_s > 0 else said_duration(max(0.0, low_s))


YEAR_S = 365.25 * DAY_S

HALF_S = 1800
LONG_S = 6000
"""Guesses shorter than this are said in minutes at both ends: "eighty to ninety five minutes". Longer ones
that leave an hour or more open are said in half hours: "six to seven and a half hours"."""


def said_time(time: TimeOfDay) -> str:
    """A clock time as it is spoken: "half past seven", "seven forty five", "eight o'clock"."""
    return tongue().speech.time(time)


def said_wall(wall: WallTime) -> str:
    """The clock time at a wall time, spoken."""
    return said_time(wall.time_of_day)


def said_day(wall: WallTime, now: WallTime) -> str:
    """The clock time, and the day where a clock of twelve hours would mislead: "six o'clock tomorrow"."""
    days = (wall.local.date() - now.local.date()).days
    if days == 0 or wall - now < DAY_S / 2:
        return said_wall(wall)
    return tongue().speech.on_day(wall, days)


def said_when(wall: WallTime, now: WallTime) -> str:
    """When something comes, seen from now: "now", "in four minutes", "at half past seven"."""
    ahead, when = wall - now, tongue().speech.when
    if ahead < 30:
        return when("", "now")
    return when(said_duration(ahead), "in") if ahead <= 15 * 60 else when(said_day(wall, now), "at")


def said_degrees(degrees: float) -> str:
    """Degrees as spoken, to the nearest whole one."""
    return tongue().speech.degrees(round(degrees))


def said_celsius(celsius: float, scale: Scale) -> str:
    """The same of degrees Celsius, in the scale of a plan."""
    return said_degrees(in_scale(celsius, scale))


def said_more(degrees: float) -> str:
    """So many degrees more, with their unit: beside what is spoken of in minutes."""
    return tongue().speech.count(min(999, max(0, round(degrees))), "degree")


def said_temperature(temperature: Temperature) -> str:
    """A temperature in the scale it was written in, spoken without its scale as cooks do."""
    return said_degrees(temperature.degrees)


def said_list(items: Iterable[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    return tongue().speech.listed(tuple(items))


def said_choices(names: Iterable[str]) -> str:
    """ "rest the chicken, or carve the chicken"."""
    return tongue().speech.choices(tuple(names))


def now_call(step: Step, cook: str = "", *, hot: str | None = None, late_s: float = 0.0) -> str:
    """The call of a step that is due: who, if one of several is meant, what to do, where, for how long.

    `hot` is the oven it goes into, if that has just become hot; with `late_s` it was due so long ago.
    """
    who = said_by(cook, said_step(step))
    head = now_head(step, say("now", step=who)) if hot is None else _now_hot(step, cook, hot)
    if late_s:
        head = now_head(step, say("now.late", step=who, time=said_duration(late_s)))
    if step.until is not None:
        head += said_until(step, step.until)
    elif step.takes.high_s < 60:
        return f"{head}."
    return head + say("for", time=said_range(step.takes)) + "."


def _now_hot(step: Step, cook: str, oven: str) -> str:
    return say("now.hot.of" if cook else "now.hot", cook=cook, oven=oven, step=said_step(step))


def said_until(step: Step, target: Temperature) -> str:
    """The target a step ends at, of the core or of what is served: ", until seventy four inside"."""
    return clause("until.table" if step.is_for_table else "until.inside", target=said_temperature(target))


def seen(step: Step) -> str:
    """The question what shows that it is done; empty where the plan does not say."""
    return say("seen?", sign=step.look_for) if step.look_for else ""


def careful_call(step: Step, *, late_s: float) -> str:
    """The call for what is about to spoil; with how long it has been up, if it is."""
    if not late_s:
        return say("careful", step=said_step(step))
    return say("careful.up", step=said_thing(step), time=said_duration(late_s))


def itself_call(step: Step) -> str:
    """What is said when a step begins that nobody has to do anything for."""
    return say("itself", step=said_step(step), time=said_range(step.takes))


def now_head(step: Step, words: str) -> str:
    """What to do, and in an oven at what heat."""
    ovens = [use for use in step.uses if use.at is not None]
    if step.added or not ovens or ovens[0].at is None:
        return words
    return words + clause("where", oven=ovens[0].equipment, degrees=said_temperature(ovens[0].at))


def now_again(step: Step, cook: str = "") -> str:
    """The shorter form in which a call comes back."""
    return say("now.again", step=said_by(cook, said_step(step))) + "."


def said_by(cook: str, words: str) -> str:
    """The words, with the name of the cook they are for if one of several is meant."""
    return say("called", cook=cook, words=words) if cook else words


def said_by_among(cook: str, words: str) -> str:
    """The same within a longer sentence, which may have a colon of its own before."""
    return clause("called.clause", cook=cook, words=words) if cook else words


def way_call(step: Step, thing: str, use: Use) -> str:
    """What has to be taken out, and from where, before a step that is due can go in."""
    key = "way.place" if use.at is None else "way.heat"
    return say(key, thing=thing, place=use.equipment, step=said_step(step))


def said_be(thing: str) -> str:
    """ "is", or "are" for things like greens."""
    return tongue().speech.be(thing)


def up_call(step: Step, cook: str = "", *, late_s: float = 0.0) -> str:
    """The call of a step whose time has run out; with `late_s` that it did so long ago."""
    asks = f" {seen(step)}" if step.look_for else ""
    if late_s:
        key = "up.late.of" if cook else "up.late"
        return say(key, cook=cook, step=said_thing(step), time=said_duration(late_s)) + asks
    key = "up.of" if cook else "up"
    return say(key, cook=cook, step=said_thing(step)) + asks


def look_call(step: Step, thing: str) -> str:
    """The call to look at a step whose time is a guess."""
    if step.until is not None:
        return say("look.reading", thing=clause("the", thing=thing))
    asks = f" {seen(step)}" if step.look_for else ""
    return say("look", step=said_thing(step)) + asks


def timer_call(timer: Timer, *, late_s: float = 0.0) -> str:
    """The call of a cook's own timer or reminder that has run out; with `late_s` that it did so long ago."""
    if late_s:
        time = said_duration(late_s)
        if timer.remind is not None:
            return say("remind.late", what=timer.remind, time=time)
        return say("timer.late", name=timer.name, time=time)
    if timer.remind is not None:
        return say("remind", what=timer.remind)
    return say("timer.up", name=timer.name)
