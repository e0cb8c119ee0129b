"""One PocketSphinx decoder that follows phrases, each begun nearly afresh.

The engine goes on from what it heard last unless it is told not to: here a phrase begins with a mean of the
cepstra that is partly the one it has come to, and with no noise in mind.
"""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from math import log
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import Any
from warnings import catch_warnings, simplefilter

import numpy as np
from numpy.typing import NDArray

from kitchend.hearing.ports import Samples

_SCRATCH = Path("/dev/shm")
"""Memory: a disk that is full or cannot be written costs no ear."""

MEAN = (40.44, 6.64, 1.68, 15.10, -7.97, -3.34, -3.51, -2.26, 3.32, 1.99, 0.94, 2.04, -1.21)
"""The mean of the cepstra that the phrases to tune on have, by `tests/bench/hear/means.py`."""

KEPT = 0.5
"""How much of the mean it has come to is kept for the next phrase; the rest is `MEAN`.

By itself the engine goes on from what it heard last, and that may have been a dishwasher: of 180 phrases at
three noise ratios it has 111 right then, 118 where 0.8 is kept, 121 with 0.5, 122 with nothing. Of 27 numbers
said by one person into one telephone it has 22, 21 (0.85), 20 and 19: a microphone is worth getting used to.
"""

UNSAID = "kitchend"
"""A word that no grammar holds."""

_NATS, _LEAST = 1024.0, 1e-300
"""The engine shifts its scores down by ten bits; less than the second it does not tell from nothing."""


Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """A word where it was heard: its first frame of 10 ms, how many, and its acoustic log likelihood."""

    word: str
    start: int
    frames: int
    acoustic: float


class Engine:
    """A decoder and the mean of the cepstra it has come to."""

    def __init__(self, decoder: Any, mean: Sequence[float] = MEAN, kept: float = KEPT) -> None:
        self.decoder = decoder
        self._usual, self._kept = mean, kept
        self._begun_with = tuple(mean)
        decoder.set_cmn(_listed(mean))
        self.is_open = False

    @property
    def mean(self) -> tuple[float, ...]:
        """The mean of the cepstra it has come to."""
        return tuple(map(float, self.decoder.get_cmn(False).split(",")))

    def begin(self) -> None:
        """Begin a phrase."""
        pairs = zip(self.mean, self._usual, strict=True)
        self._begun_with = tuple(self._kept * heard + (1 - self._kept) * own for heard, own in pairs)
        self._start(self._begun_with)

    def _start(self, mean: Sequence[float]) -> None:
        self.decoder.set_cmn(_listed(mean))
        with catch_warnings():
            simplefilter("ignore", DeprecationWarning)  # it is needed: the engine's noise goes on otherwise
            self.decoder.start_stream()
        self.decoder.start_utt()
        self.is_open = True

    def take(self, samples: Samples) -> None:
        """The next piece of the phrase."""
        if len(samples):
            self.decoder.process_raw(as_pcm(samples), False, False)

    def end(self) -> None:
        """End the phrase, if one is open."""
        if self.is_open:
            self.decoder.end_utt()
            self.is_open = False

    def again(self, samples: Samples) -> None:
        """The phrase that has just ended once more, by another search; what it has come to stays."""
        come_to = self.mean
        self._start(self._begun_with)
        self.take(samples)
        self.end()
        self.decoder.set_cmn(_listed(come_to))

    @property
    def text(self) -> str:
        """The best reading so far."""
        found = self.decoder.hyp()
        return str(found.hypstr) if found and found.hypstr else ""

    def acoustics(self) -> Floats:
        """float64[frames]: the log likelihood of each frame of 10 ms by the best reading, word by word alike.

        Of the acoustic model alone: neither how likely the words are nor what silence costs is in it.
        """
        words = self.words()
        if not words:
            return np.zeros(0)
        return np.concatenate([np.full(one.frames, one.acoustic / one.frames) for one in words])

    def words(self) -> tuple[Segment, ...]:
        """The best reading word by word, silences and noises among them; they cover all frames."""
        found = self.decoder.seg()
        listed = () if found is None else map(_segment, found)
        return tuple(one for one in listed if one.frames > 0)


def _segment(one: Any) -> Segment:
    word = one.word.split("(")[0]
    acoustic = _NATS * log(max(one.ascore, _LEAST))
    return Segment(
        word=word, start=one.start_frame, frames=one.end_frame - one.start_frame + 1, acoustic=acoustic
    )


def decoder(acoustic_model: Path, **options: Any) -> Any:
    """A decoder with the acoustic model; with a dictionary of one word that no grammar holds, if no other."""
    from pocketsphinx import Decoder

    # bestpath=False: the lattice pass often ends in an incomplete command
    usual: dict[str, Any] = {"hmm": str(acoustic_model), "bestpath": False, "loglevel": "FATAL"}
    if "dict" in options:
        return Decoder(**usual, **options)
    with scratch_file([f"{UNSAID} K IH CH AH N D IY"]) as dictionary:
        return Decoder(**usual, dict=dictionary, lm=None, **options)


@contextmanager
def scratch_file(lines: Iterable[str]) -> Iterator[str]:
    """The name of a file with these lines, for as long as it is needed."""
    scratch = _SCRATCH if _SCRATCH.is_dir() else None
    with NamedTemporaryFile("w", suffix=".dict", dir=scratch) as file:
        file.writelines(f"{line}\n" for line in lines)
        file.flush()
        yield file.name


def _listed(mean: Iterable[float]) -> str:
    """As the engine writes it."""
    return ",".join(f"{number:.4f}" for number in mean)


def as_pcm(samples: Samples) -> bytes:
    """float32[n] between -1 and 1 -> 16-bit little-endian PCM; louder samples are clipped."""
    return (np.clip(samples, -1.0, 1.0) * 32767.0).astype("<i2").tobytes()
