"""The built-in first ear: PocketSphinx with its bundled English model and the Sayable's grammar.

It follows a phrase while it is spoken and proposes the best reading; others of its n-best list earned
nothing. Words its dictionary lacks are given a made-up pronunciation. Whether a reading counts is the
accept rule's to say. The grammar, a network of words where there is one and JSGF otherwise, is replaced
between phrases only; a phrase in progress is abandoned by that.
"""

from collections.abc import Iterable
from typing import Any

import numpy as np

from kitchend.hearing.ports import Networked, Proposal, Samples, Sayable
from kitchend.hearing.pronounce import pronounce


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
        self._sayable: Sayable | None = None
        self._search = ""
        self._made_up: set[str] = set()
        self._open = False

    def missing_words(self, words: Iterable[str]) -> dict[str, str]:
        """Words the dictionary lacks, each with the phones made up for it; raises DeviceError."""
        return pronounce(sorted(word for word in set(words) if word in self._made_up or self._lacks(word)))

    def _lacks(self, word: str) -> bool:
        return self._decoder.lookup_word(word) is None

    def listen_for(self, sayable: Sayable) -> None:
        """Replace the grammar; raises DeviceError where espeak-ng is needed and missing."""
        self._abandon()
        if sayable is self._sayable:
            return
        for word, phones in pronounce(sorted(filter(self._lacks, sayable.words()))).items():
            self._decoder.add_word(word, phones, False)
            self._made_up.add(word)
        old, new = self._search, "odd" if self._search == "even" else "even"
        self._add_search(new, sayable)
        self._decoder.activate_search(new)
        if old:
            self._decoder.remove_search(old)
        self._sayable, self._search = sayable, new

    def _add_search(self, name: str, sayable: Sayable) -> None:
        if not isinstance(sayable, Networked):
            self._decoder.add_jsgf_string(name, sayable.jsgf())
            return
        network = sayable.network()
        ways = [(arc.source, arc.target, arc.share, *filter(None, [arc.word])) for arc in network.arcs]
        self._decoder.add_fsg(name, self._decoder.create_fsg(name, 0, network.final, ways))

    def feed(self, samples: Samples) -> str:
        """Take the next piece of a phrase; returns the text so far."""
        if not self._open:
            self._decoder.start_utt()
            self._open = True
        if len(samples):
            self._decoder.process_raw(as_pcm(samples), False, False)
        return self._text()

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


def as_pcm(samples: Samples) -> bytes:
    """float32[n] between -1 and 1 -> 16-bit little-endian PCM; louder samples are clipped."""
    return (np.clip(samples, -1.0, 1.0) * 32767.0).astype("<i2").tobytes()
