"""The forecast: readings of a core and a target become a moment with its spread, or "cannot tell yet".

`forecast` is the one door. Readings are kept by whoever asks; all moments are seconds on the caller's running
clock. A moment is given only when the readings decide it: the core has risen, and the spread is
not as long as the time itself. On a plateau nothing is promised until the rise resumes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from scipy.special import ndtri

from kitchend.core.forecasts import Outlook
from kitchend.core.quantities import COLDEST_C, HOTTEST_C
from kitchend.doneness.conduction import Floats, Shape
from kitchend.doneness.core_model import (
    CONDUCTIVITY,
    LOG_TD,
    Course,
    Pieces,
    Scene,
    air_of,
    core_of,
    half_m,
    lived,
)
from kitchend.doneness.fit import MISFIT_C, Data, Ensemble, fitted, prior_for
from kitchend.doneness.resting import REST_S, ROOM_C, bounded, rise_at_rest

READING_C = 0.5
"""The noise of a kitchen probe, one standard deviation."""
BINS = 24
LEAST_RISE_C = 4.0
LEAST_SHARE = 0.12
"""The core has risen when it is up by 4 C and an eighth of the way: the first half hour decides nothing."""
WRONG = 0.18
"""How far a moment that is told is expected to be off at most, as a share of the time left."""
FAR, FAR_SHARE = 0.45, 0.02
"""Nor is one told where, for more of the candidates than this share, it is off by nearly half of the true
time left: mostly those whose plateau is still ahead."""
STRAINED = 3.0
"""Where the best candidate leaves so much of the readings (`Ensemble.strain`), they count for as much less as
that asks for: a piece that is not as the model has it gets a wider range. Where none follows them even so,
none is told."""
LATE_S = 600.0
"""A first reading so long after it went in says nothing of how cold it was then."""
STRIDES = ((0.02, 12), (0.05, 12), (0.12, 10))
"""Looked ahead in shares of the diffusion time, so many steps of each: two diffusion times in all."""
PLATEAU_C = (62.0, 79.0)
PLATEAU_WINDOW_S = 30 * 60.0
PLATEAU_RISE_C = 1.0
"""Large cuts sit at 65 to 75 C: there, less than 1 C in half an hour and a quarter of the earlier rise. What
is below the end of that and to go beyond it is never called out of reach by the model: it does rise again."""
DENSITY = 1050.0
LOW, MIDDLE, HIGH = 0.105, 0.5, 0.895
"""Of the candidates, which so few moves leave a little too wide: so the range holds eight times in ten."""
BEYOND = 0.003
"""How far a real rise strays from the model's, one standard deviation, as a share of the rise still ahead
where as much lies behind, more (by the root) where less does: what was seen of a rise is what the model was
held to. Set, as are all the limits above, on simulated roasts other than those that are reported."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One core temperature and when it was taken."""

    at_s: float
    celsius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """What is expected. Moments are on the readings' clock; None where nothing is promised.

    `low_s` to `high_s` is an 80 % range. `pull_c` and `pull_at_s` are when to take it off so that resting
    ends at the target; `carry_c` is what resting adds, within the published 3 to 14 C.
    """

    outlook: Outlook
    now_c: float | None = None
    at_s: float | None = None
    low_s: float | None = None
    high_s: float | None = None
    carry_c: float | None = None
    pull_c: float | None = None
    pull_at_s: float | None = None

    @property
    def give_or_take_s(self) -> float | None:
        """Half the 80 % range."""
        return None if self.low_s is None or self.high_s is None else 0.5 * (self.high_s - self.low_s)


