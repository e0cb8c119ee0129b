"""What readings of a phrase are judged by, as numbers, and the weights these numbers have.

`ranking` compares the readings of one phrase; `counting` says whether the best of them counts as a command.
The weights are fitted to spoken phrases and talk by a script in tests/bench/hear, which writes `worth.json`,
`worth-plain.json` for Whisper as it came and `worth-alone.json` for the phone ear in its place. Pure but for
reading these files once.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from math import exp, log
from pathlib import Path

from kitchend.hearing.homophones import sound_alike
from kitchend.hearing.letters import length
from kitchend.hearing.numbers import spelled
from kitchend.hearing.ports import Judgement, Scored
from kitchend.hearing.search import apart
from kitchend.hearing.shortlist import same_words
from kitchend.hearing.weights import ADAPTED

RANKING = (
    "score",
    "total",
    "share",
    "apart",
    "proposed",
    "unlike_proposed",
    "blind",
    "blind_total",
    "phones",
)
COUNTING = (
    "one", "margin", "total_margin", "score", "over_blind", "total_over_blind", "lead", "apart", "share",
    "proposed", "unlike_proposed", "pace", "freely", "longer", "addressed", "address",
    "phones", "phones_total",
)  # fmt: skip
"""The names of the numbers, in their order."""

_CHEAP = -2.0
"""The blind score of what was not asked: as if it were said by itself again and again."""
_UNASKED, _FURTHEST = -1.0, -4.0
"""How far phones are from the likeliest where nobody asked, and at most."""
_LETTERS_A_SECOND = 14.0
_FREE_LEAD = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Near:
    """How near in worth a reading must come to be a doubt: any, one that differs in a number alone, and one
    whose number sounds alike.
    """

    other: float
    number: float
    alike: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """What each number weighs, and from which chance on a reading counts, or is asked about.

    What fits the sound worse than `poor` (log probability a token) counts only where the ears agree. Readings
    nearer in worth to the best than `near` are doubts.
    """

    ranking: tuple[float, ...]
    counting: tuple[float, ...]
    least: float
    half: float
    poor: float = -99.0
    near: Near = field(default_factory=lambda: Near(other=0.5, number=0.9, alike=1.6))


LEAST: Mapping[str, float] = {"ko": 0.6}
"""From which chance on a reading counts, where a language has another than the weights were fitted to.

Korean by espeak-ng, both ears, no noise, 14 commands and 8 sentences of talk: right ones came out at 0.62 and
more but for one, the likeliest wrong one without a number at 0.31. Few, and the same that it was chosen on;
by the weights before these, with which 5 of 5 commands counted and 2 of 2 sentences of talk did not.
"""


@cache
def shipped(language: str = "en", *, is_adapted: bool = True) -> Weights:
    """The weights fitted to what the second ear makes of English, adapted to kitchens or as it came.

    For another language, which has no adapted ear, `least` may differ.
    """
    name = "worth.json" if is_adapted and language in ADAPTED else "worth-plain.json"
    fitted = read(Path(__file__).with_name(name))
    return replace(fitted, least=LEAST.get(language, fitted.least))


@cache
def shipped_alone() -> Weights:
    """The weights fitted to what the first ear makes of English without a second."""
    return read(Path(__file__).with_name("worth-alone.json"))


def read(file: Path) -> Weights:
    """Weights from a file that names them."""
    found = json.loads(file.read_text(encoding="utf-8"))
    return Weights(
        ranking=tuple(found["ranking"][name] for name in RANKING),
        counting=tuple(found["counting"][name] for name in COUNTING),
        least=found["least"],
        half=found["half"],
        poor=found["poor"],
        near=Near(**found["near"]),
    )


def ranking(reading: Scored, proposed: str | None) -> tuple[float, ...]:
    """The numbers by which a reading is compared with others of the phrase."""
    blind = _CHEAP if reading.blind is None else reading.blind
    return (
        reading.score,
        reading.score * reading.tokens / 10,
        reading.log_share / 5,
        reading.apart,
        float(same_words(reading.text, proposed)),
        apart(reading.text, proposed) if proposed else 1.0,
        blind,
        blind * reading.tokens / 10,
        _phones(reading),
    )


def _phones(reading: Scored) -> float:
    return _UNASKED if reading.phones is None else max(reading.phones, _FURTHEST)


def worth(numbers: Sequence[float], weights: Sequence[float]) -> float:
    """Their weighted sum."""
    return sum(number * weight for number, weight in zip(numbers, weights, strict=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """A reading with its worth."""

    reading: Scored
    worth: float


def ranked(readings: Sequence[Scored], proposed: str | None, weights: Weights) -> tuple[Ranked, ...]:
    """The readings, the worthiest first."""
    valued = (
        Ranked(reading=reading, worth=worth(ranking(reading, proposed), weights.ranking))
        for reading in readings
    )
    return tuple(sorted(valued, key=lambda one: -one.worth))


def same_meaning(one: Scored, other: Scored) -> bool:
    """Whether two readings are the same words, or two ways to say one thing: no rivals, nothing to ask."""
    is_known = one.meaning is not None and one.meaning == other.meaning
    return is_known or same_words(one.text, other.text)


def counting(
    order: Sequence[Ranked], judgement: Judgement, proposed: str | None, speech_s: float
) -> tuple[float, ...]:
    """The numbers by which the first of the ranked readings counts or not."""
    best, free = order[0].reading, judgement.free
    blind = best.score - 3.0 if best.blind is None else best.blind
    others = [one.worth for one in order[1:] if not same_meaning(one.reading, best)]
    freely = any(same_words(best.text, way) or sound_alike(best.text, way) for way in spelled(free.text))
    margin = max(best.score - free.score, 0.0) if freely else best.score - free.score
    return (
        1.0,
        margin,
        min(margin * best.tokens, 0.0) / 10,
        best.score,
        best.score - blind,
        (best.score - blind) * best.tokens / 10,
        min(order[0].worth - max(others, default=order[0].worth - _FREE_LEAD), _FREE_LEAD),
        best.apart,
        best.log_share / 5,
        float(same_words(best.text, proposed)),
        apart(best.text, proposed) if proposed else 1.0,
        abs(log(max(length(best.text), 1) / (_LETTERS_A_SECOND * max(speech_s, 0.1)))),
        float(freely),
        max(0.0, log(max(length(free.text.strip()), 1) / max(length(best.text), 1))) * (free.score > -1.0),
        float(judgement.address is not None),
        judgement.address or 0.0,
        _phones(best),
        _phones(best) * length(best.text) / 10,
    )


def chance(numbers: Sequence[float], weights: Weights) -> float:
    """How likely the best reading was meant, 0 to 1."""
    value = worth(numbers, weights.counting)
    return 1 / (1 + exp(-value)) if value > -50 else 0.0
