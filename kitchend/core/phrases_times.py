"""What a cook says with a number in it, in English: time given, readings, the pass, timers, reminders.

A line is one pattern, perhaps with its weight among the lines of its rule; slots name lexicons. Forms with
words of any kind ("any", for typed lines) come after those that can be heard.
"""

from __future__ import annotations

from kitchend.core.commands import (
    Command,
    GiveTime,
    MovePassBy,
    MovePassTo,
    ReadingSaid,
    RemindIn,
    StartDinner,
    TimeNew,
)
from kitchend.core.forms import Gate, Maker, Phrase, forms
from kitchend.core.grammar import Slots


def _degrees(slots: Slots) -> Command:
    factor, shift = slots.get("scale", (1.0, 0.0))
    degrees = (slots["degrees"] + slots.get("fraction", 0.0)) * factor + shift
    return ReadingSaid(name=slots.get("name"), degrees=round(degrees, 1))


def _give(sign: int) -> Maker:
    return lambda slots: GiveTime(name=slots.get("name"), seconds=sign * slots["seconds"])


def _move(sign: int) -> Maker:
    return lambda slots: MovePassBy(seconds=sign * slots["seconds"])


def _dinner(slots: Slots) -> Command:
    return StartDinner(plan=slots["plan"], serve=slots.get("time"))


def _timer(slots: Slots) -> Command:
    return TimeNew(name=slots.get("name", "timer"), seconds=slots["seconds"])


def _reminder(slots: Slots) -> Command:
    return RemindIn(seconds=slots["seconds"], what=slots["what"])


