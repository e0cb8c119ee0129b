"""What the whole rule makes of the evidence when its weights were fitted to other phrases.

    PYTHONPATH=. .venv/bin/python -m tests.bench.hear.held_out [both|plain|alone]

The phrases are dealt into ten parts by their words; each part is decided by weights fitted to the other nine.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from kitchend.hearing.accept import Decision, Evidence, Limits, decide
from kitchend.hearing.ports import Judgement
from tests.bench.hear.corpus import share_of
from tests.bench.hear.fit import ALONE, BOTH, PLAIN, Case, Kind, case_of, fitted

PARTS = 10
NAMED = {"both": BOTH, "plain": PLAIN, "alone": ALONE}
OUTCOMES = ("right", "asked back", "wrong", "missed")


@dataclass(frozen=True, slots=True)
class Line:
    """One phrase of the evidence: its words (none for talk), the noise, and what the ears made of it."""

    said: str | None
    ratio_db: float | None
    case: Case | None

    @property
    def part(self) -> int:
        """Which part it is dealt to; talk by what was heard of it."""
        heard = "" if self.case is None else self.case.free.text or self.case.readings[0].text
        words = self.said or heard
        return int(share_of("held out", words) * PARTS)


@dataclass(frozen=True, slots=True)
class All:
    """A sayable that holds whatever was read: the evidence has nothing else."""

    case: Case
    address: str = "hey kitchen"

    @property
    def needs_address(self) -> bool:
        """Whether it was heard outside the answer window."""
        return self.case.address is not None

    def accepts(self, text: str) -> bool:
        """All that was read, and nothing else."""
        return any(reading.text == text for reading in self.case.readings)

    def meaning(self, text: str) -> object:
        """What the evidence says that it means."""
        return next((one.meaning for one in self.case.readings if one.text == text), None)


def lines(kind: Kind = BOTH) -> tuple[Line, ...]:
    """All of them."""
    listed = (json.loads(line) for line in kind.evidence.read_text(encoding="utf-8").splitlines())
    return tuple(
        Line(
            said=line["said"],
            ratio_db=line.get("ratio_db"),
            case=case_of(line) if line["readings"] else None,
        )
        for line in listed
    )


def decisions(
    listed: tuple[Line, ...], limits: Limits | None = None, kind: Kind = BOTH
) -> Iterator[tuple[Line, Decision | None]]:
    """Each with what the rule makes of it."""
    for part in range(PARTS):
        weights = fitted((line.case for line in listed if line.case and line.part != part), kind)
        for line in listed:
            if line.part != part:
                continue
            case = line.case
            if case is None:
                yield line, None
                continue
            judgement = Judgement(ranked=case.readings, free=case.free, address=case.address)
            evidence = Evidence(speech_s=case.speech_s, proposed=case.proposed, judgement=judgement)
            yield line, decide(evidence, All(case), limits, weights)  # type: ignore[arg-type]


def outcome_of(line: Line, decision: Decision | None) -> str:
    """What became of a phrase: right, asked back (rightly), wrong or missed."""
    if decision is None or not decision.accepted:
        return "missed"
    right = {reading.text for reading in line.case.right} if line.case else set()
    if not decision.doubts:
        return "right" if decision.text in right else "wrong"
    return "asked back" if right & {decision.text, *decision.doubts} else "missed"


def main() -> None:
    """Print the table."""
    kind = NAMED[sys.argv[1]] if len(sys.argv) > 1 else BOTH
    by_ratio: dict[str, Counter[str]] = {}
    for line, decision in decisions(lines(kind), kind=kind):
        row = "talk" if line.said is None else "clean" if line.ratio_db is None else f"{line.ratio_db:g} dB"
        outcome = outcome_of(line, decision)
        by_ratio.setdefault(row, Counter())[outcome] += 1
        if outcome == "wrong" and decision is not None:
            print(f"wrong: {line.said!r} ({row}) as {decision.text!r}")
    print(f"{'':8}" + "".join(f"{name:>12}" for name in OUTCOMES))
    for row, counts in by_ratio.items():
        print(f"{row:8}" + "".join(f"{counts[name]:12}" for name in OUTCOMES) + f"  of {counts.total()}")


if __name__ == "__main__":
    main()
