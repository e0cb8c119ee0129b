"""Whisper base in JAX, forwards, with additions: the same numbers as CTranslate2 has, and a slope for each.

A. Radford et al. 2022, "Robust Speech Recognition via Large-Scale Weak Supervision": an encoder of two
convolutions and six layers, a decoder of six, layer norms before what they norm. Weights have the names
that they have in CTranslate2's file.
"""

from __future__ import annotations

import struct
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

import jax
import jax.numpy as jnp
import numpy as np

from kitchend.hearing.whisper_ear import AT_HOME

LAYERS, HEADS = 6, 8
_TYPES = {0: np.float32, 1: np.int8, 2: np.int16, 3: np.int32, 4: np.float16}
_FAR = -1e9

SHARPNESS = 3.0
"""By how much a lead in score counts in what is lost to rivals."""

Arrays = Mapping[str, Any]


class At(NamedTuple):
    """Where the tokens that count are, int[m] each: their places among all, what they are, whose they are.

    `is_said` and `is_word` say with 1 and 0 which are of what was said, and of any text but its end.
    """

    places: Any
    tokens: Any
    rows: Any
    is_said: Any
    is_word: Any


class Batch(NamedTuple):
    """Sounds, mel bands float32[n, 80, frames], and for each as many texts, what was said first.

    `ids` is int[n * texts, tokens], `words` float32[n * texts] how many tokens of it are words, and
    `is_there` bool[n, texts] which texts there are.
    """

    mel: Any
    ids: Any
    at: At
    words: Any
    is_there: Any


