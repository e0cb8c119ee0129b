"""What the core asks the world to do. Orders; carried out by the service in the order given.

The journal is not an effect: the service keeps every event before it carries out what came of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from kitchend.core.clock import Instant, TimeOfDay


class CallKind(Enum):
    """Why kitchend speaks. The value names the chime; a reply has none."""

    NOW = "now"
    UP = "up"
    SOON = "soon"
    CAREFUL = "careful"
    REPLY = "reply"


@dataclass(frozen=True, slots=True, kw_only=True)
class Speak:
    """Say this, `louder_db` louder than usual or in a whisper.

    Exactly one `SpeechEnded` with the same number must follow before the next Speak comes.
    """

    utterance: int
    text: str
    kind: CallKind
    louder_db: float = 0.0
    is_whisper: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StopSpeaking:
    """Stop the utterance in progress at once."""

    utterance: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WakeAt:
    """Send `TimeReached` at this instant, and forget any earlier wish; None: no wish."""

    instant: Instant | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Replan:
    """Plan the rest of the dinner again from the state that came with this effect."""

    revision: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenPlan:
    """Open and plan the plan of this name, then send `DinnerStarted` or `DinnerRefused`."""

    name: str
    serve: TimeOfDay | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class EndDinner:
    """The dinner is served: close its journal and wait for the next."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeDoorWords:
    """Make new words that let one device in to the board, then send `DoorWordsMade`."""


Effect = Speak | StopSpeaking | WakeAt | Replan | OpenPlan | EndDinner | MakeDoorWords
