"""A listener without sound, and ears that know what they will hear: in-memory adapters of hearing's ports.

Typed text takes the place of a phrase; the grammar alone says whether it counts. They pass the same contract
tests as the real ones and measure nothing: every time they give is 0.
"""

from collections.abc import Sequence

from kitchend.hearing.listener import OnHeard
from kitchend.hearing.ports import (
    Heard,
    IsWanted,
    Judgement,
    Proposal,
    Samples,
    Sayable,
    Scored,
    always,
)


class TypedListener:
    """Hears what is typed."""

    def __init__(self, on_heard: OnHeard) -> None:
        self._on_heard = on_heard
        self._sayable: Sayable | None = None
        self._is_deaf = False

    def listen_for(self, sayable: Sayable) -> None:
        """From the next phrase on expect these."""
        self._sayable = sayable

    def deaf(self, is_deaf: bool) -> None:
        """Hear nothing while kitchend itself speaks."""
        self._is_deaf = is_deaf

    def say(self, text: str) -> None:
        """One phrase; nothing comes of it before the first `listen_for` or while deaf."""
        if self._sayable is None or self._is_deaf:
            return
        said = " ".join(text.lower().split())
        accepted = self._sayable.accepts(said)
        reason = "typed" if accepted else "not a command"
        self._on_heard(
            Heard(
                text=said,
                accepted=accepted,
                reason=reason,
                started_s=0.0,
                ended_s=0.0,
                audio_s=0.0,
                took_s=0.0,
            )
        )


class KnowingFirstEar:
    """A FirstEar that hears the next of its texts in every phrase, as far as the grammar holds it."""

    def __init__(self, texts: Sequence[str]) -> None:
        self._texts = list(texts)
        self._sayable: Sayable | None = None
        self._is_open = False

    def listen_for(self, sayable: Sayable) -> None:
        """Replace the grammar."""
        self._sayable, self._is_open = sayable, False

    def feed(self, samples: Samples) -> str:
        """Take the next piece of a phrase; the whole text is heard at once."""
        self._is_open = True
        return self._text()

    def finish(self) -> Proposal:
        """End the phrase."""
        if not self._is_open:
            return Proposal(readings=())
        text = self._text()
        self._texts, self._is_open = self._texts[1:], False
        return Proposal(readings=(text,) if text else ())

    def _text(self) -> str:
        text = self._texts[0] if self._texts else ""
        return text if self._sayable is not None and self._sayable.accepts(text) else ""


class KnowingSecondEar:
    """A SecondEar for which every phrase sounds like its one text, whatever may be said."""

    def __init__(self, text: str, others: float = -5.0) -> None:
        self._text = text
        self._others = others

    def judge(
        self, phrase: Samples, sayable: Sayable, proposed: tuple[str, ...], is_wanted: IsWanted = always
    ) -> Judgement:
        """The text fits perfectly, all other commands alike badly."""
        commands = dict.fromkeys((*proposed, *sayable.candidates(), self._text))
        ranked = [
            Scored(text=command, score=0.0 if command == self._text else self._others)
            for command in commands
            if sayable.accepts(command)
        ]
        ranked.sort(key=lambda reading: -reading.score)
        return Judgement(ranked=tuple(ranked), free=Scored(text=self._text, score=0.0))
