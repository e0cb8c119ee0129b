"""`kitchend backup`, `restore` and `forget`, as real commands beside a real service."""

from __future__ import annotations

import gzip
import io
import shutil
import signal
import tarfile
from pathlib import Path

import pytest

from kitchend.service.only_one import only_one
from kitchend.service.plan_folder import FolderPlans
from kitchend.service.storing import ON_IS_KEPT, RUNNING_IS_KEPT
from tests.cli.process import done, kitchend
from tests.cli.test_cook import LONG


@pytest.fixture(autouse=True)
def plans(own_folders: Path) -> Path:
    folder = own_folders / "config" / "kitchend" / "plans"
    folder.mkdir(parents=True)
    (folder / "long.yaml").write_text(LONG)
    (own_folders / "config" / "kitchend" / "settings.yaml").write_text("window: 9 s\n")
    return folder


def told(*words: str) -> str:
    answer = done("tell", *words)
    assert answer.returncode == 0, answer.stderr
    return answer.stdout


def test_a_dinner_is_carried_on_elsewhere_from_a_backup_made_while_it_was_on(
    own_folders: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "kitchen.tar.gz"
    with kitchend("run") as service:
        service.wait_for("ready, 1 plan")
        told("cook the long supper")
        told("beans are on")
        made = done("backup", str(file))
        assert (made.returncode, made.stderr) == (0, "")
        assert "3 files" in made.stdout
        refused = done("restore", str(file))
        assert refused.returncode == 3
        assert "already running" in refused.stderr
        service.end()
    assert file.stat().st_mode & 0o077 == 0
    for base in ("config", "state"):
        monkeypatch.setenv(f"XDG_{base.upper()}_HOME", str(own_folders / f"new-{base}"))
    assert done("restore", str(file)).returncode == 0
    settings = own_folders / "new-config" / "kitchend" / "settings.yaml"
    assert settings.read_text() == "window: 9 s\n"
    with kitchend("run") as service:
        service.wait_for("ready, 1 plan")
        service.wait_for("I am back")
        assert "simmer the beans" in done("status").stdout
        assert service.end() == 0


def test_what_a_restore_replaces_is_kept_beside_it(own_folders: Path, tmp_path: Path, plans: Path) -> None:
    file = tmp_path / "kitchen.tar.gz"
    assert done("backup", str(file)).returncode == 0
    (plans / "long.yaml").write_text(LONG + "people: 4\n")
    assert done("restore", str(file)).returncode == 0
    assert (plans / "long.yaml").read_text() == LONG
    kept = list(plans.glob("*-replaced*"))
    assert [path.read_text() for path in kept] == [LONG + "people: 4\n"]
    assert list((own_folders / "config" / "kitchend").glob("*-replaced*")) == []
    opened = FolderPlans(plans, pytest.fail).open("Long supper")
    assert opened.source == str(plans / "long.yaml")


def archive(path: Path, name: str, data: bytes = b"x", **facts: object) -> None:
    with tarfile.open(path, "w:gz") as tar:
        member = tarfile.TarInfo(name)
        member.size = len(data)
        for fact, value in facts.items():
            setattr(member, fact, value)
        tar.addfile(member, io.BytesIO(data))


@pytest.mark.parametrize(
    "name", ["../settings.yaml", "/etc/passwd", "plans/../../x.yaml", "plans/.x.yaml", "other", "journal/x"]
)
def test_a_backup_with_foreign_names_is_refused(own_folders: Path, tmp_path: Path, name: str) -> None:
    file = tmp_path / "evil.tar.gz"
    archive(file, name)
    before = sorted(own_folders.rglob("*.yaml"))
    refused = done("restore", str(file))
    assert refused.returncode == 2
    assert "is no backup of kitchend" in refused.stderr
    assert len(refused.stderr.splitlines()) == 1
    assert sorted(own_folders.rglob("*.yaml")) == before


def test_a_link_in_a_backup_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "evil.tar.gz"
    archive(file, "plans/long.yaml", b"", type=tarfile.SYMTYPE, linkname="/etc/passwd")
    assert done("restore", str(file)).returncode == 2


@pytest.mark.parametrize("data", [b"", b"text", gzip.compress(b"x" * 5000)], ids=["empty", "text", "no tar"])
def test_what_is_no_backup_is_refused_with_one_line(tmp_path: Path, data: bytes) -> None:
    file = tmp_path / "no.tar.gz"
    file.write_bytes(data)
    refused = done("restore", str(file))
    assert refused.returncode == 2
    assert refused.stderr == f"kitchend: {file} is no backup of kitchend\n"


def test_a_backup_whose_journal_is_damaged_is_refused(own_folders: Path, tmp_path: Path) -> None:
    file = tmp_path / "damaged.tar.gz"
    archive(file, "journal/journal.sqlite3", b"once upon a time " * 500)
    refused = done("restore", str(file))
    assert refused.returncode == 3
    assert "the one in the backup is damaged" in refused.stderr
    assert not (own_folders / "state" / "kitchend" / "journal.sqlite3").exists()


def test_a_backup_never_overwrites(tmp_path: Path) -> None:
    file = tmp_path / "there.tar.gz"
    file.write_text("mine")
    assert done("backup", str(file)).returncode == 2
    assert file.read_text() == "mine"
    nowhere = done("backup", str(tmp_path / "missing" / "x.tar.gz"))
    assert nowhere.returncode == 2
    assert len(nowhere.stderr.splitlines()) == 1


def test_forget_removes_what_was_said_and_keeps_the_dinner_that_is_on(own_folders: Path) -> None:
    state = own_folders / "state" / "kitchend"
    with kitchend("run") as service:
        service.wait_for("ready, 1 plan")
        told("time the zabaglione for twenty minutes")
        past = state / "2026-01-02-190000-dinner.sqlite3"
        past.write_bytes(b"what was said")
        forgotten = done("forget").stdout
        assert forgotten.splitlines() == ["1 past dinner forgotten", ON_IS_KEPT]
        assert not past.exists()
        assert "zabaglione" in done("status").stdout
        service.end()
    kept = done("forget")
    assert "kept until it is over" in kept.stdout
    with kitchend("run") as service:
        service.wait_for("I am back")
        told("drop the zabaglione")
        told("yes")
        service.end()
    assert "kept" not in done("forget").stdout
    assert b"zabaglione" not in all_of(state)


def test_forget_beside_an_idle_service_leaves_nothing_that_was_said_to_it(own_folders: Path) -> None:
    state = own_folders / "state" / "kitchend"
    with kitchend("run") as service:
        service.wait_for("ready, 1 plan")
        told("how long on the zabaglione")
        assert b"zabaglione" in all_of(state)
        assert done("forget").stdout.splitlines() == ["0 past dinners forgotten"]
        assert b"zabaglione" not in all_of(state)
        assert "Long supper" in told("cook the long supper")
        assert done("forget").stdout.splitlines() == ["0 past dinners forgotten", ON_IS_KEPT]
        service.end(signal.SIGKILL)
    with kitchend("run") as service:
        service.wait_for("I am back")
        assert "Long supper" in done("status").stdout
        service.end()


def test_forget_says_so_where_a_service_cannot_be_asked(own_folders: Path) -> None:
    with only_one(own_folders / "state" / "kitchend" / "journal.sqlite3"):
        forgotten = done("forget")
    assert (forgotten.returncode, forgotten.stderr) == (0, "")
    assert forgotten.stdout.splitlines() == ["0 past dinners forgotten", RUNNING_IS_KEPT]


def all_of(folder: Path) -> bytes:
    return b"".join(path.read_bytes() for path in folder.iterdir() if path.is_file())


def test_where_there_is_nothing_to_keep_no_backup_is_made(
    own_folders: Path, tmp_path: Path, plans: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.rmtree(plans.parent)
    # Without a folder of plans beside it, which would be kept.
    monkeypatch.chdir(tmp_path)
    refused = done("backup", str(tmp_path / "b.tgz"))
    assert refused.returncode == 2
    assert refused.stderr.startswith(f"kitchend: there is nothing to keep in {own_folders}")
    assert len(refused.stderr.splitlines()) == 1
    assert list(tmp_path.iterdir()) == []
