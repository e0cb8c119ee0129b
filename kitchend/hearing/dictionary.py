"""The pronouncing dictionary that comes with PocketSphinx, read word by word.

Loading all its 134,000 words takes the engine from 6 to 29 MB; a dinner says some three hundred. So the
engine begins with next to none and is given those the grammar holds. The file stays mapped, and what was read
for a word is not held: looking for one that is not there reads all of it.
"""

from collections.abc import Collection, Iterator
from mmap import ACCESS_READ, MADV_DONTNEED, mmap
from pathlib import Path


class Dictionary:
    """A file in CMUdict's form: a word a line, then its phones; further ways to say it are `word(2)`, …"""

    def __init__(self, path: Path) -> None:
        with path.open("rb") as file:
            self._lines = mmap(file.fileno(), 0, access=ACCESS_READ)

    def phones(self, word: str) -> tuple[str, ...]:
        """Every way the word is said, each as phones with spaces between; empty if it is not there."""
        ways = tuple(self._ways(word))
        self._lines.madvise(MADV_DONTNEED)
        return ways

    def all_phones(self, words: Collection[str]) -> dict[str, tuple[str, ...]]:
        """The same for many words in one reading of the file: 0.1 s, where each alone takes up to 0.01."""
        wanted = {word.encode(): word for word in words}
        found: dict[str, list[str]] = {word: [] for word in words}
        self._lines.seek(0)
        for line in iter(self._lines.readline, b""):
            name, _, phones = line.partition(b" ")
            word = wanted.get(name.partition(b"(")[0])
            if word is not None:
                found[word].append(phones.decode("ascii").strip())
        self._lines.madvise(MADV_DONTNEED)
        return {word: tuple(ways) for word, ways in found.items()}

    def _ways(self, word: str) -> Iterator[str]:
        name, number = word, 1
        while (found := self._line(name)) is not None:
            yield found
            number += 1
            name = f"{word}({number})"

    def _line(self, name: str) -> str | None:
        key = name.encode() + b" "
        start = 0 if self._lines[: len(key)] == key else self._lines.find(b"\n" + key, 0) + 1
        if start == 0 and self._lines[: len(key)] != key:
            return None
        end = self._lines.find(b"\n", start)
        return self._lines[start + len(key) : end if end >= 0 else len(self._lines)].decode("ascii").strip()
