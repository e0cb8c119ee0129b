"""The built-in first ear: PocketSphinx with its bundled English model and the Sayable's grammar.

It follows a phrase while it is spoken and proposes the best reading; others of its n-best list earned
nothing. Words its dictionary lacks are given a made-up pronunciation. Whether a reading counts is the
accept rule's to say. The grammar, a network of words where there is one and JSGF otherwise, is replaced
between phrases only; a phrase in progress is abandoned by that.
"""

from collections.abc import Iterable, Sequence
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import Any
from warnings import catch_warnings, simplefilter

import numpy as np

from kitchend.hearing.dictionary import Dictionary
from kitchend.hearing.giving_back import give_back
from kitchend.hearing.ports import Networked, Proposal, Samples, Sayable
from kitchend.hearing.pronounce import pronounce

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

_GRAMMAR, _NOTHING = "grammar", "nothing"
_UNSAID = "kitchend"
"""A word that no grammar holds."""


class PocketSphinxEar:
    """A FirstEar; it is given the grammar's words as they come, so that it stays small."""

    def __init__(self, mean: Sequence[float] = MEAN, kept: float = KEPT) -> None:
        from pocketsphinx import get_model_path

        folder = Path(get_model_path("en-us"))
        self._dictionary = Dictionary(folder / "cmudict-en-us.dict")
        self._decoder = _decoder(folder / "en-us")
        self._mean, self._kept = mean, kept
        self._decoder.set_cmn(_listed(mean))
        self._sayable: Sayable | None = None
        self._add_nothing()
        self._known: set[str] = set()
        self._open = False

    def missing_words(self, words: Iterable[str]) -> dict[str, str]:
        """Words the dictionary lacks, each with the phones made up for it; raises DeviceError."""
        said = self._dictionary.all_phones(set(words))
        return pronounce(sorted(word for word, ways in said.items() if not ways))

    def _learn(self, words: frozenset[str]) -> None:
        """Give the engine the words it does not have yet; raises DeviceError."""
        new = sorted(words - self._known)
        if not new:
            return
        said = self._dictionary.all_phones(new)
        made_up = pronounce(word for word in new if not said[word])
        for word in new:
            for number, phones in enumerate(said[word] or (made_up[word],), start=1):
                self._decoder.add_word(word if number == 1 else f"{word}({number})", phones, False)
        self._known.update(new)

    def listen_for(self, sayable: Sayable) -> None:
        """Replace the grammar; raises DeviceError where espeak-ng is needed and missing."""
        self._abandon()
        if sayable is self._sayable:
            return
        self._learn(sayable.words())
        # The old one goes first: where two are in memory by turns, each leaves holes for the next to miss.
        self._decoder.activate_search(_NOTHING)
        if self._sayable is not None:
            self._sayable = None
            self._decoder.remove_search(_GRAMMAR)
            give_back()
        self._add_search(sayable)
        self._decoder.activate_search(_GRAMMAR)
        self._sayable = sayable

    def _add_nothing(self) -> None:
        """A search to rest on while the grammar is replaced."""
        ways = [(0, 1, 1.0, _UNSAID)]
        self._decoder.add_fsg(_NOTHING, self._decoder.create_fsg(_NOTHING, 0, 1, ways))

    def _add_search(self, sayable: Sayable) -> None:
        if not isinstance(sayable, Networked):
            self._decoder.add_jsgf_string(_GRAMMAR, sayable.jsgf())
            return
        network = sayable.usual_network()
        ways = [(arc.source, arc.target, arc.share, *filter(None, [arc.word])) for arc in network.arcs]
        self._decoder.add_fsg(_GRAMMAR, self._decoder.create_fsg(_GRAMMAR, 0, network.final, ways))

    def feed(self, samples: Samples) -> str:
        """Take the next piece of a phrase; returns the text so far."""
        if not self._open:
            self._forget()
            self._decoder.start_utt()
            self._open = True
        if len(samples):
            self._decoder.process_raw(as_pcm(samples), False, False)
        return self._text()

    def _forget(self) -> None:
        """Begin nearly afresh: with a mean that is partly its own, and with no noise in mind."""
        pairs = zip(self.mean, self._mean, strict=True)
        self._decoder.set_cmn(_listed(self._kept * heard + (1 - self._kept) * own for heard, own in pairs))
        with catch_warnings():
            simplefilter("ignore", DeprecationWarning)  # it is needed: the engine's noise goes on otherwise
            self._decoder.start_stream()

    @property
    def mean(self) -> tuple[float, ...]:
        """The mean of the cepstra it has come to."""
        return tuple(map(float, self._decoder.get_cmn(False).split(",")))

    def finish(self) -> Proposal:
        """End the phrase: its best reading."""
        if not self._open:
            return Proposal(readings=())
        self._abandon()
        return Proposal(readings=tuple(filter(None, [self._text()])))

    def _abandon(self) -> None:
        if self._open:
            self._decoder.end_utt()
            self._open = False

    def _text(self) -> str:
        found = self._decoder.hyp()
        return str(found.hypstr) if found and found.hypstr else ""


def _decoder(acoustic_model: Path) -> Any:
    """An engine with the acoustic model and a dictionary of one word that no grammar holds."""
    from pocketsphinx import Decoder

    scratch = _SCRATCH if _SCRATCH.is_dir() else None
    with NamedTemporaryFile("w", suffix=".dict", dir=scratch) as dictionary:
        dictionary.write(f"{_UNSAID} K IH CH AH N D IY\n")
        dictionary.flush()
        # bestpath=False: the lattice pass often ends in an incomplete command
        return Decoder(
            hmm=str(acoustic_model), dict=dictionary.name, lm=None, bestpath=False, loglevel="FATAL"
        )


def _listed(mean: Iterable[float]) -> str:
    """As the engine writes it."""
    return ",".join(f"{number:.4f}" for number in mean)


def as_pcm(samples: Samples) -> bytes:
    """float32[n] between -1 and 1 -> 16-bit little-endian PCM; louder samples are clipped."""
    return (np.clip(samples, -1.0, 1.0) * 32767.0).astype("<i2").tobytes()
