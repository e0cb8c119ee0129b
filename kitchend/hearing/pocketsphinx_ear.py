"""The built-in first ear: PocketSphinx with its bundled English model and the Sayable's JSGF grammar.

It follows a phrase while it is spoken and proposes the best reading and a few others. Words its dictionary
lacks are given a made-up pronunciation. It decides nothing: whether a reading counts is the accept rule's.
The grammar may be replaced between phrases only; a phrase in progress is abandoned by that.
"""

from collections.abc import Iterable
from itertools import islice
from typing import Any

import numpy as np

from kitchend.hearing.ports import Proposal, Samples, Sayable
from kitchend.hearing.pronounce import pronounce

_READINGS = 5
_LOOKED_AT = 30  # the n-best list repeats a text with other word times; this many are looked at


class PocketSphinxEar:
    """A FirstEar; loading takes about 0.1 s and 45 MB."""

    def __init__(self) -> None:
        from pocketsphinx import Decoder, get_model_path

        folder = get_model_path("en-us")
        # bestpath=False: the lattice pass often ends in an incomplete command
        self._decoder: Any = Decoder(
            hmm=f"{folder}/en-us",
            dict=f"{folder}/cmudict-en-us.dict",
            lm=None,
            bestpath=False,
            loglevel="FATAL",
        )
        self._grammar = ""
        self._search = ""
        self._open = False

    def missing_words(self, words: Iterable[str]) -> dict[str, str]:
        """Words the dictionary lacks, each with the phones made up for it; raises DeviceError."""
        return pronounce(sorted(word for word in set(words) if self._decoder.lookup_word(word) is None))

    def listen_for(self, sayable: Sayable) -> None:
        """Replace the grammar; raises DeviceError where espeak-ng is needed and missing."""
        self._abandon()
        grammar = sayable.jsgf()
        if grammar == self._grammar:
            return
        for word, phones in self.missing_words(sayable.words()).items():
            self._decoder.add_word(word, phones, False)
        self._replace_search(grammar)

    def _replace_search(self, grammar: str) -> None:
        old, new = self._search, "odd" if self._search == "even" else "even"
        self._decoder.add_jsgf_string(new, grammar)
        self._decoder.activate_search(new)
        if old:
            self._decoder.remove_search(old)
        self._grammar, self._search = grammar, new

    def feed(self, samples: Samples) -> str:
        """Take the next piece of a phrase; returns the text so far."""
        if not self._open:
            self._decoder.start_utt()
            self._open = True
        self._decoder.process_raw(as_pcm(samples), False, False)
        return self._text()

    def finish(self) -> Proposal:
        """End the phrase; the best reading comes first."""
        if not self._open:
            return Proposal(readings=())
        self._abandon()
        best = self._text()
        if not best:
            return Proposal(readings=())
        others = (
            found.hypstr for found in islice(self._decoder.nbest(), _LOOKED_AT) if found and found.hypstr
        )
        return Proposal(readings=tuple(islice(dict.fromkeys([best, *others]), _READINGS)))

    def _abandon(self) -> None:
        if self._open:
            self._decoder.end_utt()
            self._open = False

    def _text(self) -> str:
        found = self._decoder.hyp()
        return str(found.hypstr) if found and found.hypstr else ""


def as_pcm(samples: Samples) -> bytes:
    """float32[n] between -1 and 1 -> 16-bit little-endian PCM; louder samples are clipped."""
    return (np.clip(samples, -1.0, 1.0) * 32767.0).astype("<i2").tobytes()
