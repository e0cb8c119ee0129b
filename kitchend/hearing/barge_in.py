"""Hears the cook while kitchend speaks: lines up the known own sound and has its echo taken out.

Outside own speech sound passes as it is. Inside, it is held until enough is there to find how late the echo
comes (cross-correlation with what is known of the way), then cleaned. Until the way is known well enough
nothing is passed on: better deaf than answering oneself. Waits for nothing and keeps no clock.
"""

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from kitchend.hearing.echo import BLOCK, PARTS, EchoCanceller, power
from kitchend.hearing.matching import best_match, by_clock, convolved, fine_match
from kitchend.hearing.own_voice import OwnVoice, Uttered, own_part
from kitchend.hearing.ports import SAMPLE_RATE, Samples

EARLIEST_S: Final = -0.06
LATEST_S: Final = 0.5
"""How late the echo may come against the device's word: its buffers and the microphone's are in between."""

NEAR_S: Final = 0.1
"""How far an echo is looked for from where it came last."""

SOUGHT_S: Final = 0.8
SOUGHT_FIRST_S: Final = 1.5
"""How much of an utterance is looked for: more than its chime, which is much like itself a little later; more
still while the way is not known, for until then nothing is listened to anyway."""

MARGIN: Final = 64
"""Samples by which the known way begins before the first echo: 4 ms."""

TAIL_S: Final = 0.35
KNOWN_DB: Final = -12.0
"""The way is known when what may be left of the echo is so far under it."""

FOLLOWED: Final = 190
"""Blocks with own sound in them that are looked back on: 3 s."""

LOST: Final = 0.3
LOOKS: Final = ((31, 0.5, 0.3), (8, 0.3, 0.008))
"""Where more than this share of the echo is left it is looked for anew: every so many blocks, so many seconds
of it, so far round. A loudspeaker that ran dry for a moment goes on late, and a sound server that has not
yet got used to a new stream moves it by a few ms, again and again in the first second."""

FITS: Final = 0.7
"""It has moved where it fits so much better: less than this share of what was left before is left there."""

MOVED_LEAST: Final = 3
"""Fewer samples are the clocks' doing, and followed as such."""

DRIFT_FROM_S: Final = 1.0
DRIFT_OVER_S: Final = 0.7
DRIFT_LEAST_S: Final = 3.2
DRIFT_EVEN: Final = 0.6
"""Three stretches of an utterance at least so long, from there on, tell how far the two clocks run apart; as
drift is even, the middle one must lie between the others to a part of a sample. Else something moved it."""

DRIFT_MOST: Final = 400e-6
"""Crystals are within 100 millionths; what looks like more is no drift."""

LEFT_DB: Final = -10.0
UNDISTURBED: Final = 0.3
"""So much less than the echo is left in three blocks of ten at least: in others somebody may be speaking."""

ACTIVE: Final = 0.3
ACTIVE_LEAST: Final = 60
"""Only blocks with this share of the usual echo tell anything, and it takes a second of them."""

OWN_DB: Final = -9.0
"""A phrase of which so much less is left than the echo was is the echo's rest, not a person."""

WORTH_ASKING: Final = 0.25
"""Where the echo foreseen is less than this share of what is left, it does not matter whether it came."""

TAKEN: Final = 0.5
"""Taking out an echo that came makes the sound weaker by the echo's power, one that did not come makes it
louder by as much. A phrase of less than this share of the first is not to be trusted."""

JUDGED: Final = 25
DOUBTED: Final = 6
"""Blocks over which that is watched while it goes on, 0.4 s: where it gets louder, and stays so for 0.1 s
(for a moment it may by chance while somebody speaks), the echo is lost."""

ANEW: Final = 310
"""Blocks of own sound, 5 s, through which the way is held to as it was while the echo is lost; after that it
is another way and learnt anew."""

LATE_S: Final = 1.0
"""For so long an echo that was lost at the end of an utterance may still come."""


