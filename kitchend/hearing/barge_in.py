"""Hears the cook while kitchend speaks: lines up the known own sound and has its echo taken out.

Outside own speech sound passes as it is. Inside, it is held until enough is there to find how late the echo
comes (cross-correlation with what is known of the way), then cleaned. Until the way is known well enough
nothing is passed on: better deaf than answering oneself. Waits for nothing and keeps no clock.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from kitchend.hearing.echo import BLOCK, EchoCanceller
from kitchend.hearing.own_voice import OwnVoice, Uttered, own_part
from kitchend.hearing.ports import SAMPLE_RATE, Samples

EARLIEST_S: Final = -0.06
LATEST_S: Final = 0.5
"""How late the echo may come against the device's word: its buffers and the microphone's are in between."""

NEAR_S: Final = 0.05
"""How far an echo is looked for from where it came last."""

SOUGHT_S: Final = 0.35
MARGIN: Final = 64
"""Samples by which the known way begins before the first echo: 4 ms."""

TAIL_S: Final = 0.35
STANDS_OUT: Final = 6.0
"""How far the best match stands out of the others, in standard deviations, to be the echo."""

KNOWN_DB: Final = -12.0
"""The way is known when what may be left of the echo is so far under it."""

FOLLOWED: Final = 190
"""Blocks with own sound in them that are looked back on: 3 s."""

OWN_DB: Final = -9.0
"""A phrase of which so much less is left than the echo was is the echo's rest, not a person."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Passed:
    """Sound for the ears, float32[n]; `is_deaf`: not to be listened to.

    `own` is the power of the echo that was in it, None where nothing was being said; `left` of what is left.
    """

    samples: Samples
    own: float | None = None
    left: float = 0.0
    is_deaf: bool = False


class BargeIn:
    """One microphone's sound, block after block, with kitchend's own voice taken out of it."""

    def __init__(self, own: OwnVoice) -> None:
        self._own = own
        self._canceller = EchoCanceller()
        self._count = 0
        self._held: list[Samples] = []
        self._now: Uttered | None = None
        self._over: Uttered | None = None
        self._lag: int | None = None
        self._is_found = False
        self._usual: int | None = None
        self._echo = self._doubt = self._left = 0.0

    @property
    def is_known(self) -> bool:
        """Whether enough is known of the way from loudspeaker to microphone to hear through own speech."""
        level = self._echo * 10 ** (KNOWN_DB / 10)
        return self._echo > 0 and self._doubt < level and self._left < self._echo

    def start(self) -> None:
        """A microphone begins: its count is nought. What is known of the way stays."""
        self._count, self._held = 0, []
        self._now = self._over = None

    def take(self, block: Samples) -> Iterator[Passed]:
        """The next sound of the microphone, float32[n]; gives what is ready, in pieces of any length."""
        self._held.append(block)
        while self._held:
            if self._now is None and not self._meets():
                yield Passed(samples=self._give(self._waiting))
            elif self._now is not None:
                if not self._is_lined_up():
                    return
                yield from self._cleaned()
                if self._now is not None:
                    return

    @property
    def _waiting(self) -> int:
        return sum(map(len, self._held))

    def _give(self, length: int) -> Samples:
        """Takes so many samples off what is held."""
        sound = np.concatenate(self._held)
        self._held = [sound[length:]] if length < len(sound) else []
        self._count += length
        return np.asarray(sound[:length], np.float32)

    def _meets(self) -> bool:
        """Whether an utterance begins in what is held; from here on it is held back."""
        own = self._own.last_before(self._count + self._waiting - int(EARLIEST_S * SAMPLE_RATE))
        if own is None or own is self._over or own.ends + int(TAIL_S * SAMPLE_RATE) < self._count:
            return False
        self._now, self._lag = own, None
        self._canceller.rest()
        return True

    def _is_lined_up(self) -> bool:
        if self._lag is not None:
            return True
        own = self._now
        if own is None:
            return False
        latest = int(LATEST_S * SAMPLE_RATE)
        if self.is_known and self._usual is not None:
            latest = self._usual + int(NEAR_S * SAMPLE_RATE)
        needed = own.begins + latest + int(SOUGHT_S * SAMPLE_RATE)
        is_short = own.ends + int(LATEST_S * SAMPLE_RATE) < self._count + self._waiting
        if self._count + self._waiting < needed and not is_short:
            return False
        found = self._found(own)
        self._is_found = found is not None
        self._lag = found if found is not None else self._usual or 0
        if found is not None:
            self._usual = found
        return True

    def _found(self, own: Uttered) -> int | None:
        """How late its echo comes, in samples; None if there is none to be found."""
        known = own.sound[: int(SOUGHT_S * SAMPLE_RATE)]
        is_known = self.is_known
        if is_known:
            known = np.convolve(known, self._canceller.response)[: len(known)]
        heard = np.concatenate(self._held)
        first, last = int(EARLIEST_S * SAMPLE_RATE), int(LATEST_S * SAMPLE_RATE)
        if is_known and self._usual is not None:
            near = int(NEAR_S * SAMPLE_RATE)
            first, last = self._usual - near, self._usual + near
        start = own.begins + first - self._count
        part = heard[max(0, start) : max(0, start) + last - first + len(known)]
        at = best_match(known.astype(np.float32), part, is_white=not is_known)
        if at is None:
            return None
        lag = max(0, start) + self._count + at - own.begins
        return lag if is_known else lag - MARGIN

    def _cleaned(self) -> Iterator[Passed]:
        own, lag = self._now, self._lag
        while own is not None and lag is not None and self._waiting >= BLOCK:
            start = self._count
            if start > own.ends + lag + int(TAIL_S * SAMPLE_RATE):
                self._over, self._now = own, None
                return
            heard = self._give(BLOCK)
            block = self._canceller.clean(heard, own_part(own, start, BLOCK, lag))
            if block.echo > block.left * 0.01:
                keep = 1 - 1 / FOLLOWED
                self._echo = keep * self._echo + block.echo
                self._doubt = keep * self._doubt + block.doubt
                self._left = keep * self._left + min(block.left, 2 * block.echo)
            is_deaf = not (self._is_found and self.is_known)
            yield Passed(samples=block.samples, own=block.echo, left=block.left, is_deaf=is_deaf)


def is_own_rest(lasted: Iterable[Passed]) -> bool:
    """Whether the sound of a phrase is what was left of the echo: far less than the echo was."""
    own = [passed for passed in lasted if passed.own is not None]
    echo = sum(passed.own or 0.0 for passed in own)
    return sum(passed.left for passed in own) < echo * 10 ** (OWN_DB / 10)


def best_match(known: Samples, heard: Samples, *, is_white: bool) -> int | None:
    """Where in `heard` the sound `known` begins, in samples; None if no place stands out.

    `is_white`: every tone counts alike (the phase transform of Knapp and Carter, 1976), for an unknown way.
    """
    places = len(heard) - len(known) + 1
    if places < 2 or not np.any(known):
        return None
    size = 1 << (len(heard) + len(known)).bit_length()
    spectrum = np.fft.rfft(heard, size) * np.conj(np.fft.rfft(known, size))
    if is_white:
        strength = np.abs(spectrum)
        spectrum = spectrum / (strength + 1e-3 * strength.max())
    match: NDArray[np.float64] = np.fft.irfft(spectrum, size)[:places]
    best = int(np.argmax(match))
    spread = float(np.std(match))
    return best if spread and float(match[best]) > STANDS_OUT * spread else None
