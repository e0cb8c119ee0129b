"""What a cook asks, in English: how long, what is next, what is on, when we eat, are we on time, say again.

And for a tablet to be let in to the board.

A line is one pattern, perhaps with its weight among the lines of its rule; slots name lexicons.
"""

from __future__ import annotations

from kitchend.core.commands import (
    AskMissed,
    AskNext,
    AskOn,
    AskOnTime,
    AskPass,
    AskTimeLeft,
    LetIn,
    SayAgain,
)
from kitchend.core.forms import Gate, Phrase
from kitchend.core.languages.en.forming import forms

ASKS: tuple[Phrase, ...] = (
    *forms("time left", Gate.ALWAYS, lambda slots: AskTimeLeft(name=slots.get("name")), """
        6: how long [is left] (on|for) [the] {name=known}
        2: how much longer (on|for) [the] {name=known}
        how much time [is left] (on|for) [the] {name=known}
        2: how long (until|till) [the] {name=known_is} (ready|done)
        how long {name=does_known} (need|have)
        how long {name=has_known} got [left]
        when {name=is_known} (ready|done)
        0.5: when will [the] {name=known} be (ready|done)
        how {name=is_known} doing
        0.5: how's [the] {name=known} [doing]
        0.7: {name=is_known} [nearly] (ready|done) [yet]
        0.5: how many minutes [are left] (on|for) [the] {name=known}
        0.5: time [left] on [the] {name=known}
        0.5: [the] {name=known} how long
        0.3: what's left on [the] {name=known}
        0.3: what about [the] {name=known}
        0.3: when {name=does_known} come out
        0.3: how long (until|till) [the] {name=known}
        0.5: how long's left on [the] {name=known}
        0.15: how long's [the] {name=known} got [left]
        0.15: how much time's left on [the] {name=known}
        0.15: how (long|many minutes) left on [the] {name=known}
        0.15: how (long|much longer) {name=does_known} (need|have|want)
        0.15: how long {name=has_known} [got] (left|to go)
        0.15: how {name=is_known} (going|doing|looking) for time
        0.1: when {name=is_known} coming (out|off)
        0.1: when {name=is_known} (gonna|going to) be (ready|done)
        0.1: {name=is_known} nearly there
        0.15: how (long|much longer) (until|till|before) i {name=action}
        0.1: when do i {name=action}
        0.1: how much longer (until|till) [the] {name=known_is} (ready|done)
        0.15: when's [the] {name=known} (coming (out|off)|ready|done|(gonna|going to) be (ready|done))
        0.1: how's [the] {name=known} (going|looking) [for time]
        0.1: how long (until|till|before) [the] {name=done}
    """),
    *forms("time left on it", Gate.RUNNING, lambda slots: AskTimeLeft(name=None), """
        3: how long is left
        2: how much longer
        how long
        how long to go
        0.3: how long now
        how much time is left
        how long (has it|have they) got
        0.5: how many minutes [left]
        0.5: (is it|are they) (ready|done) yet
        0.5: how long until (it's|they're) (ready|done)
        how long left
        0.5: how long (on|for) (it|that|this)
        0.5: how long's left
        0.15: how long's (it|that) got
        0.15: how (long|much longer) (does it|do they) (need|have)
        0.15: how long has that got [left]
        0.15: how much (time|time's) left on (it|that|this)
        0.15: how much longer (has it|have they) got
        0.15: how long to go on (it|that|this)
        0.2: how much longer (on|for) (it|that|this)
    """),
    *forms("next", Gate.DINNER, lambda slots: AskNext(), """
        5: what's next
        what is next
        what now
        what comes next
        what do i do next
        what do i do now
        what's after (that|this)
        what should i do [now|next]
        0.5: what's up next
        0.5: what do we do next
        0.5: what's the next step
        0.5: what have i got next
        0.3: now what
        0.3: what else
        0.3: what's coming up
        0.3: what comes after (this|that)
        0.5: what's the next (thing|job|one)
        0.5: what am i doing (now|next)
        0.15: what's my next (job|step)
        0.15: (next|next up|next one|next job|next step)
        0.15: tell me what's next
        0.15: (and|and then) what
        0.15: what have i (to|got to|gotta) do next
        0.15: what (do you need|do you want) me to do [next]
        0.15: what's next up
        0.15: what should i be (doing|getting on with)
        0.1: what's next on the list
        0.1: what needs doing [next]
        0.3: what do i (need|have) to do [now|next]
    """),
    *forms("what is on", Gate.ALWAYS, lambda slots: AskOn(), """
        5: what's on
        what is on
        what's on now
        what's cooking
        what's running
        what have we got on
        what have i got on
        (what|which) timers are (on|running)
        what is (running|cooking)
        0.5: what's on (at the moment|right now)
        0.5: what's still on
        0.5: list the timers
        0.3: where are we
        0.3: what's (in|on) the {place=equipment}
        0.5: (what's|what is) (on|going|cooking|running) \
            (at (the moment|the minute|present)|right now|just now)
        0.5: what's still (cooking|running|going)
        0.5: (what have we|what have i|what have we got|what do we have|what've we got|what've i got) \
            (on|going|cooking|running|on the go)
        0.15: (tell|remind) me what's (on|cooking|running)
        0.15: what's on the go
        0.1: what's on the (stove|grill|fire)
        0.1: what do (i|we) have (going|running|cooking)
        0.15: what timers (have we|have i|do we have|do i have) [got] [running|on]
        0.1: everything that's on
        0.15: what's going
        0.15: what (have i|have we) got cooking
        0.15: remind me what (i've|we've) got (on|cooking)
    """),
    *forms("pass", Gate.DINNER, lambda slots: AskPass(), """
        5: when do we eat
        when are we eating
        when do we serve
        when's dinner
        when is dinner [ready]
        (when is|when's) the pass
        0.5: when will dinner be ready
        0.5: what time are we (eating|serving)
        what time (do we eat|do we serve|is dinner|is the pass)
        how long (until|till) (dinner|we eat|we serve|the pass)
        0.5: what time's (dinner|supper|lunch|the pass)
        0.5: (when's|when is|what time is) (supper|tea|lunch)
        0.15: what time (do|will|are) we (sit down|eat|be eating|be sitting down|sitting down) [tonight]
        0.15: when (do we|are we) (sit down|sitting down|dishing up|serving|serve up)
        0.15: what time am i (serving|dishing up)
        0.15: how long (have we got|have i got|have we|) (before|till|until) \
            (we eat|dinner|supper|lunch|we serve)
        0.15: when's (dinner|supper|lunch|tea) (ready|at|on the table|gonna be ready|going to be ready)
        0.1: what time did we say [for (dinner|supper|lunch)]
        0.1: when (are we|am i) serving
        0.2: when will (supper|lunch|tea) be ready
        0.2: how long (until|till) (supper|lunch|tea)
        0.1: what time is (dinner|supper|lunch|everything) (ready|on the table)
    """),
    *forms("on time", Gate.DINNER, lambda slots: AskOnTime(), """
        5: are we on time
        are we (late|running late|behind)
        are we (on schedule|on track)
        are we still on (time|track)
        0.5: is dinner (on time|late)
        0.5: how late are we
        0.5: will we make it
        0.3: are we good for time
        will we be (on time|late)
        how are we doing [for time]
        are we going to make it
        0.5: (am i|are we) [running] (late|behind|on time|on track)
        0.15: are we [still] (all right|okay|good|right|fine) for time
        0.15: are we still on schedule
        0.15: how (we|are we|am i) (doing|going|getting on) for time
        0.15: (is|will) (dinner|supper|lunch) be late
        0.15: will (dinner|supper|lunch|we) be (late|on time|ready on time)
        0.15: how far behind are we
        0.15: is everything (on time|on track|running to time)
        0.15: (are we gonna|can we|are we going to) make it [on time]
        0.1: (are we [still] (good|on|on track|okay|right) for|\
(are we gonna|will we|are we going to) make [it for]) {time=clock}
        0.1: (we|we're) still on (track|time)
        0.1: have we slipped [at all]
        0.1: are we (ahead|ahead of time|running behind)
        0.1: how're (we|things) (doing|going) [for time]
        0.15: are we (going to|gonna) be (late|on time)
        0.15: are we [still] on time for (dinner|supper|lunch)
    """),
    *forms("missed", Gate.CALLED, lambda slots: AskMissed(), """
        5: what did i miss
        what have i missed
        did i miss anything
        have i missed anything
        what was i told
        what's waiting [for me]
        what are you waiting for
        what's still to do
        tell me what i missed
        0.5: what's outstanding
        0.5: what did you call
        0.5: anything i missed
        0.5: what'd i miss
        0.3: (what have you|what did you) (called|call|said|say) while i was (out|away|gone|outside)
        0.3: anything (happen|called) while i was (out|away|gone|outside)
        0.3: (catch me up|fill me in)
        0.3: i'm back [what did i miss|what have i missed|what'd i miss]
        0.2: did you call anything [while i was (out|away|gone|outside|inside)]
    """),
    *forms("say again", Gate.ALWAYS, lambda slots: SayAgain(), """
        5: say again
        2: say that again
        repeat that
        repeat
        come again
        what did you say
        what was that
        pardon
        once more
        0.5: one more time
        again please
        0.5: say it again
        0.5: sorry what was that
        0.5: (can|could) you (repeat that|say that again)
        0.5: i (didn't catch|missed) that
        0.5: (sorry|pardon) [say that again|say again|say it again|i missed that]
        0.5: (didn't|couldn't) (catch|hear) that
        0.15: what'd you say
        0.15: (say|tell me) (it|that) (again|once more|one more time)
        0.15: repeat (it|the last one|the last bit)
        0.15: what was that last (bit|one)
        0.1: you what
        0.1: what was it you said
        0.1: go over that again
        0.15: i didn't (hear|get) that
    """),
    *forms("let in", Gate.ALWAYS, lambda slots: LetIn(), """
        3: let (a|the|my|this) (tablet|phone|screen) in
        let in (a|the|my|this) (tablet|phone|screen)
        0.5: (add|admit) (a|the|my|this) (tablet|phone|screen)
        0.5: what are the words for the (tablet|phone|board|screen)
    """),
)  # fmt: skip
"""Forms that ask."""
