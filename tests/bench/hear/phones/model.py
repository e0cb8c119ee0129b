"""The phone net in JAX: the same numbers as `kitchend/hearing/phone_net.py` has, and a slope for each.

Slopes that are sums over all frames are written out as products with ones: XLA's own take half as long again
on a processor.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any

import jax
import jax.numpy as jnp
import numpy as np

from kitchend.hearing.mel import BANDS
from kitchend.hearing.phone_net import ACROSS, NEAR, SPREAD, STEP, WIDE
from kitchend.hearing.sounding import PHONES

THIN, BROAD, UP = 160, 288, 768
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
    mixed = _across(given, net[f"{name}/across"], apart)
    thought = jax.nn.relu(_layer(net, f"{name}/up", _normed(net, name, mixed)))
    return _layer(net, f"{name}/down", thought)


def _layer(net: Arrays, name: str, given: Any) -> Any:
    return _product(given, net[f"{name}/weight"], net[f"{name}/bias"])


def _normed(net: Arrays, name: str, given: Any) -> Any:
    off = given - given.mean(-1, keepdims=True)
    even = off * jax.lax.rsqrt((off * off).mean(-1, keepdims=True) + 1e-5)
    return _scaled(even, net[f"{name}/gain"], net[f"{name}/offset"])


def _seen(given: Any, width: int, step: int) -> Any:
    count = given.shape[1] // step
    padded = _around(given, width // 2)
    return jnp.concatenate([padded[:, place : place + count * step : step] for place in range(width)], -1)


def _around(given: Any, reach: int) -> Any:
    return jnp.pad(given, ((0, 0), (reach, reach), (0, 0)))


def _total(given: Any) -> Any:
    rows = given.reshape(-1, given.shape[-1])
    return (jnp.ones((1, len(rows)), rows.dtype) @ rows)[0]


@jax.custom_vjp  # type: ignore[untyped-decorator]
def _product(given: Any, weight: Any, bias: Any) -> Any:
    return given @ weight + bias


def _product_kept(given: Any, weight: Any, bias: Any) -> Any:
    return _product(given, weight, bias), (given, weight)


def _product_slopes(kept: Any, slope: Any) -> Any:
    given, weight = kept
    rows = given.reshape(-1, given.shape[-1])
    return slope @ weight.T, rows.T @ slope.reshape(-1, slope.shape[-1]), _total(slope)


_product.defvjp(_product_kept, _product_slopes)


@jax.custom_vjp  # type: ignore[untyped-decorator]
def _scaled(given: Any, gain: Any, offset: Any) -> Any:
    return given * gain + offset


def _scaled_kept(given: Any, gain: Any, offset: Any) -> Any:
    return _scaled(given, gain, offset), (given, gain)


def _scaled_slopes(kept: Any, slope: Any) -> Any:
    given, gain = kept
    return slope * gain, _total(slope * given), _total(slope)


_scaled.defvjp(_scaled_kept, _scaled_slopes)


@partial(jax.custom_vjp, nondiff_argnums=(2,))
def _across(given: Any, across: Any, apart: int) -> Any:
    count, padded = given.shape[1], _around(given, ACROSS // 2 * apart)
    return sum(padded[:, place * apart : place * apart + count] * across[place] for place in range(ACROSS))


def _across_kept(given: Any, across: Any, apart: int) -> Any:
    return _across(given, across, apart), (given, across)


def _across_slopes(apart: int, kept: Any, slope: Any) -> Any:
    given, across = kept
    count, padded = given.shape[1], _around(given, ACROSS // 2 * apart)
    places = [padded[:, place * apart : place * apart + count] for place in range(ACROSS)]
    return _across(slope, across[::-1], apart), jnp.stack([_total(place * slope) for place in places])


_across.defvjp(_across_kept, _across_slopes)
