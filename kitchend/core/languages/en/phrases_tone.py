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
        0.3: turn (the volume|yourself) up [a bit]
        0.3: (speak|talk) a little louder
        0.3: (can|could) you (talk|say it) louder
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
        0.3: turn (the volume|yourself) down [a bit]
        0.3: (speak|talk) a little (softer|quieter)
        0.3: (speak|talk|be) a bit quieter
        0.3: (can|could) you (talk|speak|be) (quieter|softer)
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
        0.3: use your whisper voice
        0.3: (speak|talk) quietly
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
        0.3: quit whispering
        0.3: you can (talk|speak) now
        0.3: back to [your] normal [voice]
        0.3: you can stop whispering
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
        0.3: (no talking|hush|shush) for {seconds=minutes}
        0.2: (be|stay|keep) quiet for the next {seconds=minutes}
        0.2: (give me|give us) {seconds=minutes} (peace|of peace)
    """),
)  # fmt: skip
"""Forms about how kitchend speaks."""
