"""What a cook says with a number in it, in English: time given, readings, the pass, timers, reminders.

A line is one pattern, perhaps with its weight among the lines of its rule; slots name lexicons. Forms with
words of any kind ("any", for typed lines) come after those that can be heard.
"""

from __future__ import annotations

from kitchend.core.commands import (
    AwaySaid,
    Command,
    GiveTime,
    MovePassBy,
    MovePassTo,
    NumberSaid,
    ReadingSaid,
    RemindIn,
    StartDinner,
    TimeNew,
)
from kitchend.core.forms import Gate, Maker, Phrase
from kitchend.core.grammar import Slots
from kitchend.core.languages.en.forming import forms
from kitchend.core.languages.en.things import TIMER


def _degrees(slots: Slots) -> Command:
    factor, shift = slots.get("scale", (1.0, 0.0))
    degrees = (slots["degrees"] + slots.get("fraction", 0.0)) * factor + shift
    return ReadingSaid(name=slots.get("name"), degrees=round(degrees, 1))


def _give(sign: int) -> Maker:
    return lambda slots: GiveTime(name=slots.get("name"), seconds=sign * slots["seconds"])


def _move(slots: Slots) -> Command:
    return MovePassBy(seconds=slots["way"] * slots["seconds"])


def _dinner(slots: Slots) -> Command:
    return StartDinner(plan=slots["plan"], serve=slots.get("time"))


def _timer(slots: Slots) -> Command:
    return TimeNew(name=slots.get("name", TIMER), seconds=slots["seconds"])


def _reminder(slots: Slots) -> Command:
    return RemindIn(seconds=slots["seconds"], what=slots["what"])


