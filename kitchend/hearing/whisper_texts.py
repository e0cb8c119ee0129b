"""How Whisper writes what is said: commands as sentences, and texts without the loops it falls into. Pure."""

_LOOP_WORDS = 3
"""A text that ends by saying again what it said before, as far as this, is a loop."""


def opened(address: str) -> str:
    """The address phrase as Whisper writes it before a command: " Hey kitchen,"."""
    return f" {address[:1].upper()}{address[1:]},"


def written(text: str) -> str:
    """A command as Whisper writes: "greens are on" -> " Greens are on."."""
    return f" {text[:1].upper()}{text[1:]}."


def once(text: str) -> str:
    """The text without the loop at its end that unpadded sound leads to: " No. No. No." -> " No.".

    A loop may end in the middle of a word: where the free text was long enough, it was cut.
    """
    words = text.split()
    keys = [word.lower().strip(".,!?") for word in words]
    for start in range(len(words)):
        for period in range(1, len(words) - start):
            again, before = keys[start + period :], keys[start:-period]
            is_cut = len(again) > 1 and before[-1].startswith(again[-1])  # one word alone: "sixty six"
            is_loop = again[:-1] == before[:-1] and (is_cut or again == before)
            if is_loop and len(again) >= min(period, _LOOP_WORDS):
                return " " + " ".join(words[: start + period])
    return text
