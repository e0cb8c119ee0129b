"""Facts into sentences: the only home of spoken words, one table a language.

Takes facts, gives one short sentence that carries the new fact. Nothing here decides what is worth saying.
Templates live in `ENGLISH`; another language is another table and another set of number words.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from kitchend.core.clock import DAY_S, TimeOfDay, WallTime
from kitchend.core.names import spoken
from kitchend.core.numbers import words_of
from kitchend.core.plan import Step, Use
from kitchend.core.quantities import DurationRange, Temperature
from kitchend.core.timers import Timer
from kitchend.core.verbs import is_plural, taken_apart
from kitchend.core.wording_readings import READINGS, UNTIL
from kitchend.core.wording_safety import SAFETY
from kitchend.core.words_of_calls import CALLS

ENGLISH: Mapping[str, str] = {
    **READINGS,
    "now": "{step} now",
    "itself": "{step}: {time} from now.",
    "now.hot": "The {oven} is hot: {step} now",
    "now.again": "{step}",
    "now.least": "{thing}.",
    "careful": "Careful: {step}.",
    "careful.up": "Careful, up {time} ago: {step}.",
    "careful.again": "Careful: {thing}!",
    "way.heat": "Take the {thing} out first. Then: {step}.",
    "way.place": "Take the {thing} from the {place} first. Then: {step}.",
    "called": "{cook}: {words}",
    "up": "Up: {step}.",
    "up.of": "Up, {cook}: {step}.",
    "up.late": "Up {time} ago: {step}.",
    "up.again": "Still up: {step}.",
    "up.least": "Still up: {thing}.",
    "look": "Have a look: {step}.",
    "look.reading": "Check {thing}. What does it read?",
    "look.reading.again": "What does {thing} read?",
    "timer.up": "{name}: time is up.",
    "timer.late": "{name}: time was up {time} ago.",
    "timer.up.again": "Still up: {name}.",
    "remind": "Reminder: {what}.",
    "remind.late": "Reminder from {time} ago: {what}.",
    "wash": "Wash your hands: raw {raw}.",
    "on": "{thing} on.",
    "doing": "{doing}.",
    "on.time": "{thing} on. {time}.",
    "done": "{thing}.",
    "done.already": "{thing} already.",
    "not.yet": "{step} is due {when}.",
    "on.already": "Already on: {thing}. {time}.",
    "up.already": "Up already: {thing}.",
    "held": "{thing} held, {time} to go.",
    "held.still": "Still held: {step}.",
    "carried": "{thing} on again. {time}.",
    "given": "{thing}: {time} to go.",
    "dropped": "{thing} dropped.",
    "drop?": "Drop {step}?",
    "leave?": "Leave out: {step}?",
    "early?": "Not done yet: {blocker}. {step} anyway?",
    "which?": "{choices}?",
    "number?": "{what}?",
    "more?": "{time} more for the {thing}?",
    "off?": "{time} off the {thing}? That is all it has.",
    "pass?": "The pass at {when}?",
    "timer.new": "{name}: {time}.",
    "remind.new": "{time}, then: {what}.",
    "reading": "{thing} at {degrees}.",
    "reading.there": "{degrees}, that is it. Up: {step}.",
    "reading.below": "{degrees}: {rest} to go.",
    "reading.oven": "{thing} at {degrees}; it should be {target}.",
    "pass": "The pass is at {when}.",
    "passes": "The passes are at {when}.",
    "pass.late": "The pass is at {when}, {late} late.",
    "on.time.yes": "On time: {when}.",
    "late": "Dinner will be {late} late: {when}.",
    "late.pass": "The pass of {asked} will be {late} late: {when}.",
    "late.because": "The {thing} {be} late: dinner at {when}, {late} late.",
    "late.sides": "The {thing} {be} late: {sides} put back, dinner at {when}, {late} late.",
    "late.rest": "everything not yet on",
    "early.ask": "The {thing} {be} {time} early and can wait. Serve at {when} instead?",
    "early.must": "The {thing} {be} {time} early, longer than it keeps. Serve at {when}?",
    "early.wait": "The {thing} {be} {time} early: let it wait.",
    "early.warm": "The {thing} {be} {time} early, longer than it keeps: keep it hot, sixty degrees or more.",
    "early.serve": "serve earlier",
    "early.rest": "rest it",
    "back": "Back on time: {when}.",
    "next": "Next: {step}, {when}.",
    "next.nothing": "Nothing more to do.",
    "next.waiting": "Waiting for you: {step}.",
    "whats.on": "{list}.",
    "whats.on.nothing": "Nothing is on.",
    "left": "{thing}: {time}.",
    "left.over": "{thing}: up {time} ago.",
    "left.none": "Not on: {thing}.",
    "left.hands": "With you: {thing}.",
    "left.until": "{thing}: {time}, until {target} inside.",
    "undone": "Undone: {what}.",
    "undo.nothing": "Nothing to undo.",
    "missed.nothing": "You missed nothing.",
    "again.nothing": "I have said nothing yet.",
    "heard": "Good.",
    "no": "All right.",
    "lapsed.nothing": "Nothing was asked.",
    "unclear": "Sorry, I do not know: {text}.",
    "unknown": "I know no {name} here.",
    "no.dinner": "No dinner is on.",
    "dinner.on": "{plan} is on already.",
    "opening": "{plan}: one moment.",
    "started": "{plan}. {passes}",
    "started.first": "{plan}. {passes} First: {step}, {at}.",
    "started.late": "{plan} cannot be ready by {when}; I make it {ready}.",
    "last": "That was the last step. The pass is at {when}.",
    "serve": "The pass, {when}. Everything to the table.",
    "serve.dishes": "The pass, {when}. {dishes} to the table.",
    "served.dishes.late": "{dishes} to the table. {late} late.",
    "everything": "everything for it",
    "served.late": "Everything to the table. {late} late.",
    "resumed": "I am back.",
    "resumed.away": "I am back after {time}.",
    "resumed.unknown": "I am back, and cannot tell how long I was away. Check what is on.",
    "resumed.how.long": "I am back, and cannot tell how long I was away. Check what is on. How long was it?",
    "away.known": "So I was away for {time}.",
    "refused": "{message}",
    "door": "The words are: {words}.",
    "door.shut": "The board is not open to other devices. Set it to the house's network in the settings.",
    "clock": "The clock went {time} {way}.",
    "clock.dinner": "The clock went {time} {way}. The pass stays at {when}; what runs goes on as it was.",
    "clock.past": "The clock went {time} {way}, past the pass at {when}. What runs goes on as it was.",
    "clock.on": "forward",
    "clock.back": "back",
    "journal.lost": "I cannot keep the journal. After a power cut I would not know what is on.",
    "journal.back": "The journal is kept again.",
    "mouth.lost": "I cannot speak. Calls are printed.",
    "mouth.back": "I can speak again.",
    "ears.lost": "I cannot hear you. Type what you would say.",
    "sound.kept": "What you say is kept as sound.",
    "ears.back": "I can hear you again.",
    "journal.damaged": "The journal was damaged; I use what I can read. Check what is on.",
    **SAFETY,
    **CALLS,
}

_BEGINNING = re.compile(r"(?:^|(?<=[.?!] ))[a-z]")


def say(key: str, **facts: str) -> str:
    """The sentence or sentences for a fact, each beginning with a large letter."""
    return _BEGINNING.sub(lambda found: found[0].upper(), clause(key, **facts))


def clause(key: str, **facts: str) -> str:
    """A fact as part of a sentence, its first letter as in the table."""
    return ENGLISH[key].format(**facts)


def capital(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


def said_step(step: Step) -> str:
    """A step's name as it is spoken: digits as words."""
    return " ".join(
        words_of(int(word)) if word.isdigit() and len(word) < 4 else word for word in step.name.split()
    )