def half_length_m(shape: Shape, weight_kg: float | None, thickness_m: float | None) -> float | None:
    """Half thickness or radius of a piece: from its thickness, else from its weight as if evenly thick.

    A cylinder is taken twice as long as thick and a slab four times as wide; None when neither is known.
    Raises ValueError for a size that is no finite number above zero.
    """
    for size in (weight_kg, thickness_m):
        if size is not None and not (math.isfinite(size) and size > 0):
            raise ValueError(f"a piece of {size} kg or m is none: sizes are above zero")
    if thickness_m is not None:
        return thickness_m / 2
    if weight_kg is None:
        return None
    volume = weight_kg / DENSITY
    match shape:
        case Shape.SPHERE:
            return math.cbrt(3 * volume / (4 * math.pi))
        case Shape.CYLINDER:
            return math.cbrt(volume / (4 * math.pi))
        case Shape.SLAB:
            return math.cbrt(volume / 16) / 2


def forecast(
    readings: Sequence[Reading],
    until_c: float,
    *,
    oven_c: float,
    shape: Shape = Shape.CYLINDER,
    weight_kg: float | None = None,
    thickness_m: float | None = None,
    put_in_s: float | None = None,
    room_c: float = ROOM_C,
    rest_s: float = REST_S,
) -> Forecast:
    """What to expect of a core that is to reach `until_c`. Readings rise in time; none is a fair question.

    Temperatures are in C, times in s, the weight in kg, the thickness in m. `put_in_s` is when it went into
    the oven, else the first reading counts as that. Raises ValueError for temperatures or times that are no
    finite numbers, temperatures that no kitchen has, times that go back, and sizes that are not above zero.
    """
    moments, cores = _columns(readings)
    _check(
        np.append(moments, [rest_s, 0.0 if put_in_s is None else put_in_s]),
        np.append(cores, [until_c, oven_c, room_c]),
    )
    if np.any(np.diff(moments) < 0) or rest_s < 0:
        raise ValueError("readings go back in time" if rest_s >= 0 else f"a rest of {rest_s} s is none")
    half_m = half_length_m(shape, weight_kg, thickness_m)
    if not readings:
        return Forecast(outlook=Outlook.CANNOT_TELL)
    began = min(readings[0].at_s, readings[0].at_s if put_in_s is None else put_in_s)
    times, temps, sigma = _binned(moments - began, cores)
    now_c = float(temps[-1])
    if now_c >= until_c:
        return Forecast(outlook=Outlook.REACHED, now_c=now_c)
    if until_c >= oven_c:
        return Forecast(outlook=Outlook.OUT_OF_REACH, now_c=now_c)
    first_c = float(temps[0])
    if len(times) < 3 or now_c - first_c < max(LEAST_RISE_C, LEAST_SHARE * (until_c - first_c)):
        return Forecast(outlook=Outlook.CANNOT_TELL, now_c=now_c)
    if _sits(moments, cores):
        return Forecast(outlook=Outlook.PLATEAU, now_c=now_c)
    scene = Scene(shape=shape, oven_c=oven_c)
    prior = (half_m, first_c, float(moments[0]) - began > LATE_S)
    columns = (times.tobytes(), temps.tobytes(), sigma.tobytes())
    ensemble = _fitted(scene, prior, columns, readings[-1].at_s - began)
    way_c = (first_c, now_c, until_c)
    return _from_ensemble(scene, ensemble, readings[-1].at_s, way_c, (room_c, rest_s))


def _check(times_s: Floats, temps_c: Floats) -> None:
    if not (np.isfinite(times_s).all() and np.isfinite(temps_c).all()):
        raise ValueError("a forecast needs finite temperatures and times")
    if np.min(temps_c) < COLDEST_C or np.max(temps_c) > HOTTEST_C:
        raise ValueError(f"a forecast needs temperatures from {COLDEST_C:.0f} to {HOTTEST_C:.0f} C")


def is_plateau(readings: Sequence[Reading]) -> bool:
    """Whether the core sits: within the plateau's range, hardly rising, though it rose well before."""
    return _sits(*_columns(readings))


def _columns(readings: Sequence[Reading]) -> tuple[Floats, Floats]:
    """Moments and temperatures as arrays."""
    count = len(readings)
    return (
        np.fromiter((r.at_s for r in readings), np.float64, count),
        np.fromiter((r.celsius for r in readings), np.float64, count),
    )


