"""What a cook asks, in English: how long, what is next, what is on, when we eat, are we on time, say again.

A line is one pattern, perhaps with its weight among the lines of its rule; slots name lexicons.
"""

from __future__ import annotations

from kitchend.core.commands import AskNext, AskOn, AskOnTime, AskPass, AskTimeLeft, SayAgain
from kitchend.core.forms import Gate, Phrase, forms

ASKS: tuple[Phrase, ...] = (
    *forms("time left", Gate.ALWAYS, lambda slots: AskTimeLeft(name=slots.get("name")), """
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
    *forms("time left on it", Gate.RUNNING, lambda slots: AskTimeLeft(name=None), """
        3: how long is left
        2: how much longer
        how long
        how long to go
        how much time is left
        how long has it got
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
    """),
    *forms("pass", Gate.DINNER, lambda slots: AskPass(), """
        5: when do we eat
        when are we eating
        when do we serve
        when's dinner
        when is dinner [ready]
        when is the pass
        what time (do we eat|do we serve|is dinner|is the pass)
        how long (until|till) (dinner|we eat|we serve|the pass)
    """),
    *forms("on time", Gate.DINNER, lambda slots: AskOnTime(), """
        5: are we on time
        are we (late|running late|behind)
        are we (on schedule|on track)
        are we still on time
        will we be (on time|late)
        how are we doing [for time]
        are we going to make it
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
        again please
    """),
)  # fmt: skip
"""Forms that ask."""
