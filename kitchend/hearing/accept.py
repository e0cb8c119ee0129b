"""Whether what the ears made of a phrase counts: the one rule, over plain values.

The second ear's best command counts when it explains the sound nearly as well as free text does; when the first
ear hears the same, a little less will do. Alone, the first ear counts when the command fits the time it took.
Commands that score nearly alike are doubts, for the dinner to ask back. Nothing here listens.
"""

from dataclasses import dataclass

from kitchend.hearing.numbers import partners, spelled
from kitchend.hearing.ports import Judgement, Proposal, Scored

MARGIN = -2.5
"""The lowest margin (best command minus free text, mean log probability a token) at which a command counts.

Measured over 252 commands and 135 sentences of chatter in three voices: 99 % of commands lie above it, the
nearest chatter lies at -3.2.
"""
MARGIN_AGREED = -2.9
"""... and when the first ear heard the same command."""
FLOOR = -4.0
"""Below this mean log probability a command fits no sound, however little free text makes of it."""
NUMBER_GAP = 0.35
"""A number mistaken for its partner that scores within this of the best is a doubt."""
OTHER_GAP = 0.06
"""Any other command this close to the best is a doubt."""
SHORTEST_S = 0.12
LETTERS_A_SECOND = (4.0, 26.0)
"""How slowly and how quickly commands are said, spaces counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What a phrase counts as. `text` is the best guess even when it is refused."""

    text: str
    accepted: bool
    reason: str
    doubts: tuple[str, ...] = ()
    free_text: str | None = None
    margin: float | None = None


def decide(proposal: Proposal | None, judgement: Judgement | None, speech_s: float) -> Decision:
    """The verdict on one phrase of `speech_s` seconds of speech; either ear may be missing."""
    if judgement is not None:
        return _by_both(proposal, judgement, speech_s)
    return _by_first(proposal or Proposal(readings=()), speech_s)


def _by_first(proposal: Proposal, speech_s: float) -> Decision:
    text = proposal.best
    if not text:
        return Decision(text="", accepted=False, reason="no command")
    if not _fits(text, speech_s):
        return Decision(text=text, accepted=False, reason="does not fit the time it took")
    doubts = tuple(other for other in proposal.readings[1:] if other in set(partners(text)))
    return Decision(text=text, accepted=True, reason="first ear", doubts=doubts)


def _by_both(proposal: Proposal | None, judgement: Judgement, speech_s: float) -> Decision:
    free = judgement.free.text.strip()
    if not judgement.ranked:
        return Decision(text="", accepted=False, reason="no command", free_text=free)
    best = judgement.ranked[0]
    margin = best.score - judgement.free.score
    agreed = proposal is not None and proposal.best == best.text
    accepted, reason = _verdict(
        best, margin, agreed=agreed, is_free=best.text in spelled(free), speech_s=speech_s
    )
    doubts = _doubts(best, judgement.ranked[1:]) if accepted else ()
    return Decision(
        text=best.text,
        accepted=accepted,
        reason=reason,
        doubts=doubts,
        free_text=free,
        margin=round(margin, 3),
    )


def _verdict(
    best: Scored, margin: float, *, agreed: bool, is_free: bool, speech_s: float
) -> tuple[bool, str]:
    if speech_s < SHORTEST_S:
        return False, "too short"
    if is_free:
        return True, "free text says the same"
    if best.score < FLOOR:
        return False, "fits no command"
    if margin >= MARGIN:
        return True, "ears agree" if agreed else "fits best"
    if agreed and margin >= MARGIN_AGREED:
        return True, "ears agree"
    return False, "explained better as free talk"


def _doubts(best: Scored, others: tuple[Scored, ...]) -> tuple[str, ...]:
    alike = set(partners(best.text))
    return tuple(
        other.text
        for other in others
        if best.score - other.score < (NUMBER_GAP if other.text in alike else OTHER_GAP)
    )


def _fits(text: str, speech_s: float) -> bool:
    slow, quick = LETTERS_A_SECOND
    return speech_s >= SHORTEST_S and slow * speech_s <= len(text) + slow and len(text) <= quick * speech_s
