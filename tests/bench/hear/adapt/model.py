"""Whisper base in JAX, forwards, with additions: the same numbers as CTranslate2 has, and a slope for each.

A. Radford et al. 2022, "Robust Speech Recognition via Large-Scale Weak Supervision": an encoder of two
convolutions and six layers, a decoder of six, layer norms before what they norm. Weights have the names
that they have in CTranslate2's file.
"""

from __future__ import annotations

import struct
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import jax
import jax.numpy as jnp
import numpy as np

LAYERS, HEADS = 6, 8
_TYPES = {0: np.float32, 1: np.int8, 2: np.int16, 3: np.int32, 4: np.float16}
_FAR = -1e9

Arrays = Mapping[str, Any]


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
    """Additions to the encoder that change nothing yet: low-rank to its matrices, plain to its norms."""
    chance = np.random.default_rng(0)
    added: dict[str, Any] = {}
    for name, weight in model.items():
        if name.startswith("encoder/") and name.endswith("/weight"):
            inputs = int(np.prod(weight.shape[1:]))
            down = chance.normal(size=(rank, inputs)) / np.sqrt(inputs)
            added[f"{name}|down"] = down.astype(np.float32)
            added[f"{name}|up"] = np.zeros((weight.shape[0], rank), np.float32)
        elif name.startswith("encoder/") and name.endswith(("/gamma", "/beta")):
            added[f"{name}|plus"] = np.zeros_like(weight)
    return added


def losses(added: Arrays, model: Arrays, mel: Any, ids: Any, counts: Any) -> Any:
    """Minus the log probability of each token after the first, where it counts.

    `mel` float32[n, 80, frames], `ids` int[n, tokens], `counts` float32[n, tokens] of 0 and 1.
    """
    scores = jax.nn.log_softmax(_decoded(added, model, ids[:, :-1], _encoded(added, model, mel)), -1)
    said = jnp.take_along_axis(scores, ids[:, 1:, None], -1)[..., 0]
    return -said * counts[:, 1:]


def _encoded(added: Arrays, model: Arrays, mel: Any) -> Any:
    found = _gelu(_convolved(added, model, "encoder/conv1", mel, 1))
    found = _gelu(_convolved(added, model, "encoder/conv2", found, 2)).swapaxes(1, 2)
    found = found + model["encoder/position_encodings/encodings"][: found.shape[1]]
    for layer in range(LAYERS):
        name = f"encoder/layer_{layer}/"
        found = found + _looking_around(added, model, name, found, None)
        found = found + _thought(added, model, name, found)
    return _normed(added, model, "encoder/layer_norm", found)


def _decoded(added: Arrays, model: Arrays, ids: Any, view: Any) -> Any:
    count = ids.shape[1]
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
        keys, values = jnp.split(_linear(added, model, f"{name}attention/linear_1", view), 2, -1)
        seen = _attention(asked, keys, values, None)
        found = found + _linear(added, model, f"{name}attention/linear_2", seen)
        found = found + _thought(added, model, name, found)
    return _normed(added, model, "decoder/layer_norm", found) @ model["decoder/embeddings/weight"].T


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
