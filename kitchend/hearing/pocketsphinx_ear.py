"""The built-in first ear: PocketSphinx with its bundled English model and the Sayable's grammar.

It follows a phrase while it is spoken and proposes the best reading; others of its n-best list earned
nothing. Words its dictionary lacks are given a made-up pronunciation. Whether a reading counts is the
accept rule's to say. The grammar, a network of words where there is one and JSGF otherwise, is replaced
between phrases only; a phrase in progress is abandoned by that.
"""

from collections.abc import Iterable, Sequence
from pathlib import Path

from kitchend.hearing.dictionary import Dictionary
from kitchend.hearing.giving_back import give_back
from kitchend.hearing.pocketsphinx_engine import KEPT, MEAN, UNSAID, Engine, Segment, decoder
from kitchend.hearing.ports import Networked, Proposal, Samples, Sayable
from kitchend.hearing.pronounce import pronounce

_GRAMMAR, _NOTHING, _ALIGNED = "grammar", "nothing", "aligned"


class PocketSphinxEar:
    """A FirstEar; it is given the grammar's words as they come, so that it stays small."""

    def __init__(self, mean: Sequence[float] = MEAN, kept: float = KEPT) -> None:
        from pocketsphinx import get_model_path

        folder = Path(get_model_path("en-us"))
        self._dictionary = Dictionary(folder / "cmudict-en-us.dict")
        self._engine = Engine(decoder(folder / "en-us"), mean, kept)
        self._decoder = self._engine.decoder
        self._sayable: Sayable | None = None
        self._add_nothing()
        self._known: set[str] = set()

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
        self._engine.end()
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
        ways = [(0, 1, 1.0, UNSAID)]
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
        if not self._engine.is_open:
            self._engine.begin()
        self._engine.take(samples)
        return self._engine.text

    @property
    def mean(self) -> tuple[float, ...]:
        """The mean of the cepstra it has come to."""
        return self._engine.mean

    def finish(self) -> Proposal:
        """End the phrase: its best reading."""
        if not self._engine.is_open:
            return Proposal(readings=())
        self._engine.end()
        return Proposal(readings=tuple(filter(None, [self._engine.text])))

    def aligned(self, texts: Iterable[str], phrase: Samples) -> dict[str, tuple[Segment, ...]]:
        """Where the words of each of these texts would be in the phrase that has just ended.

        Those are left out which the sound is too short for, or has nothing to do with.
        """
        wanted = tuple(texts)
        self._learn(frozenset(word for text in wanted for word in text.split()))
        found = {}
        for text in wanted:
            words = text.split()
            ways = [(place, place + 1, 1.0, word) for place, word in enumerate(words)]
            self._decoder.add_fsg(_ALIGNED, self._decoder.create_fsg(_ALIGNED, 0, len(words), ways))
            self._decoder.activate_search(_ALIGNED)
            self._engine.again(phrase)
            if self._engine.text == text:
                found[text] = self._engine.words()
            self._decoder.activate_search(_NOTHING if self._sayable is None else _GRAMMAR)
            self._decoder.remove_search(_ALIGNED)
        return found
