"""Exports are written whole, over earlier exports only, and what cannot be written is told in one line."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from kitchend.errors import OutputError
from kitchend.files.writing import write_export

SIGN = "<?xml "


def write(path: Path, contents: str = "<?xml new?>") -> None:
    write_export(path, contents, option="--svg", sign=SIGN)


def refusal(path: Path) -> str:
    with pytest.raises(OutputError) as caught:
        write(path)
    return str(caught.value)


def test_a_new_file_holds_exactly_what_was_given(tmp_path: Path) -> None:
    write(tmp_path / "new.svg", "<?xml é\r\n")
    assert (tmp_path / "new.svg").read_bytes() == "<?xml é\r\n".encode()
    assert [path.name for path in tmp_path.iterdir()] == ["new.svg"]


@pytest.mark.parametrize("earlier", ["<?xml earlier?>", ""], ids=["an export", "empty"])
def test_an_earlier_export_is_overwritten(tmp_path: Path, earlier: str) -> None:
    file = tmp_path / "a.svg"
    file.write_text(earlier)
    write(file)
    assert file.read_text() == "<?xml new?>"


@pytest.mark.parametrize(
    "kept", ["plan: Mine\n", "<?x", "\ufeff<?xml "], ids=["a plan", "short", "other letters"]
)
def test_any_other_file_is_left_as_it_is(tmp_path: Path, kept: str) -> None:
    file = tmp_path / "plan.yaml"
    file.write_text(kept)
    told = refusal(file)
    assert told == f"--svg {file}: a file of another kind is there and was left as it is (name another file)"
    assert file.read_text() == kept


def test_a_link_is_followed_and_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real.svg").write_text("<?xml old?>")
    (tmp_path / "link.svg").symlink_to("real.svg")
    write(tmp_path / "link.svg")
    assert (tmp_path / "link.svg").is_symlink()
    assert (tmp_path / "real.svg").read_text() == "<?xml new?>"


def test_what_is_no_ordinary_file_is_written_into() -> None:
    write(Path(os.devnull))


UNWRITABLE = {
    "a directory": ("", "this is a directory (name a file in it)"),
    "no directory": (
        "no/such/a.svg",
        "there is no directory {}/no/such (make it first, or name another place)",
    ),
    "a file as directory": ("file/a.svg", "cannot be written: Not a directory (name another place)"),
    "a name too long": ("x" * 300, "cannot be written: File name too long (name another place)"),
    "no name": ("a\0b", "cannot be written: the name is no file name (name another place)"),
    "a link to itself": ("loop", "cannot be written: "),
}


@pytest.mark.parametrize(("name", "told"), UNWRITABLE.values(), ids=UNWRITABLE)
def test_what_cannot_be_written_is_told_in_one_line(tmp_path: Path, name: str, told: str) -> None:
    (tmp_path / "file").write_text("<?xml ")
    (tmp_path / "loop").symlink_to("loop")
    line = refusal(tmp_path / name)
    assert told.format(tmp_path) in line
    assert "\n" not in line
    assert sorted(path.name for path in tmp_path.iterdir()) == ["file", "loop"]


def test_a_full_disk_is_told_and_leaves_no_half_file() -> None:
    if not Path("/dev/full").exists():
        pytest.skip("there is no /dev/full here to be out of room on")
    assert refusal(Path("/dev/full")).startswith("--svg /dev/full: cannot be written: No space left")