class Powers(NamedTuple):
    """Of a piece of sound during own speech: of the echo foreseen, of what was heard, of what is left."""

    own: float
    heard: float
    left: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Passed:
    """Sound for the ears, float32[n]; `is_deaf`: not to be listened to.

    `own` is the power of the echo foreseen in it, None where nothing was being said; `heard` the power of
    what came, `left` of what is left without the echo.
    """

    samples: Samples
    own: float | None = None
    heard: float = 0.0
    left: float = 0.0
    is_deaf: bool = False

    @property
    def powers(self) -> Powers | None:
        """None where nothing was being said."""
        return None if self.own is None else Powers(self.own, self.heard, self.left)


class BargeIn:
    """One microphone's sound, block after block, with kitchend's own voice taken out of it."""

    def __init__(self, own: OwnVoice) -> None:
        self._own = own
        self._canceller = EchoCanceller()
        self._count = 0
        self._held: list[Samples] = []
        self._now: Uttered | None = None
        self._was: Uttered | None = None
        self._lag: int | None = None
        self._is_found = False
        self._usual: int | None = None
        self._echo = self._doubt = 0.0
        self._rests: deque[float] = deque(maxlen=2 * FOLLOWED)
        self._judged: deque[Powers] = deque(maxlen=JUDGED)
        self._astray, self._lost_for, self._in_vain = False, 0, 0
        self._deaf_until = 0
        self._drift: float | None = None
        self._heard: list[Samples] = []
        self._looks_from = 0
        self._whole = 0

    @property
    def is_known(self) -> bool:
        """Whether enough is known of the way from loudspeaker to microphone to hear through own speech."""
        if len(self._rests) < ACTIVE_LEAST or self._doubt >= self._echo * 10 ** (KNOWN_DB / 10):
            return False
        return float(np.percentile(self._rests, 100 * UNDISTURBED)) < 10 ** (LEFT_DB / 10)

    @property
    def way_db(self) -> float | None:
        """How much louder own sound is at the microphone than it was played, in dB; None: not known."""
        return self._canceller.gain_db if self.is_known else None

    def start(self) -> None:
        """A microphone begins: its count is nought. What is known of the way stays."""
        self._count, self._held = 0, []
        self._now = self._was = None
        self._deaf_until = 0

    def take(self, block: Samples) -> Iterator[Passed]:
        """The next sound of the microphone, float32[n]; gives what is ready, in pieces of any length."""
        self._held.append(block)
        while self._held:
            if self._now is None and not self._meets():
                if self._count < self._deaf_until:
                    waiting = self._give(min(self._waiting, self._deaf_until - self._count))
                    yield Passed(samples=waiting, is_deaf=True)
                else:
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
        own = self._latest(self._count + self._waiting)
        if own is None or own is self._was or own.ends + int(TAIL_S * SAMPLE_RATE) < self._count:
            return False
        sound = own.sound if self._drift is None else by_clock(own.sound, self._drift)
        self._was, self._now, self._lag = own, Uttered(sound=sound, begins=own.begins), None
        self._heard, self._looks_from, self._whole = [], 0, len(own.sound)
        self._judged.clear()
        self._canceller.rest()
        if not self._astray:
            self._canceller.keep()
        return True

    def _latest(self, count: int) -> Uttered | None:
        """The latest utterance whose echo may have begun by then."""
        return self._own.last_before(count - int(EARLIEST_S * SAMPLE_RATE))

    def _is_lined_up(self) -> bool:
        if self._lag is not None:
            return True
        own = self._now
        if own is None:
            return False
        latest = int(LATEST_S * SAMPLE_RATE)
        if self.is_known and self._usual is not None:
            latest = self._usual + int(NEAR_S * SAMPLE_RATE)
        needed = max(own.begins + latest, self._count + latest - int(EARLIEST_S * SAMPLE_RATE)) + self._sought
        is_short = own.ends + int(LATEST_S * SAMPLE_RATE) < self._count + self._waiting
        if self._count + self._waiting < needed and not is_short:
            return False
        found = self._found(own)
        self._is_found = found is not None
        self._lag = found if found is not None else self._usual or 0
        if found is not None:
            self._usual = found
        return True

    @property
    def _sought(self) -> int:
        """Samples of an utterance that are looked for."""
        return int((SOUGHT_S if self.is_known else SOUGHT_FIRST_S) * SAMPLE_RATE)

    def _found(self, own: Uttered) -> int | None:
        """How late its echo comes, in samples; None if there is none to be found."""
        first, last = int(EARLIEST_S * SAMPLE_RATE), int(LATEST_S * SAMPLE_RATE)
        before = MARGIN
        sound = own.sound
        if self.is_known:
            sound, before = convolved(sound, self._canceller.response)[: len(sound)], 0
            if self._usual is not None:
                near = int(NEAR_S * SAMPLE_RATE)
                first, last = self._usual - near, self._usual + near
        # What was there before is over only now, and the beginning went with it: look for what comes after.
        gone = max(0, self._count - own.begins - first)
        known = sound[gone : gone + self._sought]
        heard = np.concatenate(self._held)[max(0, own.begins + gone + first - self._count) :]
        at = best_match(known, heard[: last - first + len(known)])
        return None if at is None else first + at - before

    def _cleaned(self) -> Iterator[Passed]:
        own, lag = self._now, self._lag
        while own is not None and lag is not None and self._waiting >= BLOCK:
            start = self._count
            if self._was is not None and len(self._was.sound) < self._whole:
                own.sound = own.sound[: len(self._was.sound)]
            is_over = start > own.ends + lag + int(TAIL_S * SAMPLE_RATE)
            if is_over or self._latest(start + BLOCK) is not self._was:
                self._now = None
                self._note_drift(own, lag)
                self._heard = []
                if self._astray or not self._is_found:
                    self._deaf_until = start + int(LATE_S * SAMPLE_RATE)
                return
            heard = self._give(BLOCK)
            if not self._is_found:
                yield Passed(samples=heard, own=0.0, is_deaf=True)
                continue
            self._heard.append(heard)
            lag = self._lag = self._lined_up_again(own, lag)
            block = self._canceller.clean(heard, own_part(own, start, BLOCK, lag), learns=not self._astray)
            if not self._astray and block.echo > block.left * 0.01:
                keep = 1 - 1 / FOLLOWED
                self._echo = keep * self._echo + block.echo
                self._doubt = keep * self._doubt + block.doubt
                if block.echo > ACTIVE * self._echo / FOLLOWED:
                    self._rests.append(block.left / block.echo)
            powers = Powers(block.echo, power(heard), block.left)
            self._judge(powers)
            is_deaf = self._astray or not self.is_known
            yield Passed(samples=block.samples, is_deaf=is_deaf, **powers._asdict())

    def _judge(self, powers: Powers) -> None:
        """Whether what is taken out is in what is heard: not where the device fell behind, or ran dry.

        An echo once lost is lost until it is seen to be taken out again, in another utterance perhaps.
        """
        self._judged.append(powers)
        is_asked = matters(self._judged)
        self._in_vain = self._in_vain + 1 if is_in_vain(self._judged, 0.0) else 0
        if self._in_vain > DOUBTED:
            if not self._astray and self.is_known:
                self._canceller.go_back()
            self._astray = self.is_known
        elif self._astray and is_asked and not self._in_vain and not is_in_vain(self._judged, TAKEN):
            self._astray = False
        self._lost_for = self._lost_for + is_asked if self._astray else 0
        if self._lost_for > ANEW:
            self._astray, self._canceller = False, EchoCanceller()
            self._echo = self._doubt = 0.0
            self._rests.clear()

    def _lined_up_again(self, own: Uttered, lag: int) -> int:
        """The lag, or another one where the echo comes at another time than it did."""
        if self._usual is None:
            return lag
        for every, over_s, around_s in LOOKS:
            if len(self._heard) % every == 0:
                moved = self._moved(own, lag, int(over_s * SAMPLE_RATE), int(around_s * SAMPLE_RATE))
                if moved:
                    self._begin_anew(own, lag + moved)
                    return lag + moved
        return lag

    def _moved(self, own: Uttered, lag: int, over: int, around: int) -> int:
        """By how much the echo in the last so many samples is later than it was, in samples."""
        if len(self._heard) * BLOCK < self._looks_from + over + 2 * around:
            return 0
        known = own_part(own, self._count - over - around, over, lag)
        heard = np.concatenate(self._heard[-(over + 2 * around) // BLOCK - 1 :])[-(over + 2 * around) :]
        echo = convolved(known, self._canceller.response)[:over]
        if not _is_lost(heard[around : around + over], echo):
            if self.is_known and not self._astray:
                self._canceller.keep()
            return 0
        at = best_match(echo, heard)
        if at is None or abs(at - around) < MOVED_LEAST:
            return 0
        before, after = (float(np.mean((heard[place : place + over] - echo) ** 2)) for place in (around, at))
        if after >= FITS * before:
            return 0
        # What came before this stretch was in step with the old lag: it tells nothing about the new one.
        self._looks_from = len(self._heard) * BLOCK - over - 2 * around
        return at - around

    def _begin_anew(self, own: Uttered, lag: int) -> None:
        """Take the echo out at another lag from here on, by the way as it was before it moved."""
        if self.is_known:
            self._canceller.go_back()
        for block in range(PARTS, 0, -1):
            self._canceller.follow(own_part(own, self._count - (block + 1) * BLOCK, BLOCK, lag))
        self._judged.clear()

    def _note_drift(self, own: Uttered, lag: int) -> None:
        """Learn from an utterance that is over by how much the two clocks run apart."""
        length, rate = len(own.sound), SAMPLE_RATE
        if not self._heard or length < DRIFT_LEAST_S * rate:
            return
        heard = np.concatenate(self._heard)
        echo = convolved(own.sound, self._canceller.response)
        # What was held before the echo came is not in `heard` in step: it begins where cleaning began.
        begins = own.begins + lag - (self._count - len(heard))
        over, around = int(DRIFT_OVER_S * rate), int(DRIFT_MOST * length) + 2 * MARGIN
        first, last = int(DRIFT_FROM_S * rate), length - over
        found = []
        for start in (first, (first + last) // 2, last):
            part = heard[max(0, begins + start - around) : max(0, begins + start + over + around)]
            at = fine_match(echo[start : start + over], part)
            if at is None:
                return
            found.append(max(0, begins + start - around) + at - (begins + start))
        drift = (found[2] - found[0]) / (last - first)
        if abs(drift) < DRIFT_MOST and abs(found[1] - (found[0] + found[2]) / 2) < DRIFT_EVEN:
            self._drift = drift if self._drift is None else self._drift + 0.5 * drift


def _is_lost(heard: Samples, echo: Samples) -> bool:
    """Whether so much would be left without this echo that it is not in what was heard."""
    power = float(np.mean(echo**2))
    return power > 1e-9 and float(np.mean((heard - echo) ** 2)) > LOST * power


def is_own_rest(lasted: Iterable[Powers | None]) -> bool:
    """Whether the sound of a phrase is kitchend's own, None for what was heard outside own speech.

    It is what was left of the echo, far less than the echo was; or nothing of it was taken out.
    """
    own = [powers for powers in lasted if powers is not None]
    echo, left = sum(one.own for one in own), sum(one.left for one in own)
    return left < echo * 10 ** (OWN_DB / 10) or is_in_vain(own, TAKEN)


def is_in_vain(lasted: Iterable[Powers], taken: float) -> bool:
    """Whether taking the echo out made the sound weaker by less than this share of the echo's power."""
    pieces = list(lasted)
    took = sum(one.heard - one.left for one in pieces)
    return matters(pieces) and took < taken * sum(one.own for one in pieces)


def matters(lasted: Iterable[Powers]) -> bool:
    """Whether the echo is loud enough to ask what became of it."""
    pieces = list(lasted)
    return sum(one.own for one in pieces) > WORTH_ASKING * sum(one.left for one in pieces)
