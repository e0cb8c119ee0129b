"""Exports out: a file is written whole or not at all, and never over something that is no export.

What is there already is overwritten only if it begins as the new one does (or is empty), so that a slip of
the fingers costs nobody a plan. Whatever stands in the way becomes an OutputError of one line.
"""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from kitchend.errors import OutputError
from kitchend.files.complaints import LONGEST_PATH, readable


def write_export(path: Path, contents: str, *, option: str, sign: str) -> None:
    """Write the contents, line ends as they are. `sign` is how such a file begins, `option` asked for it.

    Raises OutputError when the file cannot be written or holds something else.
    """
    shown = f"{option} {readable(str(path), LONGEST_PATH)}"
    try:
        target = path.resolve()
        if target.is_file():
            _refuse_strange(target, shown, sign)
        elif target.exists() and not target.is_dir():
            target.write_text(contents, encoding="utf-8", newline="")
            return
        _put(target, contents)
    except IsADirectoryError:
        raise OutputError(shown, "this is a directory", "name a file in it") from None
    except FileNotFoundError:
        if path.parent.is_dir():
            raise OutputError(shown, "cannot be written there", "name another place") from None
        hint = "make it first, or name another place"
        raise OutputError(shown, f"there is no directory {readable(str(path.parent))}", hint) from None
    except (OSError, ValueError, RuntimeError) as error:
        reason = getattr(error, "strerror", None) or "the name is no file name"
        raise OutputError(shown, f"cannot be written: {reason}", "name another place") from None


def _refuse_strange(target: Path, shown: str, sign: str) -> None:
    with target.open("rb") as file:
        begins = file.read(len(sign))
    if begins and begins != sign.encode():
        raise OutputError(shown, "a file of another kind is there and was left as it is", "name another file")


def _put(target: Path, contents: str) -> None:
    """Beside it first, then in its place, so that nobody ever finds half a file."""
    if target.is_dir():
        raise IsADirectoryError(target)
    part = target.with_name(f".{target.name[:200]}.part")
    try:
        part.write_text(contents, encoding="utf-8", newline="")
        part.replace(target)
    except BaseException:
        with suppress(OSError):
            part.unlink(missing_ok=True)
        raise