TIMES: tuple[Phrase, ...] = (
    *forms("give", Gate.RUNNING, _give(+1), """
        6: {seconds=count} more minutes (on|for) [the] {name=on}
        1: {seconds=more} [(on|for) [the] {name=on}]
        3: {seconds=count} more minutes
        2: another {seconds=minutes} (on|for) [the] {name=on}
        another {seconds=minutes}
        {seconds=minutes} more (on|for) [the] {name=on}
        give [the] {name=on} {seconds=count} more minutes
        give [the] {name=on} another {seconds=minutes}
        give it {seconds=count} more minutes
        give it another {seconds=minutes}
        add {seconds=minutes} to [the] {name=on}
        [the] {name=on_needs} {seconds=count} more minutes
        0.5: [the] {name=on_needs} another {seconds=minutes}
        0.5: give [the] {name=on} {seconds=minutes} [more]
        0.3: [the] {name=on} {seconds=count} more minutes
        0.3: [add] {seconds=minutes} more
        0.3: add {seconds=count} more minutes to [the] {name=on}
    """),
    *forms("take", Gate.RUNNING, _give(-1), """
        5: take {seconds=minutes} off [the] {name=on}
        take {seconds=minutes} off
        {seconds=minutes} less (on|for) [the] {name=on}
        {seconds=count} fewer minutes (on|for) [the] {name=on}
        0.5: take {seconds=minutes} (from|away from) [the] {name=on}
        0.5: knock {seconds=minutes} off [the] {name=on}
        0.3: {seconds=minutes} less
        0.3: give [the] {name=on} {seconds=minutes} less
        0.5: {seconds=minutes} off [the] {name=on}
    """),
    *forms("reading", Gate.ALWAYS, _degrees, """
        6: [the] {name=core_is} at {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        {name=core} (reads|reading) {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        3: [the] {name=core} {degrees=core_degrees} [{fraction}] degrees [{scale}]
        [the] {name=core_is} {degrees=core_degrees} [{fraction}] degrees [{scale}]
        [the] {name=core_is} (up to|reading|now at) {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        {degrees=core_degrees} [{fraction}] degrees [{scale}] (in|inside) [the] {name=core}
        [the] {name=core} (says|shows|has reached) {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        0.3: [the] {name=core} temperature is {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        0.5: the probe (reads|says|is at) {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        0.5: it's at {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        0.3: {degrees=core_degrees} [{fraction}] degrees [{scale}] [inside]
    """),
    *forms("oven reading", Gate.ALWAYS, _degrees, """
        5: [the] {name=heated} (reads|reading) {degrees=heated_degrees} [degrees] [{scale}]
        4: [the] {name=heated_is} at {degrees=heated_degrees} [degrees] [{scale}]
        [the] {name=heated_is} {degrees=heated_degrees} degrees [{scale}]
        [the] {name=heated} {degrees=heated_degrees} degrees [{scale}]
        [the] {name=heated} (says|shows|has reached) {degrees=heated_degrees} [degrees] [{scale}]
        [the] {name=heated_is} (up to|reading|down to|now at) {degrees=heated_degrees} [degrees] [{scale}]
        0.5: {degrees=heated_degrees} degrees [{scale}] in [the] {name=heated}
    """),
    *forms("cook", Gate.NO_DINNER, _dinner, """
        6: cook [the] {plan=menu} for {time=clock}
        7: cook [the] {plan=menu}
        start [the] {plan=menu} [for {time=clock}]
        let's (cook|do|make|start) [the] {plan=menu} [for {time=clock}]
        we're (cooking|having|doing) [the] {plan=menu} [(for|at) {time=clock}]
        [the] {plan=menu} (for|at) {time=clock}
        0.5: (cook|serve) [the] {plan=menu} at {time=clock}
        0.5: (make|do) [the] {plan=menu} [for {time=clock}]
    """),
    *forms("later", Gate.DINNER, _move(+1), """
        5: serve {seconds=minutes} later
        2: (we'll eat|eat|dinner) {seconds=minutes} later
        make (it|dinner) {seconds=minutes} later
        (push|move|put) (dinner|it|the pass) back [by] {seconds=minutes}
        delay (dinner|it|the pass) [by] {seconds=minutes}
        move (dinner|the pass) {seconds=minutes} later
        0.5: {seconds=minutes} later
    """),
    *forms("earlier", Gate.DINNER, _move(-1), """
        5: serve {seconds=minutes} earlier
        2: (we'll eat|eat|dinner) {seconds=minutes} earlier
        make (it|dinner) {seconds=minutes} earlier
        (bring|move) (dinner|it|the pass) forward [by] {seconds=minutes}
        move (dinner|the pass) {seconds=minutes} earlier
        0.5: {seconds=minutes} earlier
    """),
    *forms("pass at", Gate.DINNER, lambda slots: MovePassTo(time=slots["time"]), """
        6: serve at {time=clock}
        (we'll eat|let's eat|we eat|eat|dinner) at {time=clock}
        (dinner is|the pass is) at {time=clock}
        (move|set|put) (dinner|the pass) (to|at) {time=clock}
        we'll serve at {time=clock}
        0.5: serve (it|dinner) at {time=clock}
        0.5: make it {time=clock}
    """),
    *(phrase for name in ("new", "any") for phrase in (
        *forms("time", Gate.ALWAYS, _timer, f"""
            5: time [the] {{name={name}}} for {{seconds=minutes}}
            2: set a timer for [the] {{name={name}}} for {{seconds=minutes}}
            set a timer for {{seconds=minutes}} for [the] {{name={name}}}
            (set|start) a {{seconds=spans}} timer for [the] {{name={name}}}
            (set|start) a {{name={name}}} timer for {{seconds=minutes}}
            time {{seconds=minutes}} for [the] {{name={name}}}
            0.5: {{seconds=spans}} timer for [the] {{name={name}}}
            0.5: start timing [the] {{name={name}}} for {{seconds=minutes}}
        """),
    )),
    *forms("bare timer", Gate.ALWAYS, _timer, """
        set a timer for {seconds=minutes}
        (set|start) a {seconds=spans} timer
        start a timer for {seconds=minutes}
        time {seconds=minutes}
    """),
    *(phrase for what in ("chore", "any") for phrase in (
        *forms("remind", Gate.ALWAYS, _reminder, f"""
            5: remind me in {{seconds=minutes}} to {{what={what}}}
            3: remind me to {{what={what}}} in {{seconds=minutes}}
            in {{seconds=minutes}} remind me to {{what={what}}}
            tell me in {{seconds=minutes}} to {{what={what}}}
            tell me to {{what={what}}} in {{seconds=minutes}}
            call me in {{seconds=minutes}} to {{what={what}}}
        """),
    )),
)  # fmt: skip
"""Forms with numbers."""
