"""How commands fit a sound, phone by phone.

For each frame of sound there is a chance of each phone, and of none that is new: the blank. A row of phones
fits a sound by connectionist temporal classification (A. Graves et al., ICML 2006): every phone lasts a frame
or more, with blanks anywhere between. Pure: the chances are put in.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from kitchend.hearing.search import Floats, Units, least_from, least_until

PHONES = (
    "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH"
).split()
"""Of the CMU Pronouncing Dictionary."""

BLANK = 0
_NUMBERS = {phone: number for number, phone in enumerate(PHONES, start=1)}
_SURELY = -0.005
"""A blank above this says nothing: such frames, half of all, are left out of a search."""
_FAR = np.float32(1e6)


def units_of(phones: str) -> Units:
    """Phones with spaces between as numbers: "S IH P" is (29, 17, 27). KeyError for what is no phone."""
    return tuple(_NUMBERS[phone] for phone in phones.split())


class Sounding:
    """A sound, Measured for a search; costs are natural logarithms of chances, over the likeliest of a frame.

    Of two phones alike one after the other the second may begin without a blank, which is cheaper than it
    should be: `likelihoods` is exact.
    """

    def __init__(self, log_chances: Floats) -> None:
        told = log_chances[log_chances[:, BLANK] < _SURELY]
        costs = told.max(axis=1, keepdims=True) - told
        self._so_far = np.pad(np.cumsum(costs, axis=0, dtype=np.float32), ((1, 0), (0, 0)))
        self.start = self._so_far[:, BLANK].copy()
        self.left = self.start[-1] - self.start

    def put_before(self, paid: Floats, units: NDArray[np.int64]) -> None:
        """As `Measured` has it: the phone lasts a frame or more, after any blanks."""
        said, blank = self._so_far.take(units, axis=1), self.start[:, None]
        paid += said
        paid[:-1] = least_from(paid[1:]) - said[:-1]
        paid[-1] = _FAR
        paid += blank
        np.subtract(least_from(paid), blank, out=paid)

    def put_after(self, paid: Floats, units: NDArray[np.int64]) -> None:
        """As `Measured` has it: the phone lasts a frame or more, before any blanks."""
        said, blank = self._so_far.take(units, axis=1), self.start[:, None]
        paid -= said
        paid[1:] = least_until(paid[:-1]) + said[1:]
        paid[0] = _FAR
        paid -= blank
        np.add(least_until(paid), blank, out=paid)

    def beginning(self, row: Units) -> float:
        """The log likelihood of these phones at the beginning, over that of the likeliest there."""
        paid = self.start[:, None].copy()
        for unit in row:
            self.put_after(paid, np.array([unit]))
        return -float(paid.min())

    def skip_back(self, paid: Floats) -> None:
        """Nothing: what is no phone of a word is a blank."""

    def skip_on(self, paid: Floats) -> None:
        """Nothing."""


def likelihoods(log_chances: Floats, rows: Sequence[Units]) -> NDArray[np.float64]:
    """float64[rows]: the log likelihood of each row of phones, over all ways it may lie in the sound."""
    longest = max(map(len, rows), default=0)
    units = np.full((len(rows), 2 * longest + 1), BLANK)
    for place, row in enumerate(rows):
        units[place, 1 : 2 * len(row) : 2] = row
    skips = np.zeros(units.shape, bool)
    skips[:, 3::2] = units[:, 3::2] != units[:, 1:-2:2]
    found = np.full(units.shape, -np.inf)
    found[:, 0] = 0.0
    skips[:, 1:2] = False
    for number, frame in enumerate(log_chances):
        before = found.copy()
        if number == 0:
            found[:, 1:2] = found[:, :1]
        else:
            np.logaddexp(found[:, 1:], before[:, :-1], out=found[:, 1:])
            np.logaddexp(found[:, 2:], np.where(skips[:, 2:], before[:, :-2], -np.inf), out=found[:, 2:])
        found += frame[units]
    last = 2 * np.array([len(row) for row in rows], int)
    here = np.arange(len(rows))
    in_phone = np.where(last > 0, found[here, last - 1], -np.inf)
    total: NDArray[np.float64] = np.logaddexp(found[here, last], in_phone)
    return total


def freely(log_chances: Floats) -> float:
    """The log likelihood of the likeliest way through all frames."""
    return float(log_chances.max(axis=1).sum())


def heard_phones(log_chances: Floats) -> Units:
    """The phones on the likeliest way."""
    way = log_chances.argmax(axis=1)
    begins = way != np.roll(way, 1)
    begins[:1] = True
    return tuple(int(unit) for unit in way[begins] if unit != BLANK)