def _sits(times: Floats, temps: Floats) -> bool:
    if not len(times):
        return False
    last = times[-1]
    recent = times > last - PLATEAU_WINDOW_S
    before = (times <= last - PLATEAU_WINDOW_S) & (temps > temps[0] + LEAST_RISE_C)
    if recent.sum() < 4 or before.sum() < 4 or np.ptp(times[recent]) < 0.6 * PLATEAU_WINDOW_S:
        return False
    if not PLATEAU_C[0] <= float(np.median(temps[recent])) <= PLATEAU_C[1]:
        return False
    rate = float(np.polyfit(times[recent] - last, temps[recent], 1)[0])
    earlier = float(np.polyfit(times[before] - last, temps[before], 1)[0])
    return rate * PLATEAU_WINDOW_S < PLATEAU_RISE_C and rate < 0.25 * earlier


def _binned(times: Floats, temps: Floats) -> tuple[Floats, Floats, Floats]:
    """At most 24 means with their standard deviations: noise averages out, what the model lacks does not."""
    edges = np.linspace(times[0], times[-1] + 1e-6, BINS + 1)
    places = np.clip(np.searchsorted(edges, times, side="right") - 1, 0, BINS - 1)
    counts = np.bincount(places, minlength=BINS)
    full = counts > 0
    number = counts[full]
    mean_t = np.bincount(places, weights=times, minlength=BINS)[full] / number
    mean_c = np.bincount(places, weights=temps, minlength=BINS)[full] / number
    sigma = np.sqrt(READING_C**2 / number + MISFIT_C**2)
    return mean_t, mean_c, sigma


@lru_cache(maxsize=1)
def _fitted(
    scene: Scene, prior: tuple[float | None, float, bool], columns: tuple[bytes, bytes, bytes], until_s: float
) -> Ensemble:
    """The posterior of readings, kept for whoever asks of the same ones about another target.

    `prior` is the half thickness, the first reading and whether that came late, `columns` are the bytes of
    `Data`.
    """
    half_m, first_c, late = prior
    times, temps, sigma = (np.frombuffer(column) for column in columns)
    known = prior_for(half_m, first_c, scene.oven_c, late=late)
    data = Data(times_s=times, temps_c=temps, sigma_c=sigma)
    found = fitted(scene, known, data, until_s)
    if not found.strain > STRAINED:
        return found
    looser = replace(data, sigma_c=sigma * math.sqrt(found.strain))
    return fitted(scene, known, looser, until_s)


def _from_ensemble(
    scene: Scene,
    ensemble: Ensemble,
    last: float,
    way_c: tuple[float, float, float],
    rest: tuple[float, float],
) -> Forecast:
    """The forecast of an ensemble; `way_c` is where the core began, is now, and is to go."""
    first_c, now_c, until_c = way_c
    ahead_c = until_c - now_c
    stray_c = BEYOND * ahead_c * math.sqrt(ahead_c / max(now_c - first_c, LEAST_RISE_C))
    aims_c = until_c + stray_c * _normals(len(ensemble.theta))
    ahead, course = _ahead(scene, ensemble, np.maximum(aims_c, until_c))
    times = _crossings(course.cores, ahead, aims_c)
    low, middle, high = (_quantile(times, share) for share in (LOW, MIDDLE, HIGH))
    if not math.isfinite(middle):
        is_sure = not math.isfinite(low) and ahead_c <= now_c - first_c
        may_sit = now_c < PLATEAU_C[1] < until_c
        outlook = Outlook.OUT_OF_REACH if is_sure and not may_sit else Outlook.CANNOT_TELL
        return Forecast(outlook=outlook, now_c=now_c)
    off = np.abs(middle / np.maximum(times, 60.0) - 1.0)
    is_wide = not math.isfinite(high) or off.mean() > WRONG or np.mean(off > FAR) > FAR_SHARE
    if is_wide or ensemble.strain > STRAINED:
        return Forecast(outlook=Outlook.CANNOT_TELL, now_c=now_c)
    carry, pull_s = _pull(scene, ensemble, ahead, course.first, until_c, rest)
    return Forecast(
        outlook=Outlook.RISING,
        now_c=now_c,
        at_s=last + middle,
        low_s=last + low,
        high_s=last + high,
        carry_c=carry,
        pull_c=until_c - carry,
        pull_at_s=None if pull_s is None else last + pull_s,
    )


