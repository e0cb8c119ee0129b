"""The plans folder: what is in it by name, what is left out and why, what changes while kitchend runs."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from kitchend.errors import PlanError
from kitchend.service.plan_folder import FolderPlans
from tests.service.kitchen import PLAN_TEXT


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "b.yaml").write_text(PLAN_TEXT)
    (tmp_path / "a.yml").write_text(PLAN_TEXT.replace("Quay supper", "Attic lunch"))
    (tmp_path / "notes.txt").write_text("not a plan")
    return tmp_path


@pytest.fixture
def told() -> list[str]:
    return []


@pytest.fixture
def plans(folder: Path, told: list[str]) -> FolderPlans:
    return FolderPlans(folder, told.append)


def test_plans_are_known_by_their_own_names_in_the_order_of_files(
    plans: FolderPlans, told: list[str]
) -> None:
    assert plans.names() == ("Attic lunch", "Quay supper")
    assert told == []


def test_a_plan_is_opened_by_name_with_its_file(plans: FolderPlans, folder: Path) -> None:
    opened = plans.open("Quay supper")
    assert opened.plan.name == "Quay supper"
    assert opened.source == str(folder / "b.yaml")


def test_a_name_that_is_not_there_is_refused_with_those_that_are(plans: FolderPlans) -> None:
    with pytest.raises(
        PlanError, match=r"no plan is called Moon feast \(there are: Attic lunch, Quay supper\)"
    ):
        plans.open("Moon feast")


def test_a_broken_plan_is_left_out_and_told_once(plans: FolderPlans, folder: Path, told: list[str]) -> None:
    (folder / "c.yaml").write_text("plan: Broken\n")
    for _ in range(3):
        assert plans.names() == ("Attic lunch", "Quay supper")
    assert len(told) == 1
    assert "c.yaml" in told[0]


def test_two_plans_of_one_name_are_told(plans: FolderPlans, folder: Path, told: list[str]) -> None:
    (folder / "c.yaml").write_text(PLAN_TEXT)
    assert plans.names() == ("Attic lunch", "Quay supper")
    assert plans.open("Quay supper").source == str(folder / "b.yaml")
    assert len(told) == 1
    assert "another file" in told[0]


def test_changes_are_seen_without_a_restart(plans: FolderPlans, folder: Path) -> None:
    plans.names()
    (folder / "c.yaml").write_text(PLAN_TEXT.replace("Quay supper", "Cellar feast"))
    assert plans.names() == ("Attic lunch", "Quay supper", "Cellar feast")
    (folder / "a.yml").unlink()
    assert plans.names() == ("Quay supper", "Cellar feast")
    (folder / "b.yaml").write_text(PLAN_TEXT.replace("Quay supper", "Quay dinner"))
    os.utime(folder / "b.yaml", (1, 1))
    assert plans.names() == ("Quay dinner", "Cellar feast")


def test_a_folder_that_is_not_there_is_no_plans_and_one_line(tmp_path: Path, told: list[str]) -> None:
    plans = FolderPlans(tmp_path / "nowhere", told.append)
    assert plans.names() == ()
    assert plans.names() == ()
    assert len(told) == 1
    assert "cannot be read: No such file or directory" in told[0]
