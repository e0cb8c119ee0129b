"""Between the words and the sound: what the plan says is said in another way than it is written.

Nothing before it knows of this, so that screens, the journal and the listener keep the written words.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kitchend.core.effects import CallKind
from kitchend.core.plan import Plan
from kitchend.core.pronounced import pronounced
from kitchend.service.ports import Mouth, SpeechDone
from kitchend.speaking.ports import PLAIN, Manner, Voice
from kitchend.speaking.sound import Sound

PlanNow = Callable[[], Plan | None]


class PronouncingMouth:
    """A mouth that says the plan's words as the plan has them said; `plan_now` is the dinner's plan."""

    def __init__(self, mouth: Mouth, plan_now: PlanNow) -> None:
        self._mouth = mouth
        self._plan_now = plan_now

    def prepare(self, texts: Sequence[str]) -> None:
        """Have these ready, as they will be said."""
        plan = self._plan_now()
        self._mouth.prepare(tuple(pronounced(text, plan) for text in texts))

    def say(self, text: str, kind: CallKind, on_done: SpeechDone, manner: Manner = PLAIN) -> None:
        """Say it as the plan has it said."""
        self._mouth.say(pronounced(text, self._plan_now()), kind, on_done, manner)

    def stop(self) -> None:
        """Stop what is being said."""
        self._mouth.stop()


class PronouncingVoice:
    """A voice that renders the plan's words as the plan has them said."""

    def __init__(self, voice: Voice, plan_now: PlanNow) -> None:
        self._voice = voice
        self._plan_now = plan_now

    def render(self, text: str) -> Sound:
        """The words as sound, as they are to be said."""
        return self._voice.render(pronounced(text, self._plan_now()))
