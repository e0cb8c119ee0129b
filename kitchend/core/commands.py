"""What a cook can mean: the commands, questions and answers that `intents` makes of recognised text.

Values only. A `name` is a spoken name exactly as `names` lists it ("greens", "steam the greens"); which step,
timer, dish or equipment it fits is decided by the dinner, which knows what was called last. None as a name
means what was called last ("it").
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from kitchend.core.clock import TimeOfDay


class Said(Enum):
    """How a step was named: by its bare name, as on ("is on", "is in"), or as done ("is done", "rested")."""

    NAME = "name"
    ON = "on"
    DONE = "done"


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardIt:
    """ "heard": the call is acknowledged, the step is not moved."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepSaid:
    """A step, dish or `also` name was said, perhaps with what became of it."""

    name: str | None
    how: Said = Said.NAME


@dataclass(frozen=True, slots=True, kw_only=True)
class AskTimeLeft:
    """ "how long on the rice"."""

    name: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AskNext:
    """ "what's next"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskOn:
    """ "what's on"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskPass:
    """ "when do we eat"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskOnTime:
    """ "are we on time"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskMissed:
    """ "what did I miss"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SayAgain:
    """ "say again"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GiveTime:
    """Time given to what is running; below zero it is taken off."""

    name: str | None
    seconds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """Stop a step's time on purpose."""

    name: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CarryOn:
    """Start held time again."""

    name: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop:
    """Leave a step, a dish or a timer out; asked back before it is done."""

    name: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeNew:
    """ "time the eggs for nine minutes": a new timer with a name of its own."""

    name: str
    seconds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RemindIn:
    """ "remind me in ten minutes to turn the bread"."""

    seconds: int
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RemindAt:
    """ "remind me at half past seven to light the candles"."""

    time: TimeOfDay
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingSaid:
    """ "the chicken is at sixty two", "oven reads one ninety": degrees in the plan's own scale."""

    name: str | None
    degrees: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StartDinner:
    """ "cook the courtyard supper for half past seven"; the time as said, None: the plan's own."""

    plan: str
    serve: TimeOfDay | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MovePassBy:
    """ "serve fifteen minutes later"; below zero is earlier."""

    seconds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MovePassTo:
    """ "serve at seven thirty": the clock time as said; an hour up to 12 is the next such to come."""

    time: TimeOfDay


@dataclass(frozen=True, slots=True, kw_only=True)
class Undo:
    """ "undo that"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Quiet:
    """ "quiet": stop talking now."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Louder:
    """ "louder", "softer": so many steps up, or below zero down."""

    steps: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Whisper:
    """ "whisper", and "speak up again", which ends a quiet as well."""

    is_on: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class QuietFor:
    """ "quiet for ten minutes": no calls but *careful* for so long."""

    seconds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AwaySaid:
    """ "you were away for ten minutes": the answer after a power cut that no clock lived through."""

    seconds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LetIn:
    """ "let a tablet in": a device of the house asks to see the board."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Yes:
    """The answer yes; said as "okay" it is also an answer to a call, where nothing was asked."""

    is_okay: bool = field(default=False, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class No:
    """The answer no."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """ "the first one": the place in the question's list, from 0; -1 is the last."""

    place: int


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberSaid:
    """ "fifty", "no, fifty minutes": a number on its own, as said. What it counts the question says."""

    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Unclear:
    """Words that are no command. Changes nothing."""

    text: str


Command = (
    HeardIt
    | StepSaid
    | AskTimeLeft
    | AskNext
    | AskOn
    | AskPass
    | AskOnTime
    | AskMissed
    | SayAgain
    | GiveTime
    | Hold
    | CarryOn
    | Drop
    | TimeNew
    | RemindIn
    | RemindAt
    | ReadingSaid
    | StartDinner
    | MovePassBy
    | MovePassTo
    | Undo
    | Quiet
    | Louder
    | Whisper
    | QuietFor
    | AwaySaid
    | LetIn
    | Yes
    | No
    | Pick
    | NumberSaid
)
