"""The tokens that English needs, and a model's small files without the others.

Whisper's vocabulary is that of a hundred languages: 51,865 tokens, of which English words begin and are made
of some twenty thousand. To compare each position with all of them is a third of what scoring costs, so the
adapted model keeps these and all special ones. Every single byte stays, so that any text can still be
written; a word whose token is gone is written in smaller pieces. A script in tests/bench/hear made the list.
"""

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

Ids = NDArray[np.int64]

VOCABULARY = Path(__file__).with_name("vocabulary-en.npy")
"""uint8[n]: a bit for each token, 1 if it is kept."""
EMBEDDINGS, ROW_BYTES = "decoder/embeddings/weight", 1024
"""The weight that has a row of float16[512] for each token; what tokens are chosen by is the same one."""
TOKENS = 51_865
_IDS = ("lang_ids", "suppress_ids", "suppress_ids_begin")
"""The lists of tokens in config.json."""


@cache
def kept_tokens(file: Path = VOCABULARY) -> Ids:
    """The ids of the tokens that are kept, in their order: what is now the first was the smallest."""
    return np.flatnonzero(np.unpackbits(np.load(file))[:TOKENS])


def config(whole: Mapping[str, Any], kept: Ids) -> dict[str, Any]:
    """config.json for the tokens that are kept."""
    new = _new_ids(kept)
    return {
        name: [new[old] for old in value if old in new] if name in _IDS else value
        for name, value in whole.items()
    }


def vocabulary(whole: Sequence[str], kept: Ids) -> list[str]:
    """vocabulary.json: the tokens that are kept."""
    return [whole[old] for old in kept]


def tokenizer(whole: Mapping[str, Any], kept: Ids) -> dict[str, Any]:
    """tokenizer.json: byte pair encoding with the merges that lead to tokens that are kept."""
    new, model = _new_ids(kept), whole["model"]
    tokens = {token: new[old] for token, old in model["vocab"].items() if old in new}
    merges = [pair for pair in model["merges"] if is_merge_of(pair, tokens)]
    added = [token | {"id": new[token["id"]]} for token in whole["added_tokens"] if token["id"] in new]
    after = whole["post_processor"]
    special = {
        name: token | {"ids": [new[old] for old in token["ids"]]}
        for name, token in after["special_tokens"].items()
    }
    return {
        **whole,
        "added_tokens": added,
        "post_processor": after | {"special_tokens": special},
        "model": model | {"vocab": tokens, "merges": merges},
    }


def parts_of(pair: str | Sequence[str]) -> tuple[str, str]:
    """The two tokens that a merge puts together; they are written as one text or as two."""
    first, second = pair.split(" ") if isinstance(pair, str) else pair
    return first, second


def is_merge_of(pair: str | Sequence[str], tokens: Mapping[str, int]) -> bool:
    """Whether a merge is of these tokens and leads to one of them."""
    first, second = parts_of(pair)
    return first in tokens and second in tokens and first + second in tokens


def _new_ids(kept: Ids) -> dict[int, int]:
    return {int(old): new for new, old in enumerate(kept)}
