"""The phone net in JAX: the same numbers as `kitchend/hearing/phone_net.py` has, and a slope for each."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import jax
import jax.numpy as jnp
import numpy as np

from kitchend.hearing.mel import BANDS
from kitchend.hearing.phone_net import ACROSS, NEAR, SPREAD, STEP, WIDE
from kitchend.hearing.sounding import PHONES

THIN, BROAD, UP = 128, 192, 384
"""How many numbers a frame of 10 ms and one of 30 ms has, and the wide layer of a block."""

Arrays = Mapping[str, Any]


def beginning(seed: int = 0) -> dict[str, Any]:
    """A net that has learned nothing."""
    chance = np.random.default_rng(seed)
    found: dict[str, Any] = {}

    def layer(name: str, given: int, made: int, share: float = 1.0) -> None:
        found[f"{name}/weight"] = share * chance.normal(size=(given, made)) / np.sqrt(given)
        found[f"{name}/bias"] = np.zeros(made)

    def norm(name: str) -> None:
        found[f"{name}/gain"], found[f"{name}/offset"] = np.ones(BROAD), np.zeros(BROAD)

    layer("near", NEAR * BANDS, THIN)
    layer("wide", WIDE * THIN, BROAD)
    for block in range(len(SPREAD)):
        name = f"block_{block}"
        found[f"{name}/across"] = chance.normal(size=(ACROSS, BROAD)) / np.sqrt(ACROSS)
        norm(name)
        layer(f"{name}/up", BROAD, UP)
        layer(f"{name}/down", UP, BROAD, 0.3)
    norm("phones")
    layer("phones", BROAD, len(PHONES) + 1)
    return {name: jnp.asarray(value, jnp.float32) for name, value in found.items()}


def scores(net: Arrays, bands: Any) -> Any:
    """Mel bands over their mean, float32[n, frames, 80] -> float32[n, frames // 3, 40], not yet chances."""
    found = jax.nn.relu(_layer(net, "near", _seen(bands, NEAR, 1)))
    found = _layer(net, "wide", _seen(found, WIDE, STEP))
    for block, apart in enumerate(SPREAD):
        found = found + _block(net, f"block_{block}", found, apart)
    return _layer(net, "phones", _normed(net, "phones", found))


def _block(net: Arrays, name: str, given: Any, apart: int) -> Any:
    reach, count = ACROSS // 2 * apart, given.shape[1]
    padded, across = jnp.pad(given, ((0, 0), (reach, reach), (0, 0))), net[f"{name}/across"]
    mixed = sum(padded[:, place * apart : place * apart + count] * across[place] for place in range(ACROSS))
    thought = jax.nn.relu(_layer(net, f"{name}/up", _normed(net, name, mixed)))
    return _layer(net, f"{name}/down", thought)


def _layer(net: Arrays, name: str, given: Any) -> Any:
    return given @ net[f"{name}/weight"] + net[f"{name}/bias"]


def _normed(net: Arrays, name: str, given: Any) -> Any:
    off = given - given.mean(-1, keepdims=True)
    even = off * jax.lax.rsqrt((off * off).mean(-1, keepdims=True) + 1e-5)
    return even * net[f"{name}/gain"] + net[f"{name}/offset"]


def _seen(given: Any, width: int, step: int) -> Any:
    count = given.shape[1] // step
    padded = jnp.pad(given, ((0, 0), (width // 2, width // 2), (0, 0)))
    return jnp.concatenate([padded[:, place : place + count * step : step] for place in range(width)], -1)
