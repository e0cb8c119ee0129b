"""`kitchend model`: listing, fetching from a server on this machine through the real command, removing."""

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from kitchend.cli import app
from kitchend.reports.bar import bar, drawn
from kitchend.service.fetching import SMALL_ENGLISH
from kitchend.service.models import OFFERS, models_folder
from tests.service.test_fetching import Shelf, archive, shelf

__all__ = ["shelf"]

NAME = SMALL_ENGLISH.name


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where this test's models lie."""
    monkeypatch.setenv("VOSK_MODEL_PATH", str(tmp_path / "vosk"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return tmp_path / "vosk"


def run(*words: str) -> Result:
    return CliRunner().invoke(app, ["model", *words])


def get(shelf: Shelf, *, sha256: str | None = None) -> Result:
    """Fetch what lies on the shelf, with its own checksum unless another is named."""
    right = hashlib.sha256(shelf.data).hexdigest()
    address = f"http://127.0.0.1:{shelf.server_port}/model.zip"
    return run("get", NAME, "--from", address, "--sha256", sha256 or right)


def listed() -> dict[str, str | None]:
    """The folder of each model there is to have."""
    models = json.loads(run("list", "--json").stdout)["models"]
    return {model["name"]: model["folder"] for model in models}


def test_a_model_is_fetched_listed_and_removed(shelf: Shelf, folder: Path) -> None:
    shelf.data = archive(NAME)
    assert listed()[NAME] is None
    got = get(shelf, sha256=hashlib.sha256(shelf.data).hexdigest().upper())
    assert (got.exit_code, got.stdout) == (0, f"{NAME}: {folder / NAME} (SHA-256 as it should be)\n")
    assert listed()[NAME] == str(folder / NAME)
    assert str(folder / NAME) in run("list").stdout
    assert "is here already" in get(shelf).stdout
    gone = run("remove", NAME)
    assert (gone.exit_code, gone.stdout) == (0, f"{NAME} is gone, 0 MB freed\n")
    assert list(folder.iterdir()) == []
    assert listed()[NAME] is None


def test_another_file_under_a_models_name_is_refused_by_its_published_checksum(
    shelf: Shelf, folder: Path
) -> None:
    shelf.data = archive(NAME)
    refused = run("get", NAME, "--from", f"http://127.0.0.1:{shelf.server_port}/model.zip")
    assert refused.exit_code == 3
    assert f"is damaged or another: its SHA-256 is {hashlib.sha256(shelf.data).hexdigest()}" in refused.stderr
    assert refused.stderr.count("\n") == 1
    assert list(folder.iterdir()) == []


def test_every_model_on_offer_has_a_checksum_of_its_own() -> None:
    sums = [offer.model.sha256 for offer in OFFERS]
    assert all(re.fullmatch("[0-9a-f]{64}", one) for one in sums)
    assert len(set(sums)) == len(sums)


@pytest.mark.parametrize(
    ("words", "code", "line"),
    [
        (("get", "no-such-model"), 2, "there is no model 'no-such-model'; there are: "),
        (("remove", NAME), 2, f"there is no model '{NAME}' in "),
        (("remove", "../.."), 2, "there is no model '../..' in "),
        (
            ("get", NAME, "--from", "http://127.0.0.1:9/x.zip"),
            3,
            "no way to 127.0.0.1, is this machine online?",
        ),
    ],
    ids=["unknown", "not here", "not a name", "offline"],
)
def test_what_cannot_be_done_is_one_line(folder: Path, words: tuple[str, ...], code: int, line: str) -> None:
    done = run(*words)
    assert done.exit_code == code
    assert line in done.stderr
    assert done.stderr.count("\n") == 1
    assert folder.exists() == (code == 3)


def test_removing_takes_what_came_of_a_try_that_broke_off(shelf: Shelf, folder: Path) -> None:
    shelf.data, shelf.stops_at = archive(NAME), 100
    assert get(shelf).exit_code == 3
    assert run("remove", NAME).exit_code == 0
    assert list(folder.iterdir()) == []


def test_a_model_linked_from_elsewhere_is_only_unlinked(shelf: Shelf, folder: Path, tmp_path: Path) -> None:
    shelf.data = archive(NAME)
    get(shelf)
    (folder / NAME).rename(tmp_path / "kept")
    (folder / NAME).symlink_to(tmp_path / "kept")
    assert run("remove", NAME).exit_code == 0
    assert (tmp_path / "kept" / "am" / "final.mdl").is_file()


def test_a_model_put_there_by_hand_is_listed_too(shelf: Shelf, folder: Path) -> None:
    shelf.data = archive(NAME)
    get(shelf)
    (folder / NAME).rename(folder / "vosk-model-en-of-my-own")
    assert listed()["vosk-model-en-of-my-own"] == str(folder / "vosk-model-en-of-my-own")


def test_models_lie_where_the_ear_looks_for_them() -> None:
    assert models_folder({"HOME": "/home/cook"}) == Path("/home/cook/.cache/vosk")
    assert models_folder({"VOSK_MODEL_PATH": "/models"}) == Path("/models")


@pytest.mark.parametrize(
    ("got", "wanted", "line"),
    [
        (0, 40_000_000, f"[{' ' * 30}] 0.0 of 40.0 MB"),
        (20_000_000, 40_000_000, f"[{'#' * 15}{' ' * 15}] 20.0 of 40.0 MB"),
        (40_000_000, 40_000_000, f"[{'#' * 30}] 40.0 of 40.0 MB"),
        (1_500_000, 0, "1.5 MB"),
    ],
)
def test_the_bar_grows_with_what_has_come(got: int, wanted: int, line: str) -> None:
    assert bar(got, wanted) == line


def test_no_bar_is_drawn_but_at_a_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    with drawn() as draw:
        draw(1, 2)
    assert capsys.readouterr() == ("", "")


def test_the_bar_is_one_line_at_a_terminal(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    with drawn() as draw:
        draw(1, 2)
        draw(1, 2)
        draw(2, 2)
    assert capsys.readouterr().err == f"\r{bar(1, 2)}\r{bar(2, 2)}\n"


@pytest.mark.parametrize("address", ["nonsense", "file:///etc/hostname", "ftp://models/x.zip", ""])
def test_what_is_no_web_address_is_refused_in_one_line(address: str, folder: Path) -> None:
    refused = run("get", NAME, "--from", address)
    assert refused.exit_code == 2
    assert refused.stderr.splitlines() == [
        f"kitchend: --from {address!r} is no address; it begins with https:// or http://"
    ]
    assert not folder.exists()
