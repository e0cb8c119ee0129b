"""How words are said, as numbers of phones: by the dictionary, or made up for those it lacks.

Where espeak-ng, which makes them up, is missing, they are said letter by letter: near enough for some.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import islice, product
from pathlib import Path

from kitchend.errors import DeviceError
from kitchend.hearing.dictionary import Dictionary
from kitchend.hearing.pronounce import pronounce
from kitchend.hearing.search import Units
from kitchend.hearing.sounding import units_of

WAYS, ROWS = 3, 8
"""How many ways of a word are held, and of a text at most."""

_PAIRS = """
    a:AE b:B c:K d:D e:EH f:F g:G h:HH i:IH j:JH k:K l:L m:M
    n:N o:AA p:P q:K r:R s:S t:T u:AH v:V w:W x:K y:Y z:Z
"""
_LETTERS = dict(pair.split(":") for pair in _PAIRS.split())


class Pronouncing:
    """Every word's ways, looked up once."""

    def __init__(self, dictionary: Dictionary) -> None:
        self._dictionary = dictionary
        self._known: dict[str, tuple[Units, ...]] = {}

    def learn(self, words: Iterable[str]) -> None:
        """Look all of them up at once, which is quicker."""
        new = sorted(set(words) - set(self._known))
        if not new:
            return
        said = self._dictionary.all_phones(new)
        made_up = _made_up([word for word in new if not said[word]])
        for word in new:
            ways = said[word] or (made_up[word],)
            self._known[word] = tuple(units_of(phones) for phones in ways[:WAYS])

    def ways(self, word: str) -> tuple[Units, ...]:
        """The ways a word is said."""
        if word not in self._known:
            self.learn([word])
        return self._known[word]

    def rows(self, text: str) -> Iterator[Units]:
        """The ways a text is said."""
        words = map(self.ways, text.split())
        return (sum(way, ()) for way in islice(product(*words), ROWS))


def _made_up(words: Sequence[str]) -> Mapping[str, str]:
    try:
        return pronounce(words)
    except DeviceError:
        return {word: " ".join(filter(None, map(_LETTERS.get, word))) for word in words}


def english() -> Pronouncing:
    """By the dictionary that comes with PocketSphinx."""
    from pocketsphinx import get_model_path

    return Pronouncing(Dictionary(Path(get_model_path("en-us")) / "cmudict-en-us.dict"))