TIMES: tuple[Phrase, ...] = (
    *forms("give", Gate.RUNNING, _give(+1), """
        6: {seconds=count} more minutes [(on|for) [the] {name=on}]
        3: another {seconds=another} [(on|for) [the] {name=on}]
        2: (give (it|[the] {name=on})|[the] {name=on_needs}) \
            ({seconds=count} more minutes|another {seconds=another}|{seconds=more}|{seconds=minutes} more)
        1: {seconds=minutes} more [(on|for) [the] {name=on}]
        1: {seconds=more} [(on|for) [the] {name=on}]
        0.5: add {seconds=minutes} [to [the] {name=on}]
        0.5: (give them|it needs|they need) \
            ({seconds=count} more minutes|another {seconds=another}|{seconds=more})
        0.5: (gimme|give me|i need) ({seconds=count} more minutes|another {seconds=another}|{seconds=more}) \
            [(on|for) [the] {name=on}]
        0.3: (can|let) [the] {name=on} have ({seconds=count} more minutes|another {seconds=another})
        0.3: put (another {seconds=another}|{seconds=count} more minutes) on [the] {name=on}
        0.2: (another {seconds=count}|{seconds=count} more) (on|for) [the] {name=on}
        0.2: (gimme|give (me|it|them)) (another {seconds=count}|{seconds=count} more) \
            [(on|for) [the] {name=on}]
        0.2: (it needs|they need) (another {seconds=count}|{seconds=count} more)
        0.2: leave (it|them|[the] {name=on}) [in|on] another {seconds=another}
        0.2: give [the] {name=on} {seconds=minutes}
    """),
    *forms("take", Gate.RUNNING, _give(-1), """
        5: (take|knock) {seconds=minutes} off [it|[the] {name=on}]
        0.5: knock off {seconds=minutes}
        0.5: cut {seconds=minutes} off [the] {name=on}
        0.3: take {seconds=count} off [the] {name=on}
        0.3: give [the] {name=on} {seconds=minutes} less
        1: {seconds=minutes} (less [(on|for) [the] {name=on}]|off [the] {name=on})
        0.5: {seconds=count} (fewer|less) minutes (on|for) [the] {name=on}
    """),
    *forms("reading", Gate.ALWAYS, _degrees, """
        6: [the] {name=core_is} (at|up to|reading|now at|) \
            {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        4: ([the] {name=core} (reads|reading|says|shows|has reached|temperature is|at|)|\
(the probe|the thermometer|it) (reads|says)|it's (at|up to|reading)) \
            {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        1: {degrees=core_degrees} [{fraction}] degrees [{scale}] [(in|inside) [[the] {name=core}]]
        0.3: it's {degrees=core_degrees} [{fraction}] degrees [{scale}]
        0.3: {degrees=core_degrees} [{fraction}] (in|inside) [the] {name=core}
    """),
    *forms("oven reading", Gate.ALWAYS, _degrees, """
        5: [the] {name=heated} (reads|reading|says|shows|has reached|at|) \
            {degrees=heated_degrees} [degrees] [{scale}]
        4: [the] {name=heated_is} (at|up to|down to|reading|now at|) \
            {degrees=heated_degrees} [degrees] [{scale}]
        0.3: {degrees=heated_degrees} [degrees] [{scale}] in [the] {name=heated}
    """),
    *forms("cook", Gate.NO_DINNER, _dinner, """
        7: cook [the] {plan=menu} [(for|at) {time=clock}]
        3: (start|make|do|serve|let's (cook|do|make|start)|we're (cooking|having|doing)) \
            [the] {plan=menu} [(for|at) {time=clock}]
        1: [the] {plan=menu} (for|at) {time=clock}
        0.5: (begin|open|let's have) [the] {plan=menu} [(for|at) {time=clock}]
    """),
    *forms("shift", Gate.DINNER, _move, """
        5: (serve|eat|we'll eat|dinner|make it|make dinner|move dinner|move the pass) {seconds=minutes} {way}
        2: {way=shift} [by] {seconds=minutes}
        0.5: {seconds=minutes} {way}
    """),
    *forms("pass at", Gate.DINNER, lambda slots: MovePassTo(time=slots["time"]), """
        6: (serve [it|dinner]|we'll serve|we'll eat|let's (eat|serve)|we eat|we're eating|\
eat|dinner|dinner is|the pass is) at {time=clock}
        1: ((move|set|put|push|change) (dinner|the pass) (to|at)|make it) {time=clock}
    """),
    *forms("away", Gate.UNSURE, lambda slots: AwaySaid(seconds=slots["seconds"]), """
        4: you were (away|off|gone) [for] {seconds=minutes}
        2: about {seconds=minutes}
        3: it was [about] {seconds=minutes}
        1: (away|off|gone) for {seconds=minutes}
    """),
    *(phrase for name in ("new", "any") for phrase in (
        *forms("time", Gate.ALWAYS, _timer, f"""
            5: (time|start timing) [the] {{name={name}}} for {{seconds=minutes}}
            2: (set|start) (a|the) (timer [for [the] {{name={name}}}]|{{name={name}}} timer) \
                (for|to) {{seconds=minutes}}
            1: (set|start) a timer for {{seconds=minutes}} for [the] {{name={name}}}
            1: (set|start) a {{seconds=spans}} timer [for [the] {{name={name}}}]
        """),
    )),
    *forms("time", Gate.ALWAYS, _timer, """
        0.5: [set] {seconds=minutes} for [the] {name=new}
        0.5: (gimme|give me) {seconds=minutes} for [the] {name=new}
        0.3: (gimme|give me) a {seconds=spans} timer [for [the] {name=new}]
        0.3: {seconds=spans} timer [for [the] {name=new}]
        0.3: timer for {seconds=minutes}
        0.3: (remind|tell|call|wake) me in {seconds=minutes}
        0.2: let me know in {seconds=minutes}
        0.3: put a timer on [the] {name=new} for {seconds=minutes}
        0.3: put {seconds=minutes} on the clock [for [the] {name=new}]
    """),
    *forms("number", Gate.NUMBER, lambda slots: NumberSaid(words=slots["words"]), """
        3: {words=amount}
        2: (no|yes) {words=amount_and_unit}
        0.5: (no make it|i said) {words=amount}
    """),
    *(phrase for what in ("chore", "any") for phrase in (
        *forms("remind", Gate.ALWAYS, _reminder, f"""
            5: (remind|tell|call) me in {{seconds=minutes}} to {{what={what}}}
            3: (remind|tell|call) me to {{what={what}}} in {{seconds=minutes}}
            1: in {{seconds=minutes}} (remind|tell|call) me to {{what={what}}}
            0.3: (can|could) you remind me in {{seconds=minutes}} to {{what={what}}}
            0.2: (can|could) you remind me to {{what={what}}} in {{seconds=minutes}}
            0.3: remind us in {{seconds=minutes}} to {{what={what}}}
            0.3: give me a shout in {{seconds=minutes}} to {{what={what}}}
        """),
    )),
)  # fmt: skip
"""Forms with numbers."""
