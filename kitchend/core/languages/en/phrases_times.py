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
    RemindAt,
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


def _reminder_about(slots: Slots) -> Command:
    return RemindIn(seconds=slots["seconds"], what=f"see to the {slots['thing']}")


TIMES: tuple[Phrase, ...] = (
    *forms("give", Gate.RUNNING, _give(+1), """
        6: {seconds=count} more minutes [(on|for) [the] {name=on}]
        3: another {seconds=another} [(on|for) [the] {name=on}]
        2: (give (it|[the] {name=on})|[the] {name=on_needs}) \
            ({seconds=count} more minutes|another {seconds=another}|{seconds=more}|{seconds=minutes} more)
        1: {seconds=minutes} more [(on|for) [the] {name=on}]
        1: {seconds=more} [(on|for) [the] {name=on}]
        0.5: add {seconds=minutes} [to [the] {name=on}]
        0.5: (give (them|that)|it needs|they need) \
            ({seconds=count} more minutes|another {seconds=another}|{seconds=more}|{seconds=minutes} more)
        0.5: (gimme|give me|i need) ({seconds=count} more minutes|another {seconds=another}|{seconds=more}) \
            [(on|for) [the] {name=on}]
        0.15: (can|let) [the] {name=on} (have|rest|go|cook|run) [for] \
            ({seconds=count} more minutes|another {seconds=another}|{seconds=more}|{seconds=minutes} more)
        0.15: (put|add|stick) (another {seconds=another}|{seconds=count} more minutes) \
            (on|to) (it|that|them|[the] {name=on})
        0.2: (another {seconds=count}|{seconds=count} more) (on|for) [the] {name=on}
        0.2: (gimme|give (me|it|them)) (another {seconds=count}|{seconds=count} more) \
            [(on|for) [the] {name=on}]
        0.2: (it needs|they need) (another {seconds=count}|{seconds=count} more)
        0.2: leave (it|them|[the] {name=on}) [in|on] another {seconds=another}
        0.2: give [the] {name=on} {seconds=minutes}
        0.1: [the] {name=on} (wants|want|could do with) \
            ({seconds=count} more minutes|another {seconds=another}|{seconds=more}|{seconds=minutes} more)
        0.1: (give (it|that|them|[the] {name=on})|[the] {name=on_needs}|\
let [the] {name=on} (rest|go|cook|run)) \
            {seconds=minutes} longer
        0.1: {seconds=minutes} (longer|extra) [(on|for) [the] {name=on}]
        0.1: {seconds=count} extra minutes [(on|for) [the] {name=on}]
        0.1: ({seconds=count} more minutes|another {seconds=another}) (on|for) (it|that|them|this)
    """),
    *forms("take", Gate.RUNNING, _give(-1), """
        5: (take|knock) {seconds=minutes} off [it|[the] {name=on}]
        0.5: knock off {seconds=minutes}
        0.5: (cut|shave) {seconds=minutes} off [it|[the] {name=on}]
        0.15: (take|knock|cut|shave|lose) {seconds=minutes} off (that|them|this)
        0.15: (take|knock|cut|shave) {seconds=count} off (it|that|them|[the] {name=on})
        0.15: (give [the] {name=on}|[the] {name=on_needs}) {seconds=minutes} less
        1: {seconds=minutes} (less [(on|for) [the] {name=on}]|off [the] {name=on})
        0.5: {seconds=count} (fewer|less) minutes (on|for) [the] {name=on}
        0.1: (cut|shorten|reduce) [the] {name=on} by {seconds=minutes}
        0.05: (bring|drop) [the] {name=on} down [by] {seconds=minutes}
    """),
    *forms("reading", Gate.ALWAYS, _degrees, """
        6: [the] {name=core_is} (at|up to|reading|now at|) \
            {degrees=core_degrees} [{fraction}] [degrees] [{scale}] [inside|in the middle]
        4: ([the] {name=core} (reads|reading|says|shows|has reached|temperature is|at|)|\
(the probe|the thermometer|it) (reads|says)|it's (at|up to|reading)) \
            {degrees=core_degrees} [{fraction}] [degrees] [{scale}] [inside|in the middle]
        0.7: ([the] {name=core_is} (only|just|showing|sitting at|only at|still at|on)|\
[the] {name=core} (hit|just hit|showing|temp is)|\
(thermometer|probe) (reads|says)|(the probe|the thermometer|it) shows|\
it's (only|now|showing)|(i'm getting|i've got|we're at|we've got|that's)) \
            {degrees=core_degrees} [{fraction}] [degrees] [{scale}] [inside|in the middle]
        1: {degrees=core_degrees} [{fraction}] degrees [{scale}] [(in|inside) [[the] {name=core}]]
        0.3: it's {degrees=core_degrees} [{fraction}] degrees [{scale}]
        0.15: [it's|i'm getting|i've got|(the probe|the thermometer|probe|thermometer) (reads|says)] \
            {degrees=core_degrees} [{fraction}] (in|inside|on|for) [the] {name=core}
        0.2: it's {degrees=core_degrees} [{fraction}] [degrees] [{scale}] (inside|in the middle)
    """),
    *forms("oven reading", Gate.ALWAYS, _degrees, """
        5: [the] {name=heated} (reads|reading|says|shows|has reached|at|) \
            {degrees=heated_degrees} [degrees] [{scale}]
        4: [the] {name=heated_is} (at|up to|down to|reading|now at|) \
            {degrees=heated_degrees} [degrees] [{scale}]
        0.5: ([the] {name=heated_is} \
(showing|sitting at|only at|only|still at|saying|come up to|only reading)|\
[the] {name=heated_has} (reached|hit|come up to|got to)|\
[the] {name=heated} (hit|temp is|temperature is|showing)) \
            {degrees=heated_degrees} [degrees] [{scale}]
        0.3: {degrees=heated_degrees} [degrees] [{scale}] in [the] {name=heated}
    """),
    *forms("cook", Gate.NO_DINNER, _dinner, """
        7: cook [the] {plan=menu} [(for|at) {time=clock}]
        3: (start|make|do|serve|let's (cook|do|make|start)|we're (cooking|having|doing)) \
            [the] {plan=menu} [(for|at) {time=clock}]
        1: [the] {plan=menu} (for|at) {time=clock}
        0.5: (begin|open|let's have) [the] {plan=menu} [(for|at) {time=clock}]
        0.5: (let's get going on|kick off|get going on|i (want to|wanna) cook|we'll (cook|do)|let's get) \
            [the] {plan=menu} [started|going] [(for|at) {time=clock}]
        0.15: [the] {plan=menu} [(for|at) {time=clock}] tonight
        0.15: (get|start) [the] {plan=menu} (going|started) [(for|at) {time=clock}]
        0.15: (i'm|we're|i am|we are) (cooking|making|doing|having) \
            [the] {plan=menu} [tonight] [(for|at) {time=clock}]
        0.1: (start|cook|do) [the] {plan=menu} (tonight|today) [(for|at) {time=clock}]
    """),
    *forms("shift", Gate.DINNER, _move, """
        5: (serve|eat|we'll eat|dinner|make it|make dinner|move dinner|move the pass) {seconds=minutes} {way}
        2: {way=shift} [by] {seconds=minutes}
        0.5: {seconds=minutes} {way}
        0.15: (let's (eat|serve)|we'll serve|we're eating|can we (eat|serve)|\
(supper|lunch|everything)|make (supper|lunch)) \
            {seconds=minutes} {way}
    """),
    *forms("pass at", Gate.DINNER, lambda slots: MovePassTo(time=slots["time"]), """
        6: (serve [it|dinner]|we'll serve|we'll eat|let's (eat|serve)|we eat|we're eating|\
eat|dinner|dinner is|the pass is) at {time=clock} [instead]
        1: ((move|set|put|push|change) (dinner|the pass) (to|at)|make it) {time=clock} [instead]
        0.15: (can we (eat|serve)|could we (eat|serve)|\
(dinner's|supper's|lunch is|supper is|supper|lunch)) at {time=clock} [instead]
        0.15: ((move|shift|push|change|put) (supper|lunch|serving|everything) (to|at)|\
make (dinner|supper|lunch) [for]) {time=clock} [instead]
        0.05: make it {time=clock} for (dinner|supper|lunch)
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
            0.1: time {{seconds=minutes}} for [the] {{name={name}}}
            0.1: (put|stick|pop|chuck) a timer on for [the] {{name={name}}} for {{seconds=minutes}}
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
        0.15: new timer [for] {seconds=minutes}
        0.15: timer {seconds=minutes}
        0.15: (gimme|give me|start|set) a timer for {seconds=minutes}
        0.15: (put|stick|pop|set|chuck) a timer on for {seconds=minutes}
        0.1: [(set|start) a] timer for [the] {name=new} {seconds=minutes}
        0.15: time [me] {seconds=minutes}
        0.1: time [the] {name=new} {seconds=minutes}
    """),
    *forms("number", Gate.NUMBER, lambda slots: NumberSaid(words=slots["words"]), """
        3: {words=amount}
        2: (no|yes) {words=amount_and_unit}
        0.5: (no make it|i said) {words=amount}
        0.15: (it's|just|make it|no it's) {words=amount}
    """),
    *(phrase for what in ("chore", "any") for phrase in (
        *forms("remind", Gate.ALWAYS, _reminder, f"""
            5: (remind|tell|call) me in {{seconds=minutes}} to {{what={what}}}
            3: (remind|tell|call) me to {{what={what}}} in {{seconds=minutes}}
            1: in {{seconds=minutes}} (remind|tell|call) me to {{what={what}}}
            0.3: (can|could) you remind me in {{seconds=minutes}} to {{what={what}}}
            0.2: (can|could) you remind me to {{what={what}}} in {{seconds=minutes}}
            0.3: remind us in {{seconds=minutes}} to {{what={what}}}
            0.15: (give me|give us|gimme) a (shout|nudge|reminder) in {{seconds=minutes}} to {{what={what}}}
            0.1: don't let me forget to {{what={what}}} in {{seconds=minutes}}
        """),
    )),
    *(phrase for what in ("chore", "any") for phrase in (
        *forms("remind", Gate.ALWAYS, lambda slots: RemindAt(time=slots["time"], what=slots["what"]), f"""
            0.5: (remind|tell|call) me at {{time=clock}} to {{what={what}}}
            0.5: (remind|tell|call) me to {{what={what}}} at {{time=clock}}
        """),
    )),
    *forms("remind", Gate.ALWAYS, _reminder_about, """
        0.15: (remind|tell) me about [the] {thing=new} in {seconds=minutes}
        0.1: (give me|give us|gimme) a (shout|nudge|reminder) about [the] {thing=new} in {seconds=minutes}
        0.1: (nudge me about|don't let me forget) [the] {thing=new} in {seconds=minutes}
    """),
)  # fmt: skip
"""Forms with numbers."""
