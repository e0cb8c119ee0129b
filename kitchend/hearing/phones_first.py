"""The phone ear, and where it is not sure the second ear: half of all clear speech never needs Whisper."""

from kitchend.hearing.accept import Evidence, is_sure
from kitchend.hearing.detect import Habits
from kitchend.hearing.phone_ear import PhoneEar
from kitchend.hearing.ports import (
    SAMPLE_RATE,
    IsWanted,
    Judgement,
    NoLongerWantedError,
    Prepared,
    Samples,
    Sayable,
    SecondEar,
    always,
)

_AROUND_S = Habits().pre_roll_s + Habits().pause_s
"""How much of a phrase is before and after what was said."""


class PhonesFirst:
    """A SecondEar of two, of which the quick one is asked first."""

    def __init__(self, quick: PhoneEar, thorough: SecondEar) -> None:
        self._quick = quick
        self._thorough = thorough

    def prepare(self, sayable: Sayable) -> None:
        """Let both make ready."""
        self._quick.prepare(sayable)
        thorough: object = self._thorough
        if isinstance(thorough, Prepared):
            thorough.prepare(sayable)

    def judge(
        self, phrase: Samples, sayable: Sayable, proposed: tuple[str, ...], is_wanted: IsWanted = always
    ) -> Judgement:
        """The quick ear's view where that will do, else the thorough one's."""
        judgement = self._quick.judge(phrase, sayable, proposed, is_wanted)
        evidence = Evidence(
            speech_s=max(0.0, len(phrase) / SAMPLE_RATE - _AROUND_S),
            proposed=proposed[0] if proposed else "",
            judgement=judgement,
        )
        if is_sure(evidence, sayable):
            return judgement
        if not is_wanted():
            raise NoLongerWantedError
        return self._thorough.judge(phrase, sayable, proposed, is_wanted)
