"""Which of Whisper's tokens English needs; writes `kitchend/hearing/vocabulary-en.npy`.

    PYTHONPATH=. .venv/bin/python -m tests.bench.hear.adapt.vocabulary

Those of common words (`words`); of foods and of what is done to them, and the same with a capital, as they
begin a command (wordnet-base: the nouns for food and the verbs of change and contact in Princeton's WordNet
3.0); those that quotations have five times (fortunes); of what can be said to kitchend, and of the demo
plans; digits and signs; every single byte; and whatever these are put together from. A check holds the
shipped file to this where the four packages are.
"""

from __future__ import annotations

import argparse
import json
import re
from collections import Counter
from collections.abc import Collection, Iterable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from tokenizers import Tokenizer

from kitchend.core.names import spoken
from kitchend.files.plan_yaml import read_plan
from kitchend.hearing.vocabulary import TOKENS, VOCABULARY, parts_of
from kitchend.hearing.weights import whisper_folder
from kitchend.service.full_swing import in_full_swing, sayable_in_full_swing
from kitchend.service.listening_back import dinner_of
from kitchend.service.settings import settings_for
from tests.bench.hear.adapt.lessons import FORTUNES, PLANS
from tests.bench.hear.adapt.words import common
from tests.bench.hear.kitchen import NOW

WORDNET = Path("/usr/share/wordnet")
KINDS = {"data.noun": ("13",), "data.verb": ("30", "35")}
"""Files of WordNet, and the lexicographers' numbers of food, change and contact."""
OFTEN = 5
"""How often the quotations have a token at least."""


def kept() -> NDArray[np.bool_]:
    """bool[51865]: whether a token is kept. OSError where a source is missing."""
    folder = whisper_folder(language="")  # no language's: as it came
    whole = json.loads((folder / "tokenizer.json").read_text("utf-8"))
    cut = partial(_cut, Tokenizer.from_file(str(folder / "tokenizer.json")))
    ids: dict[str, int] = whole["model"]["vocab"]
    quoted = Counter(token for line in _quotations() for token in cut([line]))
    said = {*_said(), *_kitchen()}
    found = {token for token, count in quoted.items() if count >= OFTEN}
    found |= set(cut(f" {word}" for word in {*common(), *said}))
    found |= set(cut(f" {word.capitalize()}" for word in said))
    found |= {number for token, number in ids.items() if _is_plain(token)}
    closed = _closed({token for token, number in ids.items() if number in found}, whole["model"]["merges"])
    keep = np.ones(TOKENS, bool)
    for token, number in ids.items():
        keep[number] = token in closed
    return keep


def _cut(tokens: Any, texts: Iterable[str]) -> Iterator[int]:
    for text in texts:
        yield from tokens.encode(text, add_special_tokens=False).ids


def _is_plain(token: str) -> bool:
    """A single byte, nothing, or digits and signs; a space is written as Ġ."""
    return len(token) < 2 or re.fullmatch(r"Ġ?[!-@\[-`{-~]+", token) is not None


def _closed(tokens: Collection[str], merges: Iterable[Any]) -> set[str]:
    """The tokens with all that they are merged from."""
    closed = set(tokens)
    for first, second in reversed([parts_of(pair) for pair in merges]):
        if first + second in closed:
            closed |= {first, second}
    return closed


def _kitchen() -> Iterator[str]:
    for name, kinds in KINDS.items():
        for line in (WORDNET / name).read_text("utf-8").splitlines():
            parts = line.split()
            if len(parts) > 4 and parts[1] in kinds:
                names = parts[4 : 4 + 2 * int(parts[3], 16) : 2]
                yield from re.findall("[a-z]+", " ".join(names).lower())


def _quotations() -> Iterator[str]:
    for file in sorted(FORTUNES.iterdir()):  # a folder that is missing is an error, an empty glob is none
        if file.suffix == ".u8":
            yield from file.read_text("utf-8", "ignore").splitlines()


def _said() -> Iterator[str]:
    """The words of all that can be said in full swing of every English demo dinner, and of their plans."""
    for file in sorted(PLANS.glob("*.yaml")):
        state = in_full_swing(dinner_of(file, settings_for(None), NOW), NOW)
        yield from sayable_in_full_swing(state, NOW, in_window=True).words()
        plan = read_plan(file)
        yield from spoken(" ".join([plan.name, *(step.name for step in plan.steps)])).split()


def main() -> None:
    """Write the file, and say how many there are."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, default=VOCABULARY)
    wish = parser.parse_args()
    keep = kept()
    np.save(wish.out, np.packbits(keep))
    print(f"{keep.sum()} of {TOKENS} tokens are kept")


if __name__ == "__main__":
    main()
