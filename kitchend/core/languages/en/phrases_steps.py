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
        0.15: (number|option) {chosen=place}
        0.3: {chosen=number}
        0.15: (i mean|i meant|it's) [the] {chosen=ordinal} [one]
        0.1: [the] {chosen=ordinal} one there
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
        0.5: (yeah|yep|yup) [please] (go ahead|do it|do that|do|that's right)
        0.5: (yup|aye)
        0.15: (yeah|yep|yup) please
        0.15: (go on then|go for it|please do)
        0.15: yes it is
        0.15: (that's it|that's correct|exactly)
        0.1: (it is|i did) yeah
        0.1: all right
    """),
    *(phrase for gate in (Gate.ASKED, Gate.CALLED) for phrase in (
        *forms("okay", gate, lambda slots: Yes(is_okay=True), """
            4: okay
            right okay
            okay (then|thanks)
        """),
    )),
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
        0.5: (nah|no no|no it isn't|no it's not)
        0.15: (no|nah) that's (not right|not it)
        0.15: that's not (right|it|what i said)
        0.15: (no|nah) don't do (that|it)
        0.15: no i (didn't|don't|don't want that)
        0.15: not that [one]
        0.1: (definitely|certainly) not
        0.1: (not at all|no way)
        0.1: no leave it (as it is|alone)
        0.2: no not (that|yet) [one]
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
        0.5: (yep|yes|yeah|okay|all right) [i] (heard|got) (you|it|that)
        0.5: (gotcha|got you|right you are|righto|copy that|roger)
        0.15: i hear you
        0.15: (yeah|yes|yep) [i] heard
        0.15: heard [ya|it]
        0.15: (yep|yes|yeah) on it
        0.15: (i'll do it|doing it)
        0.15: i've got it
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
        0.5: that's [the] {name=done}
        0.15: [i've|i have] [just] (done|finished) [the] {name=ended}
        0.5: [i've] just {name=past}
        0.1: [the] {name=ended_has} (finished|come out|come off)
        0.15: (i've pulled|i've got|i pulled) [the] {name=ended} (off|out)
        0.15: [the] {name=ended_is} (done|ready|out|off) now
        0.1: i've finished with [the] {name=ended}
        0.1: {name=action} finished
        0.2: i'm (done|finished) {name=doing}
        0.1: [the] {name=ended_is} off the (grill|fire|smoker|heat|stove)
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
        0.5: (it's|they're|that's) [all] (done|ready|finished|out|off) now
        0.15: (it's|they're|that's) all (done|finished|ready)
        0.15: i'm done [with (it|that)]
        0.15: (just done|just finished) (it|that)
        0.15: (i've taken|i took|got) (it|them) (off|out)
        0.15: that one's (done|finished|ready)
        0.1: (done|finished) with (it|that)
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
        1: [the] {name=going} [now|away]
        0.1: [the] {name=placed_is} (in|on|under) [the] {place=equipment} now
        0.15: [the] {name=begun_is} on the (stove|heat|boil|go|hob|grill|fire|smoker)
        0.05: [the] {name=placed} (on the stove|on the heat|on the boil)
        0.1: [i've|i] [just] (popped|chucked|stuck|got|thrown|shoved) [the] {name=placed} \
            (in|on|(in|on|under) [the] {place=equipment})
        0.1: [i've] [just] put [the] {name=placed} (in|on|under) [the] {place=equipment}
        0.05: [the] {name=placed_is} under [the] {place=equipment}
        0.1: (i|i have) [just] put [the] {name=placed} in [the] {place=equipment}
        0.05: [the] {name=placed} under [the] {place=equipment}
        0.15: (just|i'm just) {name=doing} [now]
        0.1: [the] {name=begun_is} up and running
        0.1: [i've] [just] started {name=doing}
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
        0.15: (that's|it's|they're) (on|in|going) now
        0.15: i've [just] (popped|stuck|put) (it|them|that) (in|on)
        0.15: (it's|they're) (gone|just gone) (in|on)
        0.1: (just put|just popped) (it|them) (in|on)
        0.1: i'm (doing|starting) (it|that) now
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
        0.5: hold off (on|with) [the] {name=holdable} [for now|for a bit|for a while]
        0.5: (hold|pause|stop) [the] {name=holdable} \
            (for now|[for] (a sec|a second|a minute)|there|for a bit|a while|timer)
        0.15: (hold|pause) (that|it|them|that one) (for now|a sec|there|for a bit)
        0.15: ((hold on|hang on) with|wait (on|with)) [the] {name=holdable}
        0.1: (keep|put) (it|them|that) on hold
        0.1: keep [the] {name=holdable} on hold
        0.1: (don't start|leave) [the] {name=holdable} (yet|for now|for the moment)
        0.1: put [the] {name=holdable} on pause
        0.15: hold that one
        0.1: wait on [the] {name=holdable}
        0.1: hold off {name=doing}
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
        0.5: (keep going|go ahead|crack on|press on) (with|on) [the] {name=held} [again|now]
        0.15: unpause [the] {name=held}
        0.15: [you can] carry on with [the] {name=held} [now|again]
        0.15: start [the] {name=held} (back up|up again|back up again)
        0.15: (get|set) [the] {name=held} going again
        0.15: take [the] {name=held} off hold
        0.1: back on with [the] {name=held}
        0.1: pick [the] {name=held} [back] up [again]
        0.15: (carry on|go on|keep going|continue) with (it|that|them)
        0.15: (unpause|resume|restart) (it|that|them)
        0.1: let [the] {name=held} (go on|carry on|run)
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
        0.15: let's (drop|skip|leave out|forget|scrap) [the] {name=droppable}
        0.15: (drop|skip) [the] {name=droppable} (tonight|altogether|this time)
        0.1: (ditch|bin) [the] {name=droppable}
        0.1: leave [the] {name=droppable} out (altogether|tonight)
        0.15: (don't|we won't|we'll not) bother with [the] {name=droppable} [at all|tonight]
        0.1: we'll (do without|skip|leave out|drop) [the] {name=droppable}
        0.1: we're not having [the] {name=droppable} [now|tonight]
        0.1: no {name=droppable} tonight
        0.1: forget [the] {name=droppable} (altogether|tonight)
        0.1: take [the] {name=droppable} off (the menu|the list|the plan)
        0.1: we don't need [the] {name=droppable}
    """),
    *forms("drop it", Gate.OPEN_STEP, lambda slots: Drop(name=None), """
        2: drop that
        skip that
        drop it
        skip it
        skip this one
        leave it out
        leave that out
        0.15: (forget|leave out|scrap|ditch) (it|that|them|that one|this one)
        0.1: (don't bother with|we don't need) (it|that|them|that one)
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
        0.5: (oops|sorry|no|no wait|whoops) (undo that|take that back|scratch that)
        0.5: undo (the last thing|that last one|what i [just] said|that one)
        0.15: [that was] (a mistake|my mistake) [undo (it|that)|take (it|that) back]
        0.15: no i didn't (mean|say) that
        0.15: i didn't mean (it|that) undo (it|that)
        0.15: i take (that|it) back
        0.15: (forget|ignore) (i said that|what i said|that last one|the last one)
        0.15: go back one
        0.1: put (it|that) back (how|the way) it was
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
        0.15: (pipe down|zip it|hush up|hush now|shush now|quiet down)
        0.15: (that's|that is) enough (talking|chat)
        0.15: enough (talking|chat)
        0.15: give it a rest
        0.15: okay (quiet|enough|stop)
        0.1: be quiet for a (bit|minute|while)
        0.15: stop
    """),
)  # fmt: skip
"""Forms that move steps or answer."""
