"""Made-up pronunciations for words the first ear's dictionary lacks.

espeak-ng says how a word sounds in the International Phonetic Alphabet; one table turns that into the
ARPAbet phones of the dictionary. What is made up is a guess and is reported as one: `kitchend check` warns of
it. Each word is asked for once a process.
"""

import subprocess
from collections.abc import Iterable, Sequence

from kitchend.errors import DeviceError

# IPA as espeak-ng's en-us voice writes it, and the 39 ARPAbet phones of the CMU Pronouncing Dictionary.
# Longer spellings are tried first; marks of stress and length that stand alone are passed over.
ARPABET: dict[str, str] = {
    "aɪɚ": "AY ER", "aɪə": "AY AH", "tʃ": "CH", "dʒ": "JH", "aɪ": "AY", "aʊ": "AW", "eɪ": "EY",
    "oʊ": "OW", "ɔɪ": "OY", "əl": "AH L", "ən": "AH N", "ɜː": "ER", "ɑː": "AA", "ɔː": "AO",
    "iː": "IY", "uː": "UW", "oː": "AO", "iə": "IY AH", "əʊ": "OW", "n̩": "AH N", "l̩": "AH L",
    "a": "AE", "æ": "AE", "ɐ": "AH", "ɑ": "AA", "ɒ": "AA", "ɔ": "AO", "ə": "AH", "ʌ": "AH",
    "ɚ": "ER", "ɜ": "ER", "ɝ": "ER", "ɛ": "EH", "e": "EH", "ɪ": "IH", "ᵻ": "IH", "i": "IY",
    "o": "OW", "ʊ": "UH", "u": "UW", "y": "UW", "ø": "ER", "œ": "ER", "b": "B", "d": "D", "ð": "DH",
    "f": "F", "ɡ": "G", "g": "G", "h": "HH", "x": "HH", "ç": "HH", "j": "Y", "k": "K", "l": "L",
    "ɫ": "L", "ɬ": "L", "m": "M", "n": "N", "ɲ": "N Y", "ŋ": "NG", "p": "P", "ɹ": "R", "r": "R",
    "ʁ": "R", "s": "S", "ʃ": "SH", "t": "T", "ɾ": "T", "θ": "TH", "v": "V", "β": "V", "w": "W",
    "z": "Z", "ʒ": "ZH", "ʔ": "T",
}  # fmt: skip
_LONGEST = max(map(len, ARPABET))
_TIMEOUT_S = 10.0
_made_up: dict[str, str] = {}


def arpabet(ipa: str) -> str:
    """Phones for one word of espeak-ng's IPA: "ɹˈɪnst" -> "R IH N S T"."""
    phones: list[str] = []
    at = 0
    while at < len(ipa):
        piece = _piece(ipa, at)
        phones += ARPABET.get(piece, "").split()
        at += len(piece)
    return " ".join(_without_doubled_r(phones))


def _piece(ipa: str, at: int) -> str:
    for size in range(_LONGEST, 0, -1):
        if ipa[at : at + size] in ARPABET:
            return ipa[at : at + size]
    return ipa[at]


def _without_doubled_r(phones: list[str]) -> list[str]:
    # the dictionary's ER already ends in the r that espeak-ng writes once more before a vowel
    return [phone for i, phone in enumerate(phones) if not (phone == "R" and i > 0 and phones[i - 1] == "ER")]


def pronounce(words: Iterable[str]) -> dict[str, str]:
    """ARPAbet phones by word; raises DeviceError when espeak-ng is missing or silent."""
    wanted = tuple(dict.fromkeys(words))
    asked = [word for word in wanted if word not in _made_up]
    if asked:
        _made_up.update(zip(asked, map(arpabet, _ipa(asked)), strict=True))
    return {word: _made_up[word] for word in wanted}


def _ipa(words: Sequence[str]) -> list[str]:
    command = ["espeak-ng", "-q", "-v", "en-us", "--ipa"]
    hint = "install espeak-ng (apt install espeak-ng); it tells the listener how unknown words sound"
    try:
        done = subprocess.run(
            command, input="\n\n".join(words), capture_output=True, text=True, check=True, timeout=_TIMEOUT_S
        )
    except FileNotFoundError:
        raise DeviceError("espeak-ng", "not installed", hint) from None
    except (subprocess.CalledProcessError, subprocess.TimeoutExpired) as error:
        raise DeviceError("espeak-ng", f"did not answer ({type(error).__name__})", hint) from None
    lines = [line.strip() for line in done.stdout.splitlines() if line.strip()]
    if len(lines) != len(words):
        raise DeviceError("espeak-ng", f"gave {len(lines)} pronunciations for {len(words)} words", hint)
    return lines
