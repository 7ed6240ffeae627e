"""Whatever is sent to the workbench's calls, it is answered: never with a fault of the server.

The calls are made up by schemathesis from the description (OpenAPI) that the workbench gives of itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
import schemathesis
from fastapi import FastAPI
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from desk import HERE, Desk, project_folder
from handbarrow.web import routes_api

EVERY_CALL = 25
"""How many made-up requests each call gets."""


def described() -> dict[str, Any]:
    """The calls as the workbench describes them; half of the requests are to reach the project that there is."""
    app = FastAPI()
    app.include_router(routes_api.router)
    content = app.openapi()
    for path in content["paths"].values():
        for call in path.values():
            for parameter in call.get("parameters", ()):
                if parameter["name"] == "project":
                    parameter["schema"] = {"anyOf": [{"const": "cart"}, parameter["schema"]]}
                if parameter["name"] == "units":  # large batches take long and are tested elsewhere
                    parameter["schema"] = {"type": "integer", "minimum": -3, "maximum": 5}
    return content


CONTENT = described()
SCHEMA = schemathesis.openapi.from_dict(CONTENT)
CALLS = [(path, method) for path, calls in CONTENT["paths"].items() for method in calls]


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    root = tmp_path_factory.mktemp("desk")
    project_folder(root)
    with Desk(root) as out:
        yield out


def test_every_call_of_the_contract_is_described() -> None:
    last = {path.removeprefix("/api/p/{project}/") for path, _ in CALLS}
    pages = {"state", "size", "undo", "redo", "scene.glb", "part/{part}", "files/{name}"}
    assert last >= pages | {"under-way", "under-way/{name}"}


@pytest.mark.parametrize(("path", "method"), CALLS)
@settings(max_examples=EVERY_CALL, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_no_request_brings_the_server_to_a_fault(desk: Desk, path: str, method: str, data: st.DataObject) -> None:
    case = data.draw(SCHEMA[path][method.upper()].as_strategy())
    if path.endswith("/under-way") and isinstance(case.body, dict):
        case.body["kind"] = "none"  # begins no real work: that is tested elsewhere
    sent = case.as_transport_kwargs(base_url=HERE)
    answer = desk.client.request(
        sent["method"], sent["url"], params=sent.get("params"), json=sent.get("json"), headers=desk.headers
    )
    assert answer.status_code < 500, answer.text
    if answer.status_code >= 400:
        assert answer.json()["findings"], "a refusal says why"


@settings(max_examples=EVERY_CALL, suppress_health_check=list(HealthCheck))
@given(text=st.text(max_size=30), name=st.sampled_from(["bed_width", "handle_leg", "rail_y", "handle_slope", "play"]))
def test_no_text_in_a_size_brings_the_server_to_a_fault(desk: Desk, text: str, name: str) -> None:
    base = desk.state()["number"]
    answer = desk.post("/api/p/cart/size", {"base": base, "name": name, "text": text})
    assert answer.status_code in (200, 422)
    if answer.json().get("state", {}).get("number", base) != base:
        assert desk.post("/api/p/cart/undo", {"base": base + 1}).status_code == 200


@settings(max_examples=10, suppress_health_check=list(HealthCheck))
@given(number=st.floats(-2000, 5000), name=st.sampled_from(["bed_width", "handle_leg", "handle_slope", "bed_rear"]))
def test_no_number_in_a_size_brings_the_server_to_a_fault(desk: Desk, number: float, name: str) -> None:
    base = desk.state()["number"]
    answer = desk.post("/api/p/cart/size", {"base": base, "name": name, "text": f"{number:.1f}"})
    assert answer.status_code in (200, 422)
    for path in ("state", "scene.glb", "part/frame-hoop"):
        assert desk.get(f"/api/p/cart/{path}").status_code in (200, 404, 422)
    assert desk.get("/p/cart/").status_code == 200
    if answer.json().get("state", {}).get("number", base) != base:
        assert desk.post("/api/p/cart/undo", {"base": base + 1}).status_code == 200
