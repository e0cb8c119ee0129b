"""PocketSphinx without a second ear: what it hears in the grammar is held against what it hears freely.

Whatever is said, a grammar finds a command in it. So another engine follows the phrase, with the language
model of general English that comes with PocketSphinx, and in the end the commands that are spelled most like
what either has heard are aligned with the sound one by one. What comes of that is judged by the rule for the
second ear's readings, with weights of its own.
"""

from collections.abc import Iterable, Sequence
from pathlib import Path

import numpy as np

from kitchend.hearing.findings import Findings
from kitchend.hearing.pocketsphinx_ear import PocketSphinxEar
from kitchend.hearing.pocketsphinx_engine import Engine, Floats, Segment, decoder, scratch_file
from kitchend.hearing.ports import (
    Addressed,
    Judgement,
    Network,
    Networked,
    Proposal,
    Samples,
    Sayable,
    Scored,
)
from kitchend.hearing.search import Searchable
from kitchend.hearing.shortlist import doubles

_FREE = {"fwdflat": False, "maxhmmpf": 1500, "maxwpf": 10}
COMMONEST = 5000
"""The free search is narrow, and has so many words of the 72,544 that the model knows.

How far apart the command is spelled from what was heard freely tells right commands from wrong ones and talk
(area under the ROC curve, 493 phrases) 0.866 so, at 0.07 of real time; 0.849 with 2000 or 10,000 words, 0.859
with all, at 0.09, and 0.865 with all and the engine's own widths, at 0.22.
"""
EACH, MOST = 10, 24
"""How many commands near each text are aligned, and how many in all: of 120 phrases at 10 dB 80 come out
first with ten, 76 with six."""
_UNCLEAR = -2.0
"""What its free text is worth: it is never clear."""
_FRAMES = 10
"""A tenth of a second, which is what readings are measured by, has so many of the engine's frames."""


class EarAlone:
    """A FirstEar that judges its phrases itself."""

    def __init__(self) -> None:
        from pocketsphinx import get_model_path

        folder = Path(get_model_path("en-us"))
        self._ear = PocketSphinxEar()
        model, words = folder / "en-us.lm.bin", folder / "cmudict-en-us.dict"
        with scratch_file(commonest(model, words.read_text("utf-8").splitlines())) as dictionary:
            engine = decoder(folder / "en-us", lm=str(model), dict=dictionary, **_FREE)
        self._free = Engine(engine)
        self._sayable: Sayable | None = None
        self._searchable: tuple[Network, Searchable] | None = None
        self._heard: list[Samples] = []

    def missing_words(self, words: Iterable[str]) -> dict[str, str]:
        """Words the dictionary lacks, each with the phones made up for it; raises DeviceError."""
        return self._ear.missing_words(words)

    def listen_for(self, sayable: Sayable) -> None:
        """Replace the grammar; raises DeviceError where espeak-ng is needed and missing."""
        self._ear.listen_for(sayable)
        self._free.end()
        self._heard = []
        self._sayable = sayable

    def prepare(self, sayable: Sayable) -> None:
        """Make the grammar ready to be searched."""
        self._search_of(sayable)

    def _search_of(self, sayable: Sayable) -> Searchable | None:
        if not isinstance(sayable, Networked):
            return None
        network, known = sayable.network(), self._searchable
        if known is None or known[0] is not network:
            known = self._searchable = network, Searchable(network)
        return known[1]

    def feed(self, samples: Samples) -> str:
        """Take the next piece of a phrase; returns the text so far in the grammar."""
        if not self._heard:
            self._free.begin()
        self._heard.append(samples)
        self._free.take(samples)
        return self._ear.feed(samples)

    def finish(self) -> Proposal:
        """End the phrase: its best reading and, where the grammar can be searched, what is to be judged."""
        proposal = self._ear.finish()
        self._free.end()
        heard, sayable = tuple(self._heard), self._sayable
        self._heard = []
        search = None if sayable is None else self._search_of(sayable)
        if not heard or sayable is None or search is None:
            return proposal
        judgement = self._judged(np.concatenate(heard), sayable, search, proposal.best)
        return Proposal(readings=proposal.readings, judgement=judgement)

    def _judged(self, phrase: Samples, sayable: Sayable, search: Searchable, proposed: str) -> Judgement:
        free, by_frame = self._free.text, self._free.acoustics()
        found = Findings(search, heard=tuple(filter(None, [free])))
        near = found.near(filter(None, (free, proposed)), sayable, each=EACH, most=MOST)
        aligned: dict[str, tuple[Segment, ...]] = {}

        def add(texts: Iterable[str]) -> None:
            new = self._ear.aligned(texts, phrase)
            aligned.update(new)
            for text, one in new.items():
                said = [word for word in one if word.word in text.split()]
                found.scored[text] = _likelier(said, by_frame), max(1, round(_frames(said) / _FRAMES))

        add(dict.fromkeys(filter(None, (proposed, *near))))
        address = None
        if found.scored:
            add(doubles(sayable, found.best, found.scored))
            address = _address(aligned[found.best], by_frame, sayable)
        return Judgement(ranked=found.readings({}), free=Scored(text=free, score=_UNCLEAR), address=address)


def _address(words: Sequence[Segment], by_frame: Floats, sayable: Sayable) -> float | None:
    """How much likelier the address phrase sounds than what was heard freely; None if it may be left out.

    It tells addressed phrases from others (area under the ROC curve 0.99), which the letters of what was
    heard freely do not.
    """
    if not isinstance(sayable, Addressed) or not sayable.needs_address:
        return None
    said = set(sayable.address.split())
    opening = [one for one in words if one.word in said][: len(said)]
    return _likelier(opening, by_frame)


def _likelier(words: Sequence[Segment], by_frame: Floats) -> float:
    """How much likelier these words sound than what was heard freely there, a frame of 10 ms."""
    values = (one.acoustic - by_frame[one.start : one.start + one.frames].sum() for one in words)
    return float(sum(values)) / max(1, _frames(words))


def _frames(words: Iterable[Segment]) -> int:
    return sum(one.frames for one in words)


def commonest(model: Path, dictionary: Iterable[str], most: int = COMMONEST) -> list[str]:
    """The lines of a dictionary for the words that its language model holds for the likeliest."""
    from pocketsphinx import Config, LogMath, NGramModel

    known = NGramModel(Config(), LogMath(), str(model))
    lines: dict[str, list[str]] = {}
    for line in dictionary:
        lines.setdefault(line.split(maxsplit=1)[0].split("(")[0], []).append(line)
    by_share = sorted(lines, key=lambda word: -known.prob([word]))
    return [line for word in by_share[:most] for line in lines[word]]
