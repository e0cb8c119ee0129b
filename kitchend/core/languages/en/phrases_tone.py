"""How a cook says how kitchend is to speak, in English: louder, softer, a whisper, quiet for a while.

A line is one pattern, perhaps with its weight among the lines of its rule; slots name lexicons.
"""

from __future__ import annotations

from kitchend.core.commands import Louder, QuietFor, Whisper
from kitchend.core.forms import Gate, Phrase
from kitchend.core.languages.en.forming import forms

TONE: tuple[Phrase, ...] = (
    *forms("louder", Gate.ALWAYS, lambda slots: Louder(steps=1), """
        5: louder
        2: louder please
        a bit louder
        (speak|talk) louder
        (speak|talk) a bit louder
        turn it up
        turn (it|the volume) up a bit
        turn up the volume
        volume up
        i can't hear you
        (can|could) you (speak|be) louder
    """),
    *forms("softer", Gate.ALWAYS, lambda slots: Louder(steps=-1), """
        5: softer
        2: softer please
        a bit softer
        (speak|talk) softer
        (speak|talk) a bit softer
        quieter
        2: quieter please
        a bit quieter
        turn it down
        turn (it|the volume) down a bit
        turn down the volume
        volume down
        not so loud
        you're too loud
    """),
    *forms("whisper", Gate.ALWAYS, lambda slots: Whisper(is_on=True), """
        5: whisper
        2: whisper please
        please whisper
        keep your voice down
        whisper from now on
        whisper for now
        start whispering
        (speak|talk) in a whisper
        use your quiet voice
        (can|could) you whisper
    """),
    *forms("speak up", Gate.ALWAYS, lambda slots: Whisper(is_on=False), """
        5: speak up again
        2: speak up
        speak up please
        speak normally [again]
        talk normally [again]
        stop whispering
        no more whispering
        you can speak up [again]
        you can (speak|talk) again
        use your normal voice
        use your full voice
    """),
    *forms("quiet for", Gate.ALWAYS, lambda slots: QuietFor(seconds=slots["seconds"]), """
        5: quiet for {seconds=minutes}
        2: be quiet for {seconds=minutes}
        keep quiet for {seconds=minutes}
        stay quiet for {seconds=minutes}
        no calls for {seconds=minutes}
        don't (speak|talk) for {seconds=minutes}
        {seconds=minutes} of quiet
        give me {seconds=minutes} of quiet
        leave me alone for {seconds=minutes}
        silence for {seconds=minutes}
    """),
)  # fmt: skip
"""Forms about how kitchend speaks."""