def said_thing(step: Step) -> str:
    """What a step is done to, as it is called once nothing but that is news: "the rice"; else its name."""
    thing = taken_apart(spoken(step.name)).thing
    return clause("up.clause", thing=thing) if thing else said_step(step)


def said_duration(seconds: float) -> str:
    """ "four minutes", "an hour and twenty minutes", "thirty seconds"; rounded as a cook would say it."""
    whole = max(0, round(seconds))
    if whole < 55:
        return _count(whole if whole < 20 else round(whole / 10) * 10, "second")
    minutes = max(1, round(whole / 60))
    if whole >= 2 * YEAR_S:
        return _count(min(999, round(whole / YEAR_S)), "year")
    if whole >= 2 * DAY_S:
        return _count(round(whole / DAY_S), "day")
    if minutes < 60:
        return _count(minutes, "minute")
    hours, rest = divmod(minutes, 60)
    if rest == 30:
        return "an hour and a half" if hours == 1 else f"{words_of(hours)} and a half hours"
    head = "an hour" if hours == 1 else _count(hours, "hour")
    return head if rest == 0 else f"{head} and {_count(rest, 'minute')}"


def _count(number: int, unit: str) -> str:
    return f"{words_of(number)} {unit}{'' if number == 1 else 's'}"


def said_range(takes: DurationRange) -> str:
    """A duration, or both ends of a guess: "seventy to eighty five minutes"."""
    if not takes.is_guess:
        return said_duration(takes.high_s)
    low, high = said_duration(takes.low_s), said_duration(takes.high_s)
    if takes.high_s < LONG_S and not (takes.low_s % 60 or takes.high_s % 60):
        low, high = words_of(takes.low_s // 60), _count(takes.high_s // 60, "minute")
    elif takes.low_s >= LONG_S // 2 and takes.high_s - takes.low_s >= 2 * HALF_S:
        low, high = _halves(takes.low_s), f"{_halves(takes.high_s)} hours"
    return f"{low} to {high}"


def _halves(seconds: float) -> str:
    """Hours to the nearest half, without the unit: "one and a half"."""
    hours, half = divmod(max(2, round(seconds / HALF_S)), 2)
    return f"{words_of(hours)} and a half" if half else words_of(hours)


def said_left(low_s: float, high_s: float) -> str:
    """What is left of a guess: "ten to fifteen minutes"."""
    low, high = (DurationRange(low_s=60 * round(s / 60), high_s=60 * round(s / 60)) for s in (low_s, high_s))
    if low.low_s < 60:
        return f"up to {said_duration(high.high_s)}"
    return said_range(DurationRange(low_s=low.low_s, high_s=high.high_s))


YEAR_S = 365.25 * DAY_S

HALF_S = 1800
LONG_S = 6000
"""Guesses shorter than this are said in minutes at both ends: "eighty to ninety five minutes". Longer ones
that leave an hour or more open are said in half hours: "six to seven and a half hours"."""


def said_time(time: TimeOfDay) -> str:
    """A clock time as it is spoken: "half past seven", "seven forty five", "eight o'clock"."""
    hour = words_of((time.hour - 1) % 12 + 1)
    if time.minute == 0:
        return f"{hour} o'clock"
    if time.minute == 30:
        return f"half past {hour}"
    return f"{hour} oh {words_of(time.minute)}" if time.minute < 10 else f"{hour} {words_of(time.minute)}"


def said_wall(wall: WallTime) -> str:
    """The clock time at a wall time, spoken."""
    return said_time(wall.time_of_day)


def said_day(wall: WallTime, now: WallTime) -> str:
    """The clock time, and the day where a clock of twelve hours would mislead: "six o'clock tomorrow"."""
    days = (wall.local.date() - now.local.date()).days
    if days == 0 or wall - now < DAY_S / 2:
        return said_wall(wall)
    return f"{said_wall(wall)} {'tomorrow' if days == 1 else f'on {WEEKDAYS[wall.local.weekday()]}'}"


WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def said_when(wall: WallTime, now: WallTime) -> str:
    """When something comes, seen from now: "now", "in four minutes", "at half past seven"."""
    ahead = wall - now
    if ahead < 30:
        return "now"
    return f"in {said_duration(ahead)}" if ahead <= 15 * 60 else f"at {said_day(wall, now)}"


def said_degrees(degrees: float) -> str:
    """Degrees as spoken, to the nearest whole one."""
    number = round(degrees)
    return f"minus {words_of(-number)}" if number < 0 else words_of(number)


def said_temperature(temperature: Temperature) -> str:
    """A temperature in the scale it was written in, spoken without its unit as cooks do."""
    return said_degrees(temperature.degrees)


def said_list(items: Iterable[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    words = tuple(items)
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def said_choices(names: Iterable[str]) -> str:
    """ "rest the chicken, or carve the chicken"."""
    words = tuple(names)
    return capital(f"{', '.join(words[:-1])}, or {words[-1]}" if len(words) > 1 else "".join(words))


def now_call(step: Step, cook: str = "", *, hot: str | None = None, late_s: float = 0.0) -> str:
    """The call of a step that is due: who, if one of several is meant, what to do, where, for how long.

    `hot` is the oven it goes into, if that has just become hot; with `late_s` it was due so long ago.
    """
    who = said_by(cook, said_step(step))
    head = now_head(step, say("now", step=who)) if hot is None else say("now.hot", oven=hot, step=who)
    if late_s:
        head = now_head(step, say("now.late", step=who, time=said_duration(late_s)))
    if step.until is not None:
        return f"{head}, {said_until(step, step.until)}. {capital(said_range(step.takes))}."
    if step.takes.high_s < 60:
        return f"{head}."
    return f"{head}. {capital(said_range(step.takes))}."


def said_until(step: Step, target: Temperature) -> str:
    """The target a step ends at, of the core or of what is served: "until seventy four inside"."""
    return clause(UNTIL[step.is_for_table], target=said_temperature(target))


def seen(step: Step) -> str:
    """The question what shows that it is done; empty where the plan does not say."""
    return f"{capital(step.look_for)}?" if step.look_for else ""


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
    return f"{words}, {ovens[0].equipment} at {said_temperature(ovens[0].at)}"


def now_again(step: Step, cook: str = "") -> str:
    """The shorter form in which a call comes back."""
    return say("now.again", step=said_by(cook, said_step(step))) + "."


def said_by(cook: str, words: str) -> str:
    """The words, with the name of the cook they are for if one of several is meant."""
    return say("called", cook=cook, words=words) if cook else words


def way_call(step: Step, thing: str, use: Use) -> str:
    """What has to be taken out, and from where, before a step that is due can go in."""
    key = "way.place" if use.at is None else "way.heat"
    return say(key, thing=thing, place=use.equipment, step=said_step(step))


def said_be(thing: str) -> str:
    """ "is", or "are" for things like greens."""
    return "are" if is_plural(thing) else "is"


def up_call(step: Step, cook: str = "", *, late_s: float = 0.0) -> str:
    """The call of a step whose time has run out; with `late_s` that it did so long ago."""
    asks = f" {seen(step)}" if step.look_for else ""
    if late_s:
        late = say("up.late", step=said_thing(step), time=said_duration(late_s))
        return said_by(cook, late) + asks
    key = "up.of" if cook else "up"
    return say(key, cook=cook, step=said_thing(step)) + asks


def look_call(step: Step, thing: str) -> str:
    """The call to look at a step whose time is a guess."""
    if step.until is not None:
        return say("look.reading", thing=f"the {thing}")
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
