"""The accept rule: what the ears made of a phrase becomes a command, a command in doubt, or nothing.

With a second ear, or the phone ear in its place, the readings are ranked, and the best must have been meant
likely enough, by weights that were fitted to spoken commands and to talk (`worth`). Where nobody judges
beside the first ear a whole command is taken and every number that is easily mistaken is doubted. Refusing
changes nothing, so what is unclear is refused.
Texts and numbers in, a verdict out.
"""

from dataclasses import dataclass, replace

from kitchend.core.tongue import of_state
from kitchend.hearing.homophones import nearly_alike
from kitchend.hearing.letters import length
from kitchend.hearing.numbers import but_for_numbers, partners, spelled
from kitchend.hearing.ports import Addressed, Judgement, Meaningful, OpenWorded, Sayable, Scored
from kitchend.hearing.shortlist import is_held, same_words
from kitchend.hearing.worth import (
    COUNTING,
    Near,
    Weights,
    chance,
    counting,
    ranked,
    same_meaning,
    shipped,
    shipped_alone,
)

SURE, SURELY_AHEAD, FAR_AHEAD = 0.95, 2.5, 4.0
"""How likely the phone ear's best must be, and how far ahead in worth (further of what sounds nearly alike),
to be a command without Whisper.

Held out by phrase, of 733 commands 410 are, all of them right, and none of 313 pieces of talk.
"""
LONG_ENOUGH = 10
"""Letters of a command that calls nobody, to be one without Whisper: a short word is heard too soon."""
HARDLY, ASTRAY = 0.005, -4.5
"""What is less likely is no command, nor what begins so much unlike the address phrase, without Whisper.

Of 313 pieces of talk 224 are less likely, of the commands that both ears have right one of 657.
"""
OPEN_LOOKED_AT = 6
"""Where one of so many best readings has a place for words of any kind, others may have been said there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Log probabilities, lengths and times in which the rule thinks."""

    read_back: int = 4  # how many other readings are doubts where the best is half understood
    clear_talk: float = -1.0  # a free text above this is clear enough to compare lengths with, and a doubt
    longer: float = 1.6  # free talk this many times as long as the command, and
    longer_letters: int = 6  # this many letters more, is not the command
    plain_talk: float = -0.25  # a free text above this is what was said, unless a command is
    plain_margin: float = -1.5  # no further below it in score than this, or begins with the address phrase
    far_margin: float = -1.7  # so far below a clear free text is half understood, unless the ears agree,
    farthest_margin: float = -2.2  # and so far even then;
    word_margin: float = -1.35  # so far where the command is a word by itself, of which many sound alike;
    lacking_margin: float = -0.6  # so far where the command lacks words of it,
    lacking_letters: int = 4  # more than so many letters
    least_s: float = 0.15  # of speech; shorter is a knock
    longest_s: float = 10.0
    letters_a_second: tuple[float, float] = (4.0, 26.0)  # how slowly and how quickly commands are said


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """One phrase as the ears had it. `proposed` is None without a first ear, `judgement` without a second."""

    speech_s: float
    proposed: str | None
    judgement: Judgement | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What the rule makes of it; `text` is the best command even when it is refused."""

    text: str
    accepted: bool
    reason: str
    doubts: tuple[str, ...] = ()
    margin: float | None = None


@of_state
def decide(
    evidence: Evidence, sayable: Sayable, limits: Limits | None = None, weights: Weights | None = None
) -> Decision:
    """Apply the rule, with the shipped weights if no others are given.

    What the phone ear makes of a phrase is not judged by the second ear's weights: none are to be given.
    """
    limit = limits or Limits()
    if evidence.speech_s < limit.least_s:
        return _refused("", "too short")
    if evidence.speech_s > limit.longest_s:
        return _refused("", "too long for a command")
    if evidence.judgement is None:
        return _first_alone(evidence.proposed or "", evidence.speech_s, sayable, limit)
    fitted = shipped_alone() if evidence.judgement.is_by_phones else shipped()
    return _both(evidence.judgement, evidence, sayable, limit, weights or fitted)


def is_sure(evidence: Evidence, sayable: Sayable) -> bool:
    """Whether the phone ear's view of a phrase needs nobody else's: a command that is far ahead, or nothing
    like one. Words that no grammar holds are never sure.
    """
    judgement = evidence.judgement
    if judgement is None:
        return False
    if not judgement.ranked:
        return judgement.address is not None and judgement.address < ASTRAY
    if isinstance(sayable, OpenWorded) and any(
        sayable.takes_openly(reading.text) for reading in judgement.ranked[:OPEN_LOOKED_AT]
    ):
        return False
    ahead = Near(other=SURELY_AHEAD, number=SURELY_AHEAD, alike=FAR_AHEAD)
    strict = replace(shipped_alone(), least=SURE, half=SURE, near=ahead)
    decision = decide(evidence, sayable, weights=strict)
    if decision.accepted:
        return not decision.doubts and _is_plainly(decision.text, evidence.proposed or "", sayable)
    return not decide(evidence, sayable, weights=replace(strict, least=0.0, half=HARDLY)).accepted


def _is_plainly(text: str, proposed: str, sayable: Sayable) -> bool:
    """Whether it is long enough, and no address phrase is heard in it by the phone ear alone."""
    if not isinstance(sayable, Addressed) or sayable.needs_address:
        return True
    is_called = text.startswith(sayable.address)
    return is_called == proposed.startswith(sayable.address) and length(text) >= LONG_ENOUGH


def _refused(text: str, reason: str, margin: float | None = None) -> Decision:
    return Decision(text=text, accepted=False, reason=reason, margin=margin)


def _first_alone(text: str, speech_s: float, sayable: Sayable, limit: Limits) -> Decision:
    if not text:
        return _refused("", "no command in it")
    if not sayable.accepts(text):
        return _refused(text, "not a whole command")
    slow, quick = limit.letters_a_second
    if not slow * (speech_s - 1.0) <= length(text) <= quick * speech_s:
        return _refused(text, "does not fit the time it took")
    doubts = tuple(other for other in partners(text) if sayable.accepts(other))
    return Decision(text=text, accepted=True, reason="the first ear alone", doubts=doubts)


def _both(
    judgement: Judgement, evidence: Evidence, sayable: Sayable, limit: Limits, weights: Weights
) -> Decision:
    allowed = _meant([reading for reading in judgement.ranked if is_held(reading.text, sayable)], sayable)
    if not allowed:
        return _refused("", "no command in it" if judgement.address is None else "not addressed")
    proposal = evidence.proposed
    order = ranked(allowed, proposal, weights)
    best = order[0].reading
    numbers = dict(zip(COUNTING, counting(order, judgement, proposal, evidence.speech_s), strict=True))
    margin = numbers["margin"]
    needs_address = isinstance(sayable, Addressed) and sayable.needs_address
    if not numbers["freely"] and _is_longer_talk(best.text, judgement.free, limit):
        return _refused(best.text, "part of longer talk", margin)
    if (
        not numbers["freely"]
        and not needs_address
        and _is_plain_talk(best.text, margin, judgement.free, limit)
    ):
        return _refused(best.text, "plainly something else", margin)
    worded = tuple(one for one in order[1:] if not same_words(one.reading.text, best.text))
    others = tuple(one for one in worded if not same_meaning(one.reading, best))
    likely = chance(tuple(numbers.values()), weights)
    is_far = not needs_address and _is_far(best.text, margin, judgement.free, limit)
    is_poor = is_far or best.score < weights.poor
    if numbers["proposed"]:
        is_poor = is_far and margin < limit.farthest_margin
    is_half = likely < weights.least or is_poor
    if likely < weights.half or (is_half and not worded):
        return _refused(best.text, "explained better as free talk", margin)
    if is_half and needs_address:
        return _refused(best.text, "half understood outside the answer window", margin)
    if is_half:
        close, reason = (others or worded)[: limit.read_back], "half understood"
    else:
        alike = frozenset(partners(best.text))
        ways = () if numbers["freely"] else _said_plainly(judgement.free, limit)
        close = tuple(
            one
            for one in others
            if _is_near(order[0].worth - one.worth, one.reading.text, best.text, alike, weights.near)
            or any(same_words(one.reading.text, way) for way in ways)
        )
        reason = "ears agree" if numbers["proposed"] else "fits the sound best"
    doubts = tuple(one.reading.text for one in close)
    return Decision(text=best.text, accepted=True, reason=reason, doubts=doubts, margin=margin)


def _meant(readings: list[Scored], sayable: Sayable) -> list[Scored]:
    """The readings with what each of them means, where the sayable tells."""
    if not isinstance(sayable, Meaningful):
        return readings
    return [replace(reading, meaning=sayable.meaning(reading.text)) for reading in readings]


def _is_near(behind: float, text: str, best: str, alike: frozenset[str], near: Near) -> bool:
    """Whether another reading, so far behind in worth, is a doubt: further off where it sounds alike, or
    nearly so, and where numbers alone differ.
    """
    if text in alike:
        return behind < near.alike
    is_number = same_words(but_for_numbers(text), but_for_numbers(best))
    if behind < (near.number if is_number else near.other):
        return True
    return behind < near.alike and not is_number and nearly_alike(text, best)


def _said_plainly(free: Scored, limit: Limits) -> tuple[str, ...]:
    """What was heard without a grammar, as commands are written, where it was heard clearly."""
    return tuple(spelled(free.text)) if free.score > limit.clear_talk else ()


def _is_longer_talk(text: str, free: Scored, limit: Limits) -> bool:
    most = limit.longer * length(text) + limit.longer_letters
    return free.score > limit.clear_talk and length(free.text) > most


def _is_plain_talk(text: str, margin: float, free: Scored, limit: Limits) -> bool:
    is_longer = length(free.text) > length(text) + limit.longer_letters
    return is_longer and free.score > limit.plain_talk and margin < limit.plain_margin


def _is_far(text: str, margin: float, free: Scored, limit: Limits) -> bool:
    if length(free.text) > length(text) + limit.lacking_letters:
        least = limit.lacking_margin
    else:
        least = limit.far_margin if " " in text else limit.word_margin
    return free.score > limit.clear_talk and margin < least
