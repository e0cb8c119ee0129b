"""How well the listener hears five dinners in kitchen noise, and what it makes of talk: `make bench-hearing`.

Prints a table, writes JSON and a plot. Nothing is asserted. `--small` is a sample that takes minutes. The
full form hears both parts, and figures say which they are of: choose on `tune`, believe `report`.
"""

from __future__ import annotations

import argparse
import json
import os
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, get_args

import numpy as np

from kitchend.core.perplexity import openness
from kitchend.hearing import Ears
from kitchend.hearing.ports import SAMPLE_RATE, Samples
from tests.bench.hear.chatter import Stretch, people, read_aloud
from tests.bench.hear.corpus import Part, phrases, scenes, share_of
from tests.bench.hear.cost import cost
from tests.bench.hear.kitchen import NOW, Kitchen, sayable_of, state_of
from tests.bench.hear.noise import Clip, clips, mixed, noise_folder, stretch
from tests.bench.hear.outcomes import Outcome, Share, is_in_grammar, moves_something, outcome
from tests.bench.hear.plot import plot
from tests.bench.hear.trials import RATIOS_DB, Trial, trials

CHATTER_RATIOS_DB = (None, 10.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How much of the corpus is heard."""

    phrases: int
    ratios: tuple[float | None, ...]
    talk_min: float
    people_min: float
    noise_min: float
    delays: int


FULL = Size(phrases=10_000, ratios=RATIOS_DB, talk_min=60, people_min=20, noise_min=30, delays=40)
SMALL = Size(phrases=30, ratios=(None, 10.0, 0.0), talk_min=2, people_min=1, noise_min=1, delays=8)


def main() -> None:
    """Measure, print, write."""
    wish = _wish()
    noises = clips(noise_folder(wish.noise))
    if not noises:
        print("no noise: name a folder of WAV files by --noise or KITCHEND_SOUNDS; only quiet is measured")
    size = SMALL if wish.small else FULL
    wish.out.mkdir(parents=True, exist_ok=True)
    parts: Sequence[Part] = wish.part or (["report"] if wish.small else ["tune", "report"])
    for part in parts:
        found: dict[str, Any] = {"part": part, "size": "small" if wish.small else "full", **_grammar()}
        print(f"\npart: {part}")
        for ears in wish.ears:
            found[ears] = measured(ears, part, size, noises, wish.cache)
            show(ears, found[ears])
        name = "hearing" if part == "report" else f"hearing-{part}"
        (wish.out / f"{name}.json").write_text(json.dumps(found, indent=1), encoding="utf-8")
        (wish.out / f"{name}.svg").write_text(plot({e: found[e] for e in wish.ears}), encoding="utf-8")
        print(f"grammar: perplexity {found['perplexity']}; written: {wish.out}/{name}.json, {name}.svg")


def _wish() -> argparse.Namespace:
    base = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    parser = argparse.ArgumentParser(prog="bench-hearing", description=__doc__)
    parser.add_argument("--small", action="store_true", help="a sample that takes minutes")
    parser.add_argument("--part", choices=get_args(Part), nargs="+", help="both, or report with --small")
    parser.add_argument("--ears", nargs="+", choices=("first", "second", "both"), default=["both", "first"])
    parser.add_argument("--noise", type=Path, help="folder of WAV files (or KITCHEND_SOUNDS)")
    parser.add_argument(
        "--cache", type=Path, default=base / "kitchend" / "bench", help="where speech is kept"
    )
    parser.add_argument("--out", type=Path, default=Path("build/hearing"))
    return parser.parse_args()


def _grammar() -> dict[str, Any]:
    """How open the grammars are, and which phrases of the corpus they do not hold."""
    open_ = [openness(sayable_of(scene, True).network()).perplexity for scene in scenes()]
    outside = [p for p in phrases() if not is_in_grammar(p, state_of(p.scene))]
    unheard = [p for p in phrases() if not sayable_of(p.scene, True).accepts(p.text)]
    return {
        "perplexity": round(sum(open_) / len(open_), 2),
        "phrases": len(phrases()),
        "outside_the_grammar": [f"{p.scene}: {p.text}" for p in outside],
        "not_listened_for": [f"{p.scene}: {p.text}" for p in unheard],
    }


def measured(ears: Ears, part: Part, size: Size, noises: Sequence[Clip], cache: Path) -> dict[str, Any]:
    """Everything about these ears."""
    kitchen = Kitchen(ears)
    listed = list(trials(part, noises, size.phrases, size.ratios))
    found = commands(kitchen, listed, cache)
    talk = [*read_aloud(part, size.talk_min, cache), *people(part, size.people_min)]
    for name, in_window in (("addressed", False), ("window", True)):
        found[f"talk_{name}"] = chatter(kitchen, talk, noises, part, in_window)
        if noises:
            found[f"noise_{name}"] = chatter(
                kitchen, [_noise(part, noises, size.noise_min)], (), part, in_window
            )
    kitchen.close()
    minute = _noise(part, noises, 1.0).sound if noises else None
    at_10 = [trial for trial in listed if trial.ratio_db in (10.0, None)]
    found["cost"] = cost(ears, at_10[:: max(1, len(at_10) // size.delays)][: size.delays], minute, cache)
    return found


def commands(kitchen: Kitchen, listed: Iterable[Trial], cache: Path) -> dict[str, Any]:
    """What came of the phrases, by ratio and by kind of noise, and a line for each that went wrong."""
    by_ratio: dict[str, Counter[str]] = defaultdict(Counter)
    by_kind: dict[str, Counter[str]] = defaultdict(Counter)
    failures: list[dict[str, Any]] = []
    for trial in listed:
        kitchen.expect(trial.phrase.scene, not trial.phrase.is_addressed)
        heard = kitchen.hear(trial.sound(cache))
        came = outcome(heard, trial.phrase, state_of(trial.phrase.scene), NOW)
        by_ratio[ratio_name(trial.ratio_db)][came.value] += 1
        if trial.clip is not None:
            by_kind[trial.clip.kind][came.value] += 1
        if came is not Outcome.RIGHT:
            failures.append(
                {"outcome": came.value, "said": trial.phrase.said, "text": heard.text,
                 "free": heard.free_text,
                 "reason": heard.reason, "ratio": ratio_name(trial.ratio_db), "voice": trial.speaker.name,
                 "kind": trial.clip.kind if trial.clip else None, "doubts": list(heard.doubts)}
            )  # fmt: skip
    return {"by_ratio": _shares(by_ratio), "by_kind": _shares(by_kind), "failures": failures}


def ratio_name(ratio_db: float | None) -> str:
    """A noise ratio as it is printed."""
    return "clean" if ratio_db is None else f"{ratio_db:g} dB"


def _shares(counted: dict[str, Counter[str]]) -> dict[str, Any]:
    return {name: _outcomes(counter) for name, counter in counted.items()}


def _outcomes(counter: Counter[str]) -> dict[str, Any]:
    total = counter.total()
    found: dict[str, Any] = {"of": total} | {came.value: counter[came.value] for came in Outcome}
    right = Share(hits=counter["right"], of=total)
    fine = Share(hits=counter["right"] + counter["asked back"], of=total)
    low, high = right.interval
    return found | {
        "right_share": round(right.value or 0.0, 4), "right_low": round(low, 4), "right_high": round(high, 4),
        "right_or_asked_share": round(fine.value or 0.0, 4),
    }  # fmt: skip


def chatter(
    kitchen: Kitchen, talk: Sequence[Stretch], noises: Sequence[Clip], part: Part, in_window: bool
) -> dict[str, Any]:
    """How often talk moves something: false actions, an hour, in quiet and in noise."""
    own = [clip for clip in noises if clip.part == part]
    hours, false = 0.0, 0
    let_in: list[dict[str, Any]] = []
    for number, one in enumerate(talk):
        scene = scenes()[number % len(scenes())]
        kitchen.expect(scene, in_window)
        clip = own[number % len(own)] if own and number % 2 else None
        sound = mixed(one.sound, clip, 10.0, one.name)
        hours += len(sound) / SAMPLE_RATE / 3600
        for heard in kitchen.hear_all(sound):
            if heard.accepted:
                moved = moves_something(heard, state_of(scene), NOW)
                false += moved
                let_in.append(
                    {"text": heard.text, "free": heard.free_text, "moved": moved, "noise": bool(clip)}
                )
    return {
        "minutes": round(hours * 60, 1), "false_actions": false, "an_hour": round(false / hours, 2),
        "at_most_an_hour": round(_at_most(false) / hours, 2), "let_in": let_in,
    }  # fmt: skip


def _at_most(count: int) -> float:
    """The largest mean that still gives so few events 5 times in 100 (exact Poisson bound)."""
    low, high = float(count), count + 20.0 + 4 * count**0.5
    for _ in range(60):
        mean = (low + high) / 2
        chance = sum(
            np.exp(-mean + i * np.log(mean) - sum(np.log(range(1, i + 1)))) for i in range(count + 1)
        )
        low, high = (mean, high) if chance > 0.05 else (low, mean)
    return float(high)


def _noise(part: Part, noises: Sequence[Clip], minutes: float) -> Stretch:
    """Noise alone, clip after clip, at the loudness a microphone has it."""
    own = [clip for clip in noises if clip.part == part]
    each: list[Samples] = []
    for number in range(round(minutes * 6)):
        noise = stretch(own[number % len(own)], 10 * SAMPLE_RATE, number)
        level = 0.02 * 10 ** (1.2 * (share_of("level", number) - 0.3))
        each.append((noise * level / max(float(np.sqrt(np.mean(noise**2))), 1e-6)).astype(np.float32))
    return Stretch(name="noise", sound=np.clip(np.concatenate(each), -1, 1))


def show(ears: str, found: dict[str, Any]) -> None:
    """The table of one listener."""
    print(
        f"\n{ears}\n{'':8}{'right':>18}{'+asked':>8}{'astray':>8}{'wrong':>8}{'moved':>8}{'missed':>8}{'of':>6}"
    )
    for name, row in found["by_ratio"].items():
        right = f"{row['right_share']:.1%} ({row['right_low']:.0%}-{row['right_high']:.0%})"
        print(
            f"{name:8}{right:>18}{row['right_or_asked_share']:>8.1%}{row['asked about something else']:>8}"
            f"{row['wrong, nothing moved']:>8}{row['wrong action']:>8}{row['missed']:>8}{row['of']:>6}"
        )
    kinds = (f"{kind} {row['right_share']:.0%}" for kind, row in found["by_kind"].items())
    print("right by noise:", ", ".join(kinds))
    for key in ("talk_addressed", "talk_window", "noise_addressed", "noise_window"):
        if row := found.get(key):
            rate = f"{row['an_hour']} an hour, at most {row['at_most_an_hour']}"
            count = f"{row['false_actions']} false actions in {row['minutes']} min"
            print(f"{key}: {count}, {rate}; let in {len(row['let_in'])}")
    print("cost:", ", ".join(f"{key} {value}" for key, value in found["cost"].items()), flush=True)


if __name__ == "__main__":
    main()
