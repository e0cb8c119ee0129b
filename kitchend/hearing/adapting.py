"""The second ear's weights, adapted to kitchens: small additions to a model of CTranslate2, made once.

Of a weight with a row for each token, rows that are not needed may be left out by the way.

What was learned is kept as low-rank additions (E. J. Hu et al. 2021, "LoRA: Low-Rank Adaptation of Large
Language Models"): a matrix of the model, float[out, in], gets `up @ down`, float[out, rank] by
float[rank, in]; the gains and shifts of normal layers get a difference of their own shape. A script in
tests/bench/hear made the file. The model is read and written piece by piece: a small board need not hold it.
"""

import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from hashlib import sha256
from pathlib import Path
from types import MappingProxyType
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]

ADAPTATION = Path(__file__).with_name("adaptation.npz")
DOWN, UP, PLUS = "down", "up", "plus"
"""What a name in the file ends in, after a bar: the two matrices of a low-rank addition, or a difference."""

_TYPES: Mapping[int, type[np.generic]] = {0: np.float32, 4: np.float16}
_FORMAT = 6
_PIECE = 1 << 20


class OtherModelError(ValueError):
    """The model is not the one the additions were made for."""


@cache
def mark(*files: Path) -> str:
    """Which additions and which rows these are: the SHA-256 of their files."""
    return sha256(b"".join(file.read_bytes() for file in files)).hexdigest()


@dataclass(frozen=True, slots=True)
class Addition:
    """What a weight gets: float16[out, rank] times float16[rank, in], or one difference, as they are kept."""

    parts: tuple[NDArray[np.float16], ...]

    def flat(self) -> Floats:
        """All its values, in the order of the weight's own."""
        whole = self.parts[0].astype(np.float32)
        for part in self.parts[1:]:
            whole = whole @ part.astype(np.float32)
        return whole.reshape(-1)


def additions(file: Path = ADAPTATION) -> Mapping[str, Addition]:
    """What each weight gets, by its name in the model."""
    found: dict[str, Addition] = {}
    with np.load(file) as kept:
        for key in kept.files:
            name, _, part = key.rpartition("|")
            if part == UP:
                found[name] = Addition((kept[key], kept[f"{name}|{DOWN}"]))
            elif part == PLUS:
                found[name] = Addition((kept[key],))
    return found


def adapted(
    source: BinaryIO,
    target: BinaryIO,
    added: Mapping[str, Addition],
    rows: Mapping[str, NDArray[np.int64]] = MappingProxyType({}),
) -> None:
    """Copy a model, each named weight with its addition, or only these `rows` of it, in ascending order.

    Raises OtherModelError.
    """
    open_names = {*added, *rows}
    for variable in _variables(source, target):
        open_names.discard(variable.name)
        if variable.name in rows:
            _copy_rows(source, target, variable, rows[variable.name])
            continue
        variable.write_head(target)
        if variable.name not in added:
            _copy(source, target, variable.size)
            continue
        kind, addition = _TYPES.get(variable.kind), added[variable.name].flat()
        if kind is None or np.prod(variable.shape) != addition.size:
            raise OtherModelError(f"{variable.name} is of another shape or type")
        weight = np.frombuffer(_exactly(source, variable.size), kind).astype(np.float32)
        target.write((weight + addition).astype(kind).tobytes())
    if open_names:
        raise OtherModelError(f"{min(open_names)} is missing")
    while piece := source.read(_PIECE):  # the second names some weights have
        target.write(piece)


@dataclass(frozen=True, slots=True)
class _Variable:
    """The head of a weight in the file: its values follow, `size` bytes of them."""

    name: str
    shape: tuple[int, ...]
    kind: int
    size: int

    def write_head(self, target: BinaryIO) -> None:
        """Write it as the file has it."""
        name = self.name.encode() + b"\0"
        target.write(struct.pack("<H", len(name)) + name)
        target.write(struct.pack(f"<B{len(self.shape)}I", len(self.shape), *self.shape))
        target.write(struct.pack("<BI", self.kind, self.size))


def _variables(source: BinaryIO, target: BinaryIO) -> Iterator[_Variable]:
    """The weights of a model, in the order of its file: what comes before is copied, they are not."""

    def read(kind: str) -> bytes:
        return _exactly(source, struct.calcsize(kind))

    def number(kind: str) -> int:
        return int(struct.unpack(f"<{kind}", read(f"<{kind}"))[0])

    def copied(count: int) -> bytes:
        found = _exactly(source, count)
        target.write(found)
        return found

    if struct.unpack("<I", copied(4))[0] != _FORMAT:
        raise OtherModelError("its file is of another version")
    copied(struct.unpack("<H", copied(2))[0])  # what model it is
    copied(4)  # its revision
    for _ in range(struct.unpack("<I", copied(4))[0]):
        name = _exactly(source, number("H")).rstrip(b"\0").decode()
        shape = tuple(number("I") for _ in range(number("B")))
        yield _Variable(name, shape, number("B"), number("I"))


def _copy_rows(source: BinaryIO, target: BinaryIO, variable: _Variable, rows: NDArray[np.int64]) -> None:
    there, *rest = variable.shape
    size = variable.size // there
    if len(rows) and rows[-1] >= there:
        raise OtherModelError(f"{variable.name} has {there} rows")
    replace(variable, shape=(len(rows), *rest), size=size * len(rows)).write_head(target)
    together = max(1, _PIECE // size)
    for start in range(0, there, together):
        end = min(start + together, there)
        piece = np.frombuffer(_exactly(source, (end - start) * size), np.uint8).reshape(-1, size)
        low, high = np.searchsorted(rows, (start, end))
        target.write(piece[rows[low:high] - start].tobytes())


def _copy(source: BinaryIO, target: BinaryIO, size: int) -> None:
    while size:
        piece = _exactly(source, min(size, _PIECE))
        target.write(piece)
        size -= len(piece)


def _exactly(source: BinaryIO, count: int) -> bytes:
    found = source.read(count)
    if len(found) != count:
        raise OtherModelError("its file ends too soon")
    return found
