"""How a cook moves steps and answers, in English: named, on, done, heard, held, dropped, yes, no, undone.

A line is one pattern, perhaps with its weight among the lines of its rule ("3: heard"); slots name lexicons.
Earlier lines win when a text fits several: answers to a question come first.
"""

from __future__ import annotations

from kitchend.core.commands import (
    CarryOn,
    Command,
    Drop,
    HeardIt,
    Hold,
    No,
    Pick,
    Quiet,
    Said,
    StepSaid,
    Undo,
    Yes,
)
from kitchend.core.forms import Gate, Maker, Phrase
from kitchend.core.grammar import Slots
from kitchend.core.languages.en.forming import forms


def _step(how: Said) -> Maker:
    return lambda slots: StepSaid(name=slots.get("name"), how=how)


def _chosen(slots: Slots) -> Command:
    chosen: int | str = slots["chosen"]
    return Pick(place=chosen) if isinstance(chosen, int) else StepSaid(name=chosen)


STEPS: tuple[Phrase, ...] = (
    *forms("choice", Gate.CHOICES, _chosen, """
        8: {chosen=choice}
        [the] {chosen=ordinal} one
        0.3: [the] {chosen=ordinal}
        0.3: (number|option) {chosen=number}
        0.3: {chosen=number}
    """),
    *forms("yes", Gate.ASKED, lambda slots: Yes(), """
        4: yes
        2: yes please
        yes do
        0.5: yes (that's right|go ahead|do it)
        0.3: i'm sure
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
    *forms("no", Gate.ASKED, lambda slots: No(), """
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
        0.5: no (leave it|that's wrong)
        0.3: don't do that
        0.3: not yet
    """),
    *forms("step", Gate.DINNER, _step(Said.NAME), """
        2: {name=action}
        [the] {name=thing}
    """),
    *forms("heard", Gate.CALLED, lambda slots: HeardIt(), """
        5: heard
        2: heard that
        [i] heard you
        i heard
        got it
        got that
        understood
        on it
        will do
        i'm on it
        0.3: we're on it
        on my way
        0.3: [i'm] coming
        0.3: right away
    """),
    *forms("finish", Gate.DINNER, _step(Said.DONE), """
        3: {name=action} [is] done
        4: {name=done}
        1: the {name=done}
        2: (i've|we've|i have|we have) {name=past}
        0.5: i {name=past}
        0.5: (i've taken|i took|took) [the] {name=ended} (off|out)
        (finished|done) {name=doing}
        0.5: {name=doing} is (done|finished)
        4: [the] {name=ended_is} (done|ready)
        [the] {name=ended_is} (finished|out|off|cooked|all done)
        2: [the] {name=ended} (done|ready)
        0.5: [the] {name=ended} (finished|out|off)
        0.5: (finished|done with|finished with|that's) [the] {name=ended}
        0.3: that's [the] {name=ended} done
        0.3: i'm done with [the] {name=ended}
        0.3: [the] {name=ended_is} out of [the] {place=equipment}
    """),
    *forms("finish it", Gate.OPEN_STEP, _step(Said.DONE), """
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
        0.5: i've (done|finished) (it|that)
        0.3: done that
    """),
    *forms("start", Gate.DINNER, _step(Said.ON), """
        3: [the] {name=begun_is} on
        2: [the] {name=placed_is} in
        [the] {name=begun} on
        [the] {name=placed} in
        0.6: [the] {name=begun_is} (on now|going|started)
        0.4: [the] {name=placed_is} (in now|cooking)
        0.5: [the] {name=placed_is} (in|on) [the] {place=equipment} [now]
        0.5: [the] {name=placed} (in|on) [the] {place=equipment}
        0.3: [the] {name=begun_has} gone on
        0.2: [the] {name=placed_has} gone in
        [i'm] {name=doing} [now]
        0.5: (started|starting) {name=doing}
        0.5: [i've] (started|starting) [the] {name=begun}
        0.3: [i've|i have|i] [just] put [the] {name=begun} on
        0.2: [i've|i have|i] [just] put [the] {name=placed} in
        0.2: i've got [the] {name=begun} on
        0.1: i've got [the] {name=placed} in
        0.2: that's [the] {name=begun} on
        0.1: that's [the] {name=placed} in
        0.3: [the] {name=begun_has} started
    """),
    *forms("start it", Gate.OPEN_STEP, _step(Said.ON), """
        2: it's on
        2: it's in
        they're on
        they're in
        that's on
        that's in
        it's going
        0.5: they're going
        0.5: (it's|they're) cooking
        0.5: it's started
        0.5: started
        0.5: i've started [it|that]
        0.5: i've put (it|them) (on|in)
        0.5: (it is|they are|that is) (on|in)
        0.3: (it's|they're) (in|on) now
    """),
    *forms("hold", Gate.RUNNING, lambda slots: Hold(name=slots.get("name")), """
        5: hold [the] {name=holdable}
        pause [the] {name=holdable}
        hold the time on [the] {name=holdable}
        stop the (clock|time|timer) (on|for) [the] {name=holdable}
        0.5: stop the (clock|time|timer)
        0.3: stop [the] {name=holdable}
        put [the] {name=holdable} on hold
        0.5: hold (that|it|them)
        0.5: pause (that|it|them)
        0.2: [the] {name=holdable} on hold
    """),
    *forms("carry on", Gate.HELD, lambda slots: CarryOn(name=slots.get("name")), """
        5: carry on with [the] {name=held}
        4: carry on
        go on with [the] {name=held}
        continue [with] [the] {name=held}
        resume [the] {name=held}
        start [the] {name=held} again
        [the] {name=held_is} (back on|back in|on again)
        0.5: restart [the] {name=held}
        continue
        0.5: resume
        0.5: start it again
        keep going
        0.5: go on
    """),
    *forms("drop", Gate.ALWAYS, lambda slots: Drop(name=slots.get("name")), """
        5: drop [the] {name=droppable}
        skip [the] {name=droppable}
        leave out [the] {name=droppable}
        leave [the] {name=droppable} out
        forget [about] [the] {name=droppable}
        cancel [the] {name=droppable} [timer]
        0.5: cancel the timer (on|for) [the] {name=droppable}
        0.5: scrap [the] {name=droppable}
        0.3: never mind [about] [the] {name=droppable}
        we're not (doing|making) [the] {name=droppable}
    """),
    *forms("drop it", Gate.OPEN_STEP, lambda slots: Drop(name=None), """
        2: drop that
        skip that
        drop it
        skip it
        skip this one
        leave it out
        leave that out
    """),
    *forms("undo", Gate.PAST, lambda slots: Undo(), """
        5: undo that
        undo
        0.5: undo (it|the last one)
        take that back
        take it back
        scratch that
        cancel that
        that was wrong
        i didn't mean that
        0.5: i didn't say that
        0.5: go back
    """),
    *forms("quiet", Gate.TALKING, lambda slots: Quiet(), """
        4: quiet
        2: be quiet
        quiet please
        stop talking
        that's enough
        enough
        silence
        0.5: please be quiet
        0.5: hush
        0.5: shush
        0.5: shut up
    """),
)  # fmt: skip
"""Forms that move steps or answer."""
