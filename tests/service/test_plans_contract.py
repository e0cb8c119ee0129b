"""The port for plans that may be started by name: a folder and plans handed in do the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.errors import PlanError
from kitchend.files.plan_yaml import read_plan
from kitchend.service.memory import MemoryPlans
from kitchend.service.plan_folder import FolderPlans
from kitchend.service.ports import Opened, Plans
from tests.service.kitchen import PLAN_TEXT

NAMES = ("Attic lunch", "Quay supper")


@pytest.fixture(params=["folder", "memory"])
def plans(request: pytest.FixtureRequest, tmp_path: Path) -> Plans:
    files = [tmp_path / f"{place}.yaml" for place in range(len(NAMES))]
    for file, name in zip(files, NAMES, strict=True):
        file.write_text(PLAN_TEXT.replace("Quay supper", name), encoding="utf-8")
    if request.param == "folder":
        return FolderPlans(tmp_path, lambda line: None)
    read = [Opened(plan=read_plan(file), source=str(file)) for file in files]
    return MemoryPlans({opened.plan.name: opened for opened in read})


def test_names_come_in_their_order(plans: Plans) -> None:
    assert plans.names() == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_a_plan_is_opened_by_its_name_and_says_where_it_came_from(plans: Plans, name: str) -> None:
    opened = plans.open(name)
    assert opened.plan.name == name
    assert opened.source.endswith(f"{NAMES.index(name)}.yaml")


def test_a_name_nobody_has_is_refused_in_words(plans: Plans) -> None:
    with pytest.raises(PlanError, match="no plan is called Moon feast"):
        plans.open("Moon feast")
