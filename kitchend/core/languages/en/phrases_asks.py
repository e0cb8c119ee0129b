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
    """),
    *forms("let in", Gate.ALWAYS, lambda slots: LetIn(), """
        3: let (a|the|my|this) (tablet|phone|screen) in
        let in (a|the|my|this) (tablet|phone|screen)
        0.5: (add|admit) (a|the|my|this) (tablet|phone|screen)
        0.5: what are the words for the (tablet|phone|board|screen)
    """),
)  # fmt: skip
"""Forms that ask."""
