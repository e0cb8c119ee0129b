"""The board as `kitchend/board/api.yaml` describes it, and as it is.

schemathesis makes up requests from the description, right ones and wrong ones, and puts them to the real
service; every answer has to be one that is described.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import pytest
import schemathesis
import yaml
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis import GenerationMode
from starlette.routing import Route

from kitchend.board.app import FILES
from tests.board.served import SUPPER, Served, places_in
from tests.board.test_parts import cooked, free_port
from tests.cli.process import Process, kitchend

DESCRIBED: dict[str, Any] = yaml.safe_load(files("kitchend.board").joinpath("api.yaml").read_text("utf-8"))
PLAN = "Orchard supper"
TRIES = 25
KEEP_DAYS = 3_650
CONFIG = schemathesis.Config.from_dict(
    {
        "checks": {
            # What is written rightly may still name nothing that is there, or be no four words.
            "positive_data_acceptance": {"expected-statuses": ["2xx", 403, 404, 409, 422, 429]},
            "negative_data_rejection": {
                "expected-statuses": [400, 403, 404, 405, 409, 411, 413, 415, 422, 429]
            },
        }
    }
)
pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("described")]


def described_ways() -> set[tuple[str, str]]:
    listed = {(method.upper(), path) for path, ways in DESCRIBED["paths"].items() for method in ways}
    named = DESCRIBED["paths"]["/{file}"]["get"]["parameters"][0]["schema"]["enum"]
    return (listed - {("GET", "/{file}")}) | {("GET", f"/{name}") for name in named}


def test_every_address_is_described_and_nothing_else_is(on_wall: Served) -> None:
    routes = [route for route in on_wall.board.pages.app().routes if isinstance(route, Route)]
    served = {(way, one.path) for one in routes for way in (one.methods or {"GET"}) if way != "HEAD"}
    assert served == described_ways()
    assert set(FILES) <= {path.removeprefix("/") for _, path in served}


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Process, int]]:
    """A kitchend that serves a board to the house, with one plan in its folder and one dinner behind it."""
    folder, port = tmp_path_factory.mktemp("described"), free_port()
    state = places_in(folder).journal.parent
    state.mkdir(parents=True)
    for path in cooked(folder).parent.glob("*dinner*"):
        path.rename(state / path.name)
    (folder / "supper.yaml").write_text(SUPPER, encoding="utf-8")
    told = folder / "settings.yaml"
    told.write_text(
        f"board: lan\nboard_port: {port}\nplans: {folder}\nkeep_days: {KEEP_DAYS}\n", encoding="utf-8"
    )
    with pytest.MonkeyPatch.context() as own:
        for name in ("XDG_STATE_HOME", "XDG_CONFIG_HOME", "XDG_RUNTIME_DIR"):
            own.setenv(name, str(folder / name.lower()))
        with kitchend("run", "--settings", str(told)) as process:
            process.wait_for("board: ")
            yield process, port


def operations() -> list[tuple[str, str, GenerationMode]]:
    """All but the address at which pages listen, which goes on for ever (`test_door.py` listens there).

    What takes nothing cannot be asked wrongly.
    """
    found = []
    for path, ways in DESCRIBED["paths"].items():
        for method, way in ways.items():
            if path != "/events":
                found.append((path, method, GenerationMode.POSITIVE))
            if "parameters" in way or "requestBody" in way:
                found.append((path, method, GenerationMode.NEGATIVE))
    return found


def knowing_the_plan() -> dict[str, Any]:
    """The description, with the name of the plan that is there among what may be drawn."""
    told: dict[str, Any] = json.loads(json.dumps(DESCRIBED))
    chosen = told["components"]["requestBodies"]["Chosen"]["content"]["application/json"]["schema"]
    times = [{"const": "19:30"}, {"const": ""}, {"type": "string"}]
    chosen["properties"] = {
        "plan": {"anyOf": [{"const": PLAN}, {"type": "string"}]},
        "serve": {"anyOf": times},
    }
    told["paths"]["/plans/sheet"]["get"]["parameters"][0]["schema"] = {"enum": [PLAN, "nothing", ""]}
    return told


@pytest.mark.parametrize(("path", "method", "mode"), operations())
def test_every_answer_to_made_up_requests_is_described(
    service: tuple[Process, int], path: str, method: str, mode: GenerationMode
) -> None:
    process, port = service
    origin = f"http://127.0.0.1:{port}"
    operation = schemathesis.openapi.from_dict(knowing_the_plan(), config=CONFIG)[path][method]
    cases = operation.as_strategy(generation_mode=mode)

    @settings(max_examples=TRIES, phases=[Phase.generate], suppress_health_check=list(HealthCheck))
    @given(case=cases)
    def put(case: Any) -> None:
        answer = case.call(base_url=origin, headers={"Origin": origin})
        case.validate_response(answer)

    put()
    assert "Traceback" not in process.told