def weights(file: Path) -> dict[str, Any]:
    """The weights of a model file of version 6, float32, with the second names that some have."""
    whole, at = file.read_bytes(), 0

    def number(kind: str) -> int:
        nonlocal at
        (found,) = struct.unpack_from(f"<{kind}", whole, at)
        at += struct.calcsize(kind)
        return int(found)

    def text() -> str:
        nonlocal at
        size = number("H")
        at += size
        return whole[at - size : at - 1].decode()

    number("I"), text(), number("I")
    found: dict[str, Any] = {}
    for _ in range(number("I")):
        name = text()
        shape = [number("I") for _ in range(number("B"))]
        kind, size = _TYPES[number("B")], number("I")
        values = np.frombuffer(whole, kind, size // np.dtype(kind).itemsize, at).reshape(shape)
        found[name] = values.astype(np.float32)
        at += size
    for _ in range(number("I")):
        alias = text()
        found[alias] = found[text()]
    return found


def beginning(model: Arrays, rank: int) -> dict[str, Any]:
    """Additions that change nothing yet: low-rank to matrices, plain to the encoder's norms.

    They are for the encoder and for how the decoder looks at what it encoded: what the decoder knows of
    language stays as it was.
    """
    chance = np.random.default_rng(0)
    added: dict[str, Any] = {}
    for name, weight in model.items():
        is_looking = name.startswith("decoder/") and "/attention/" in name
        if (name.startswith("encoder/") or is_looking) and name.endswith("/weight"):
            inputs = int(np.prod(weight.shape[1:]))
            down = chance.normal(size=(rank, inputs)) / np.sqrt(inputs)
            added[f"{name}|down"] = down.astype(np.float32)
            added[f"{name}|up"] = np.zeros((weight.shape[0], rank), np.float32)
        elif name.startswith("encoder/") and name.endswith(("/gamma", "/beta")):
            added[f"{name}|plus"] = np.zeros_like(weight)
    return added


def losses(added: Arrays, model: Arrays, batch: Batch) -> tuple[Any, Any]:
    """What is lost on a batch: minus the mean log probability of what was said, and how near rivals come.

    Rivals are other commands for the same sound. Each text's score is the mean log probability of its words'
    tokens, as the second ear ranks by; lost is minus the log of the share of what was said among them.
    """
    scores, at = token_scores(added, model, batch), batch.at
    means = jax.ops.segment_sum(scores * at.is_word, at.rows, len(batch.ids)) / batch.words
    ways = jnp.where(batch.is_there, means.reshape(len(batch.mel), -1), _FAR)
    plain = -(scores * at.is_said).sum() / at.is_said.sum()
    return plain, -jax.nn.log_softmax(SHARPNESS * ways, -1)[:, 0].mean()


def token_scores(added: Arrays, model: Arrays, batch: Batch) -> Any:
    """The log probability of each token that counts, float32[m]."""
    hidden = _decoded(added, model, batch.ids[:, :-1], _encoded(added, model, batch.mel))
    kept = hidden.reshape(-1, hidden.shape[-1])[batch.at.places] @ model["decoder/embeddings/weight"].T
    found = jnp.take_along_axis(kept, batch.at.tokens[:, None], -1)[:, 0]
    return found - jax.nn.logsumexp(kept, -1)


def _encoded(added: Arrays, model: Arrays, mel: Any) -> Any:
    found = _gelu(_convolved(added, model, "encoder/conv1", mel, 1))
    found = _gelu(_convolved(added, model, "encoder/conv2", found, 2)).swapaxes(1, 2)
    found = found + model["encoder/position_encodings/encodings"][: found.shape[1]]
    for layer in range(LAYERS):
        name = f"encoder/layer_{layer}/"
        found = found + _looking_around(added, model, name, found, None)
        found = found + _thought(added, model, name, found)
    return _normed(added, model, "encoder/layer_norm", found)[:, :: AT_HOME.every]


def _decoded(added: Arrays, model: Arrays, ids: Any, view: Any) -> Any:
    """What the decoder makes of each token, before it is compared with the vocabulary; rows view by view."""
    count, times = ids.shape[1], len(ids) // len(view)
    later = jnp.triu(jnp.full((count, count), _FAR), 1)
    found = model["decoder/embeddings/weight"][ids]
    found = found + model["decoder/position_encodings/encodings"][:count]
    for layer in range(LAYERS):
        name = f"decoder/layer_{layer}/"
        found = found + _looking_around(added, model, name, found, later)
        asked = _linear(
            added,
            model,
            f"{name}attention/linear_0",
            _normed(added, model, f"{name}attention/layer_norm", found),
        )
        seen_as = jnp.repeat(_linear(added, model, f"{name}attention/linear_1", view), times, 0)
        keys, values = jnp.split(seen_as, 2, -1)
        seen = _attention(asked, keys, values, None)
        found = found + _linear(added, model, f"{name}attention/linear_2", seen)
        found = found + _thought(added, model, name, found)
    return _normed(added, model, "decoder/layer_norm", found)


def _looking_around(added: Arrays, model: Arrays, name: str, found: Any, mask: Any) -> Any:
    normed = _normed(added, model, f"{name}self_attention/layer_norm", found)
    asked, keys, values = jnp.split(_linear(added, model, f"{name}self_attention/linear_0", normed), 3, -1)
    return _linear(added, model, f"{name}self_attention/linear_1", _attention(asked, keys, values, mask))


def _thought(added: Arrays, model: Arrays, name: str, found: Any) -> Any:
    normed = _normed(added, model, f"{name}ffn/layer_norm", found)
    wide = _gelu(_linear(added, model, f"{name}ffn/linear_0", normed))
    return _linear(added, model, f"{name}ffn/linear_1", wide)


def _attention(asked: Any, keys: Any, values: Any, mask: Any) -> Any:
    asked, keys, values = (_by_head(part) for part in (asked, keys, values))
    fit = jnp.einsum("bhqd,bhkd->bhqk", asked, keys) / np.sqrt(asked.shape[-1])
    if mask is not None:
        fit = fit + mask
    seen = jnp.einsum("bhqk,bhkd->bhqd", jax.nn.softmax(fit, -1), values)
    return seen.swapaxes(1, 2).reshape(seen.shape[0], seen.shape[2], -1)


def _by_head(part: Any) -> Any:
    return part.reshape(*part.shape[:-1], HEADS, -1).swapaxes(-2, -3)


def _linear(added: Arrays, model: Arrays, name: str, given: Any) -> Any:
    found = given @ model[f"{name}/weight"].T
    if f"{name}/weight|up" in added:
        found = found + (given @ added[f"{name}/weight|down"].T) @ added[f"{name}/weight|up"].T
    return found + model[f"{name}/bias"]


def _normed(added: Arrays, model: Arrays, name: str, given: Any) -> Any:
    off = given - given.mean(-1, keepdims=True)
    even = off * jax.lax.rsqrt((off * off).mean(-1, keepdims=True) + 1e-5)
    gain = model[f"{name}/gamma"] + added.get(f"{name}/gamma|plus", 0.0)
    return even * gain + model[f"{name}/beta"] + added.get(f"{name}/beta|plus", 0.0)


def _convolved(added: Arrays, model: Arrays, name: str, given: Any, stride: int) -> Any:
    weight = model[f"{name}/weight"]
    if f"{name}/weight|up" in added:
        weight = weight + (added[f"{name}/weight|up"] @ added[f"{name}/weight|down"]).reshape(weight.shape)
    sizes = ("NCH", "OIH", "NCH")
    found = jax.lax.conv_general_dilated(given, weight, (stride,), [(1, 1)], dimension_numbers=sizes)
    return found + model[f"{name}/bias"][:, None]


def _gelu(given: Any) -> Any:
    return jax.nn.gelu(given, approximate=False)
