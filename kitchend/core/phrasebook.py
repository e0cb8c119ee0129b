"""What can be said to kitchend, in English: every form of every command, once.

Grammars, candidates and the parser are all made from this table. A line is one pattern, perhaps with its
weight among the lines of its rule ("3: heard"); slots name lexicons that `phrases` fills. A gate says what
must be so for a rule to make sense. Lines earlier in the table win when a text fits several.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum

from kitchend.core.commands import (
    AskNext,
    AskOn,
    AskOnTime,
    AskPass,
    AskTimeLeft,
    CarryOn,
    Command,
    Drop,
    GiveTime,
    HeardIt,
    Hold,
    MovePassBy,
    MovePassTo,
    No,
    Pick,
    Quiet,
    ReadingSaid,
    RemindIn,
    Said,
    SayAgain,
    StartDinner,
    StepSaid,
    TimeNew,
    Undo,
    Yes,
)
from kitchend.core.grammar import Node, Slots, pattern


class Gate(Enum):
    """What must be so for a rule to make sense. What a slot needs is seen from its lexicon being empty."""

    DINNER = "a dinner is on"
    NO_DINNER = "no dinner is on"
    CALLED = "a call waits to be heard"
    OPEN_STEP = "a step is called, on or up"
    RUNNING = "something is on or a timer runs"
    HELD = "something is held"
    ASKED = "a question waits for its answer"
    CHOICES = "the question has a list of answers"
    TALKING = "kitchend has something to say"
    PAST = "something can be taken back"
    ALWAYS = "always"


@dataclass(frozen=True, slots=True, kw_only=True)
class Phrase:
    """One form of one command. `rule` groups the forms of a command; `weight` is among the forms of its rule."""

    rule: str
    node: Node
    make: Callable[[Slots], Command]
    gate: Gate
    weight: float = 1.0


def _forms(rule: str, gate: Gate, make: Callable[[Slots], Command], lines: str) -> Iterator[Phrase]:
    for line in filter(None, map(str.strip, lines.splitlines())):
        weight, colon, text = line.partition(": ")
        node = pattern(text if colon else line)
        yield Phrase(rule=rule, node=node, make=make, gate=gate, weight=float(weight) if colon else 1.0)


def _step(how: Said) -> Callable[[Slots], Command]:
    return lambda slots: StepSaid(name=slots.get("name"), how=how)


def _degrees(slots: Slots) -> Command:
    factor, shift = slots.get("scale", (1.0, 0.0))
    degrees = (slots["degrees"] + slots.get("fraction", 0.0)) * factor + shift
    return ReadingSaid(name=slots.get("name"), degrees=round(degrees, 1))


def _give(sign: int) -> Callable[[Slots], Command]:
    return lambda slots: GiveTime(name=slots.get("name"), seconds=sign * slots["seconds"])


def _move(sign: int) -> Callable[[Slots], Command]:
    return lambda slots: MovePassBy(seconds=sign * slots["seconds"])


def _chosen(slots: Slots) -> Command:
    chosen: int | str = slots["chosen"]
    return Pick(place=chosen) if isinstance(chosen, int) else StepSaid(name=chosen)


PHRASES: tuple[Phrase, ...] = (
    *_forms("choice", Gate.CHOICES, _chosen, """
        8: {chosen=choice}
        [the] {chosen=ordinal} one
        0.3: [the] {chosen=ordinal}
        0.3: (number|option) {chosen=number}
        0.3: {chosen=number}
    """),
    *_forms("yes", Gate.ASKED, lambda slots: Yes(), """
        4: yes
        2: yes please
        yes do
        yeah
        yep
        correct
        that's right
        that is right
        do it
        go ahead
        sure
        0.3: okay
    """),
    *_forms("no", Gate.ASKED, lambda slots: No(), """
        4: no
        2: no thanks
        no thank you
        no don't
        don't
        nope
        never mind
        leave it
        that's wrong
        wrong
    """),
    *_forms("step", Gate.DINNER, _step(Said.NAME), """
        2: {name=action}
        [the] {name=thing}
    """),
    *_forms("heard", Gate.CALLED, lambda slots: HeardIt(), """
        5: heard
        2: heard that
        heard you
        i heard
        got it
        got that
        understood
        on it
        will do
        i'm on it
        on my way
    """),
    *_forms("finish", Gate.DINNER, _step(Said.DONE), """
        3: {name=action} [is] done
        4: {name=done}
        2: [i've|we've|i have|we have] {name=past}
        (finished|done) {name=doing}
        0.5: {name=doing} is (done|finished)
        4: [the] {name=ended_is} (done|ready)
        [the] {name=ended_is} (finished|out|off|cooked|all done)
        2: [the] {name=ended} (done|ready)
        0.5: [the] {name=ended} (finished|out|off)
        0.5: (finished|done with|finished with|that's) [the] {name=ended}
        0.3: that's [the] {name=ended} done
    """),
    *_forms("finish it", Gate.OPEN_STEP, _step(Said.DONE), """
        3: done
        2: that's done
        it's done
        they're done
        it's ready
        they're ready
        all done
        finished
        that's it done
        0.5: (it is|they are|that is) (done|ready|finished)
        0.5: (it's|they're|that's) (finished|out|off)
        0.5: i've done (it|that)
    """),
    *_forms("start", Gate.DINNER, _step(Said.ON), """
        5: [the] {name=begun_is} (on|in)
        2: [the] {name=begun} (on|in)
        [the] {name=begun_is} (on now|in now|going|cooking|started)
        0.5: [the] {name=begun_is} (in|on) [the] {place=equipment}
        0.5: [the] {name=begun} (in|on) [the] {place=equipment}
        0.5: [the] {name=begun_has} gone (in|on)
        [i'm] {name=doing} [now]
        0.5: (started|starting) {name=doing}
        0.5: (started|starting) [the] {name=begun}
    """),
    *_forms("start it", Gate.OPEN_STEP, _step(Said.ON), """
        2: it's on
        2: it's in
        they're on
        they're in
        that's on
        that's in
        it's going
        0.5: started
        0.5: i've started [it|that]
        0.5: (it is|they are|that is) (on|in)
        0.3: (it's|they're) (in|on) now
    """),
    *_forms("time left", Gate.ALWAYS, lambda slots: AskTimeLeft(name=slots.get("name")), """
        6: how long [is left] (on|for) [the] {name=known}
        2: how much longer (on|for) [the] {name=known}
        how much time [is left] (on|for) [the] {name=known}
        2: how long (until|till) [the] {name=known_is} (ready|done)
        how long {name=does_known} (need|have)
        how long {name=has_known} got [left]
        when {name=is_known} (ready|done)
        how {name=is_known} doing
        0.5: time [left] on [the] {name=known}
        0.5: [the] {name=known} how long
    """),
    *_forms("time left on it", Gate.RUNNING, lambda slots: AskTimeLeft(name=None), """
        3: how long is left
        2: how much longer
        how long
        how long to go
        how much time is left
        how long has it got
        how long left
        0.5: how long (on|for) (it|that|this)
    """),
    *_forms("next", Gate.DINNER, lambda slots: AskNext(), """
        5: what's next
        what is next
        what now
        what comes next
        what do i do next
        what do i do now
        what's after (that|this)
        what should i do [now|next]
    """),
    *_forms("what is on", Gate.ALWAYS, lambda slots: AskOn(), """
        5: what's on
        what is on
        what's on now
        what's cooking
        what's running
        what have we got on
        what have i got on
        (what|which) timers are (on|running)
        what is (running|cooking)
    """),
    *_forms("pass", Gate.DINNER, lambda slots: AskPass(), """
        5: when do we eat
        when are we eating
        when do we serve
        when's dinner
        when is dinner [ready]
        when is the pass
        what time (do we eat|do we serve|is dinner|is the pass)
        how long (until|till) (dinner|we eat|we serve|the pass)
    """),
    *_forms("on time", Gate.DINNER, lambda slots: AskOnTime(), """
        5: are we on time
        are we (late|running late|behind)
        are we (on schedule|on track)
        are we still on time
        will we be (on time|late)
        how are we doing [for time]
        are we going to make it
    """),
    *_forms("say again", Gate.ALWAYS, lambda slots: SayAgain(), """
        5: say again
        2: say that again
        repeat that
        repeat
        come again
        what did you say
        what was that
        pardon
        once more
        again please
    """),
    *_forms("give", Gate.RUNNING, _give(+1), """
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
    *_forms("take", Gate.RUNNING, _give(-1), """
        5: take {seconds=minutes} off [the] {name=on}
        take {seconds=minutes} off
        {seconds=minutes} less (on|for) [the] {name=on}
        {seconds=count} fewer minutes (on|for) [the] {name=on}
        0.5: take {seconds=minutes} (from|away from) [the] {name=on}
        0.5: knock {seconds=minutes} off [the] {name=on}
        0.3: {seconds=minutes} less
        0.3: give [the] {name=on} {seconds=minutes} less
    """),
    *_forms("hold", Gate.RUNNING, lambda slots: Hold(name=slots.get("name")), """
        5: hold [the] {name=holdable}
        pause [the] {name=holdable}
        hold the time on [the] {name=holdable}
        stop the (clock|time|timer) (on|for) [the] {name=holdable}
        put [the] {name=holdable} on hold
        0.5: hold (that|it)
        0.5: pause (that|it)
        0.5: stop the (clock|time)
    """),
    *_forms("carry on", Gate.HELD, lambda slots: CarryOn(name=slots.get("name")), """
        5: carry on with [the] {name=held}
        4: carry on
        go on with [the] {name=held}
        continue [with] [the] {name=held}
        resume [the] {name=held}
        start [the] {name=held} again
        [the] {name=held_is} (back on|on again)
        continue
        keep going
        0.5: go on
    """),
    *_forms("drop", Gate.ALWAYS, lambda slots: Drop(name=slots.get("name")), """
        5: drop [the] {name=droppable}
        skip [the] {name=droppable}
        leave out [the] {name=droppable}
        leave [the] {name=droppable} out
        forget [about] [the] {name=droppable}
        cancel [the] {name=droppable} [timer]
        we're not (doing|making) [the] {name=droppable}
    """),
    *_forms("drop it", Gate.OPEN_STEP, lambda slots: Drop(name=None), """
        2: drop that
        skip that
        drop it
        skip it
        skip this one
        leave it out
        leave that out
    """),
    *_forms("reading", Gate.ALWAYS, _degrees, """
        6: [the] {name=core_is} at {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        {name=core} (reads|reading) {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        3: [the] {name=core} {degrees=core_degrees} [{fraction}] degrees [{scale}]
        [the] {name=core_is} {degrees=core_degrees} [{fraction}] degrees [{scale}]
        [the] {name=core_is} (up to|reading|now|now at) {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        {degrees=core_degrees} [{fraction}] degrees [{scale}] (in|inside) [the] {name=core}
        [the] {name=core} (says|shows|has reached) {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        0.3: [the] {name=core} temperature is {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        0.5: the probe (reads|says|is at) {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        0.5: it's at {degrees=core_degrees} [{fraction}] [degrees] [{scale}]
        0.3: {degrees=core_degrees} [{fraction}] degrees [{scale}] [inside]
    """),
    *_forms("oven reading", Gate.ALWAYS, _degrees, """
        5: [the] {name=heated} (reads|reading) {degrees=heated_degrees} [degrees] [{scale}]
        4: [the] {name=heated_is} at {degrees=heated_degrees} [degrees] [{scale}]
        [the] {name=heated_is} {degrees=heated_degrees} degrees [{scale}]
        [the] {name=heated} {degrees=heated_degrees} degrees [{scale}]
        [the] {name=heated} (says|shows|has reached) {degrees=heated_degrees} [degrees] [{scale}]
        [the] {name=heated_is} (up to|reading|down to|now at) {degrees=heated_degrees} [degrees] [{scale}]
        0.5: {degrees=heated_degrees} degrees [{scale}] in [the] {name=heated}
    """),
    *_forms("cook", Gate.NO_DINNER, lambda slots: StartDinner(plan=slots["plan"], serve=slots.get("time")), """
        6: cook [the] {plan=menu} for {time=clock}
        3: cook [the] {plan=menu}
        start [the] {plan=menu} [for {time=clock}]
        let's (cook|do|make|start) [the] {plan=menu} [for {time=clock}]
        we're (cooking|having|doing) [the] {plan=menu} [(for|at) {time=clock}]
        [the] {plan=menu} (for|at) {time=clock}
        0.5: (cook|serve) [the] {plan=menu} at {time=clock}
        0.5: (make|do) [the] {plan=menu} [for {time=clock}]
    """),
    *_forms("later", Gate.DINNER, _move(+1), """
        5: serve {seconds=minutes} later
        2: (we'll eat|eat|dinner) {seconds=minutes} later
        make (it|dinner) {seconds=minutes} later
        (push|move|put) (dinner|it|the pass) back [by] {seconds=minutes}
        delay (dinner|it|the pass) [by] {seconds=minutes}
        move (dinner|the pass) {seconds=minutes} later
        0.5: {seconds=minutes} later
    """),
    *_forms("earlier", Gate.DINNER, _move(-1), """
        5: serve {seconds=minutes} earlier
        2: (we'll eat|eat|dinner) {seconds=minutes} earlier
        make (it|dinner) {seconds=minutes} earlier
        (bring|move) (dinner|it|the pass) forward [by] {seconds=minutes}
        move (dinner|the pass) {seconds=minutes} earlier
        0.5: {seconds=minutes} earlier
    """),
    *_forms("pass at", Gate.DINNER, lambda slots: MovePassTo(time=slots["time"]), """
        6: serve at {time=clock}
        (we'll eat|let's eat|we eat|eat|dinner) at {time=clock}
        (dinner is|the pass is) at {time=clock}
        (move|set|put) (dinner|the pass) (to|at) {time=clock}
        we'll serve at {time=clock}
        0.5: serve (it|dinner) at {time=clock}
        0.5: make it {time=clock}
    """),
    *_forms("undo", Gate.PAST, lambda slots: Undo(), """
        5: undo that
        undo
        take that back
        take it back
        scratch that
        cancel that
        that was wrong
        i didn't mean that
        0.5: go back
    """),
    *_forms("quiet", Gate.TALKING, lambda slots: Quiet(), """
        4: quiet
        2: be quiet
        quiet please
        stop talking
        that's enough
        enough
        silence
        0.5: hush
        0.5: shut up
    """),
    *(phrase for name in ("new", "any") for phrase in (
        *_forms("time", Gate.ALWAYS, lambda slots: TimeNew(name=slots["name"], seconds=slots["seconds"]), f"""
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
    *_forms("bare timer", Gate.ALWAYS, lambda slots: TimeNew(name="timer", seconds=slots["seconds"]), """
        set a timer for {seconds=minutes}
        (set|start) a {seconds=spans} timer
        start a timer for {seconds=minutes}
        time {seconds=minutes}
    """),
    *(phrase for what in ("chore", "any") for phrase in (
        *_forms("remind", Gate.ALWAYS, lambda slots: RemindIn(seconds=slots["seconds"], what=slots["what"]), f"""
            5: remind me in {{seconds=minutes}} to {{what={what}}}
            3: remind me to {{what={what}}} in {{seconds=minutes}}
            in {{seconds=minutes}} remind me to {{what={what}}}
            tell me in {{seconds=minutes}} to {{what={what}}}
            tell me to {{what={what}}} in {{seconds=minutes}}
            call me in {{seconds=minutes}} to {{what={what}}}
        """),
    )),
)  # fmt: skip
"""The whole book. Texts for typed lines alone stand after those that can be heard."""
