"""The accept rule: what the ears made of a phrase becomes a command, a command in doubt, or nothing.

With a second ear the best command must explain the sound nearly as well as free text does; the first ear's
agreement counts in its favour. With the first ear alone a whole command is taken and every number that is
easily mistaken is doubted. Refusing changes nothing, so what is unclear is refused. Pure: texts and numbers
in, a verdict out; the limits were set by measurement over synthetic speech and kitchen noise.
"""

from dataclasses import dataclass

from kitchend.core.names import without_articles
from kitchend.hearing.numbers import NUMBER_WORDS, partners, spelled
from kitchend.hearing.ports import Judgement, Sayable, Scored
from kitchend.hearing.shortlist import likeness, same_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Mean log probabilities and lengths in which the rule thinks."""

    least_margin: float = -2.2
    agreement: float = 0.8  # what the first ear's agreement adds to the margin
    proposed: float = 0.6  # what it adds when readings are ranked
    resembled: float = 2.0  # what each part of likeness to the free text beyond `alike` adds
    alike: float = 0.6
    doubt: float = 0.4  # readings nearer than this to the best are doubts
    clear_talk: float = -1.0  # a free text above this is clear enough to compare lengths with
    longer: float = 1.6  # free talk this many times as long as the command, and
    longer_letters: int = 6  # this many letters more, is not the command
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


def decide(evidence: Evidence, sayable: Sayable, limits: Limits | None = None) -> Decision:
    """Apply the rule."""
    limit = limits or Limits()
    if evidence.speech_s < limit.least_s:
        return _refused("", "too short")
    if evidence.speech_s > limit.longest_s:
        return _refused("", "too long for a command")
    if evidence.judgement is None:
        return _first_alone(evidence.proposed or "", evidence.speech_s, sayable, limit)
    return _both(evidence.judgement, evidence.proposed, sayable, limit)


def _refused(text: str, reason: str, margin: float | None = None) -> Decision:
    return Decision(text=text, accepted=False, reason=reason, margin=margin)


def _first_alone(text: str, speech_s: float, sayable: Sayable, limit: Limits) -> Decision:
    if not text:
        return _refused("", "no command in it")
    if not sayable.accepts(text):
        return _refused(text, "not a whole command")
    slow, quick = limit.letters_a_second
    if not slow * (speech_s - 1.0) <= len(text) <= quick * speech_s:
        return _refused(text, "does not fit the time it took")
    doubts = tuple(other for other in partners(text) if sayable.accepts(other))
    return Decision(text=text, accepted=True, reason="the first ear alone", doubts=doubts)


def _both(judgement: Judgement, proposal: str | None, sayable: Sayable, limit: Limits) -> Decision:
    ranked = [reading for reading in judgement.ranked if sayable.accepts(reading.text)]
    if not ranked:
        return _refused("", "no command in it")

    def worth(reading: Scored) -> float:
        return reading.score + limit.proposed * same_words(reading.text, proposal)

    ranked.sort(key=worth, reverse=True)
    best = ranked[0]
    agrees = same_words(best.text, proposal)
    is_said_freely = any(same_words(best.text, way) for way in spelled(judgement.free.text))
    margin = best.score - judgement.free.score
    margin = max(margin, 0.0) if is_said_freely else margin
    if not is_said_freely and _is_longer_talk(best.text, judgement.free, limit):
        return _refused(best.text, "part of longer talk", margin)
    credit = limit.agreement * agrees + _resemblance(best.text, judgement.free.text, limit)
    if margin + credit < limit.least_margin:
        return _refused(best.text, "explained better as free talk", margin)
    close = (reading.text for reading in ranked[1:] if worth(reading) > worth(best) - limit.doubt)
    doubts = tuple(text for text in close if not same_words(text, best.text))
    reason = "ears agree" if agrees else "fits the sound best"
    return Decision(text=best.text, accepted=True, reason=reason, doubts=doubts, margin=margin)


def _resemblance(text: str, free: str, limit: Limits) -> float:
    """Credit for being spelled much like the free text; none for numbers: "is nice" is not "is ninety"."""
    if not NUMBER_WORDS.isdisjoint(text.split()):
        return 0.0
    alike = max(
        (likeness(without_articles(text), without_articles(way)) for way in spelled(free)), default=0.0
    )
    return limit.resembled * max(0.0, alike - limit.alike)


def _is_longer_talk(text: str, free: Scored, limit: Limits) -> bool:
    most = limit.longer * len(text) + limit.longer_letters
    return free.score > limit.clear_talk and len(free.text) > most