def _ahead(scene: Scene, ensemble: Ensemble, aims_c: Floats) -> tuple[Floats, Course]:
    """Seconds from the last reading, float64[t], and the course from then on, until all passed their aims."""
    theta, pieces = ensemble.theta, replace(ensemble.pieces)
    air = air_of(theta)
    pace_s = math.exp(float(theta[0, LOG_TD]))
    now = pieces.all_amounts(theta)
    moments, cores, firsts = [np.zeros(1)], [core_of(scene.shape, theta, now)[np.newaxis]], [now[:, :1].T]
    for share, steps in STRIDES:
        course = lived(scene.shape, theta, air, pieces, share * pace_s, steps)
        cores.append(course.cores)
        firsts.append(course.first)
        moments.append(moments[-1][-1] + share * pace_s * np.arange(1, steps + 1))
        if np.all(course.cores[-1] >= aims_c):
            break
    return np.concatenate(moments), Course(cores=np.concatenate(cores), first=np.concatenate(firsts))


def _pull(
    scene: Scene,
    ensemble: Ensemble,
    ahead: Floats,
    amounts: Floats,
    until_c: float,
    rest: tuple[float, float],
) -> tuple[float, float | None]:
    """The carry-over and the moment from which, in the best candidate, resting alone brings the target."""
    theta = np.repeat(ensemble.theta[:1], len(ahead), axis=0)
    room_c, rest_s = rest
    surface = amounts[:, :-1].sum(axis=1)
    pieces = Pieces(
        amounts=amounts[:, :-1].T.copy(),
        skin=surface,
        flux=amounts[:, -1] * CONDUCTIVITY / half_m(theta),
        lost=np.zeros(len(ahead)),
    )
    cores = core_of(scene.shape, theta, pieces.all_amounts(theta))
    rise = bounded(rise_at_rest(scene.shape, theta, pieces, room_c=room_c, rest_s=rest_s))
    moment = float(_crossings((cores + rise)[:, np.newaxis], ahead, np.array([until_c]))[0])
    if not math.isfinite(moment):
        return float(rise[0]), None
    return float(np.interp(moment, ahead, rise)), moment


@lru_cache(maxsize=1)
def _normals(count: int) -> Floats:
    """Evenly spread standard normals, out of order so that they go with no candidate's place: float64[p]."""
    golden = (np.arange(count) + 0.5) * (0.5 * (math.sqrt(5.0) - 1.0)) % 1.0
    return np.asarray(ndtri(golden), dtype=np.float64)


def _crossings(cores: Floats, times_s: Floats, aims_c: Floats) -> Floats:
    """When each core float64[t, p] first reaches its own aim: float64[p], infinite where it does not."""
    rising = np.maximum.accumulate(cores, axis=0)
    at = np.sum(rising < aims_c, axis=0)
    after = np.minimum(at, len(times_s) - 1)
    before = np.maximum(after - 1, 0)
    which = np.arange(len(aims_c))
    low, high = rising[before, which], rising[after, which]
    part = np.clip((aims_c - low) / np.maximum(high - low, 1e-12), 0.0, 1.0)
    found = times_s[before] + part * (times_s[after] - times_s[before])
    return np.where(at < len(times_s), found, math.inf)


def _quantile(values: Floats, share: float) -> float:
    return float(np.sort(values)[int(share * (len(values) - 1))])
