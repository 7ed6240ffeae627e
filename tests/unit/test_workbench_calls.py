"""What the workbench answers: sizes, differences, scene, parts, work, events. Expectations: closed form."""

from __future__ import annotations

import json
import struct
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from desk import HERE, HOST, Desk, project_folder, size_of


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    project_folder(tmp_path)
    with Desk(tmp_path) as out:
        yield out


def design(desk: Desk) -> str:
    return (desk.root / "cart" / "design.yaml").read_text()


def test_the_state_tells_every_size_as_it_is_written_and_what_hangs_on_it(desk: Desk) -> None:
    state = desk.state()
    assert state["number"] == 1 and state["workable"] and not state["can_undo"]
    width = size_of(state, "bed_width")
    assert (width["text"], width["value"], width["unit"]) == ("600", 600.0, "mm")
    assert width["says"] == "outside to outside"
    rail = size_of(state, "rail_y")
    assert rail["formula"] == rail["text"] == "bed_width / 2 - main.radius"
    assert rail["value"] == pytest.approx(600 / 2 - 26.9 / 2)
    leg = size_of(state, "handle_leg")
    assert leg["text"] == "840" and leg["find"] == {"result": "handle_height", "equals": 840.0}
    assert leg["limits"] == {"low": 200.0, "high": 1200.0}
    assert "frame-hoop" in width["changes"] and "wheel" in width["changes"]
    assert next(r for r in state["results"] if r["name"] == "handle_height")["value"] == pytest.approx(840, abs=0.01)


def test_a_size_set_is_written_into_the_file_and_its_consequences_are_told(desk: Desk) -> None:
    before = design(desk)
    answer = desk.set(1, "bed_width", "650").json()
    assert design(desk) == before.replace("{value: 600,", "{value: 650,")
    state, told = answer["state"], answer["differences"]
    assert (state["number"], state["can_undo"], state["undo_what"]) == (2, True, "bed_width: 600, now 650")
    assert size_of(state, "rail_y")["value"] == pytest.approx(325 - 13.45)
    changed = {part["id"]: part for part in told["parts"]}
    assert "cut length" in changed["frame-hoop"]["kinds"]
    assert "frame-hoop" in told["cards"] and "frame-hoop" in told["cuts"]
    assert told["mass_kg"]["now"] > told["mass_kg"]["was"]
    track = next(result for result in told["results"] if result["name"] == "track")
    assert track["now"] - track["was"] == pytest.approx(50)


def test_what_an_asked_size_shall_come_to_is_what_a_person_sets(desk: Desk) -> None:
    state = desk.set(1, "handle_leg", "900").json()["state"]
    assert "equals: 900" in design(desk)
    height = next(result for result in state["results"] if result["name"] == "handle_height")
    assert height["value"] == pytest.approx(900, abs=0.01)


@pytest.mark.parametrize("text", ["1 ft", "max(600, 2 * bed_length / 4)", "24 in", "600 + 0", "6e2"])
def test_quantities_and_formulas_are_taken_as_in_the_file(desk: Desk, text: str) -> None:
    state = desk.set(1, "bed_width", text).json()["state"]
    assert size_of(state, "bed_width")["text"] == text
    wanted = {"1 ft": 304.8, "24 in": 609.6}.get(text, 600.0)
    assert size_of(state, "bed_width")["value"] == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("600 +", "formula-broken"),
        ("bed_lenght", "name-unknown"),
        ("bed_width", "sizes-in-a-ring"),
        ("600 furlong", "unit-unknown"),
        ("1 / 0", "formula-without-value"),
        ("__import__('os')", "formula-broken"),
        ("", "request-unclear"),
        ("60\n0", "request-unclear"),
        ("9" * 600, "request-unclear"),
    ],
)
def test_a_text_that_the_design_cannot_be_read_with_changes_nothing(desk: Desk, text: str, code: str) -> None:
    before = design(desk)
    answer = desk.set(1, "bed_width", text)
    assert answer.status_code == 422
    assert answer.json()["findings"][0]["code"] == code
    assert design(desk) == before
    assert desk.state()["number"] == 1


def test_a_size_that_no_die_can_make_is_kept_and_says_what_stands_against_it(desk: Desk) -> None:
    answer = desk.set(1, "bed_width", "60").json()
    state = answer["state"]
    assert state["number"] == 2 and state["readable"] and not state["workable"]
    assert any(finding["severity"] == "error" for finding in state["findings"])
    assert answer["differences"]["known"] is False and answer["differences"]["findings"]["new"]
    assert desk.get("/api/p/cart/scene.glb").status_code == 422
    assert size_of(state, "bed_width")["text"] == "60"
    assert desk.post("/api/p/cart/undo", {"base": 2}).json()["state"]["workable"]


def test_two_people_on_one_size_get_a_question_and_nothing_is_written_over(desk: Desk) -> None:
    assert desk.set(1, "bed_width", "650").status_code == 200
    answer = desk.set(1, "bed_width", "700")
    assert answer.status_code == 409
    told = answer.json()
    assert (told["yours"], told["theirs"], told["state"]["number"]) == ("700", "650", 2)
    assert told["findings"][0]["code"] == "changed-meanwhile"
    assert "650" in design(desk) and "700" not in design(desk)
    assert desk.set(told["state"]["number"], "bed_width", "700").status_code == 200


def test_two_people_on_different_sizes_both_keep_their_change(desk: Desk) -> None:
    desk.set(1, "bed_width", "650")
    state = desk.set(1, "bed_length", "1100").json()["state"]
    assert [size_of(state, name)["text"] for name in ("bed_width", "bed_length")] == ["650", "1100"]


def test_the_same_change_by_two_people_is_no_question(desk: Desk) -> None:
    desk.set(1, "bed_width", "650")
    answer = desk.set(1, "bed_width", "650")
    assert answer.status_code == 200 and answer.json()["state"]["number"] == 2


def test_a_change_by_an_editor_to_the_same_size_is_a_question_too(desk: Desk) -> None:
    path = desk.root / "cart" / "design.yaml"
    desk.state()
    path.write_text(path.read_text().replace("{value: 600,", "{value: 610,"))
    answer = desk.set(1, "bed_width", "700")
    assert answer.status_code == 409 and answer.json()["theirs"] == "610"


def test_a_file_broken_in_an_editor_is_told_and_never_edited(desk: Desk) -> None:
    path = desk.root / "cart" / "design.yaml"
    desk.state()
    path.write_text(path.read_text() + "\nparts: [\n")
    state = desk.state()
    assert not state["readable"] and state["findings"] and state["number"] == 2
    broken = path.read_text()
    assert desk.set(2, "bed_width", "650").status_code == 422
    assert path.read_text() == broken
    assert desk.post("/api/p/cart/undo", {"base": 2}).json()["state"]["readable"]


def test_undo_and_redo_by_call(desk: Desk) -> None:
    before = design(desk)
    desk.set(1, "bed_width", "650")
    back = desk.post("/api/p/cart/undo", {"base": 2, "client": "tab"}).json()
    assert design(desk) == before and back["state"]["can_redo"] and back["differences"]["parts"]
    assert back["state"]["redo_what"] == "bed_width: 600, now 650"
    again = desk.post("/api/p/cart/redo", {"base": 3}).json()
    assert size_of(again["state"], "bed_width")["text"] == "650"
    assert desk.post("/api/p/cart/undo", {"base": 1}).status_code == 409


def test_differences_with_the_cutting_plan_tell_the_price(desk: Desk) -> None:
    desk.set(1, "bed_width", "650")
    told = desk.get("/api/p/cart/differences?since=1&units=4").json()
    assert told["with_cutting"] and "cutting" in [one["name"] for one in told["batch"]]
    assert set(told["price"]) == {"was", "now"}
    assert desk.get("/api/p/cart/differences?since=77").status_code == 404
    assert desk.state()["summary"]["price_known"] is False
    assert desk.get("/api/p/cart/state?units=4").json()["summary"]["price_known"] is True


def glb_nodes(raw: bytes) -> list[dict[str, Any]]:
    assert raw[:4] == b"glTF"
    length = struct.unpack_from("<I", raw, 12)[0]
    return list(json.loads(raw[20 : 20 + length])["nodes"])


def test_the_scene_has_every_piece_and_moves_assemblies(tmp_path: Path) -> None:
    project_folder(tmp_path, "hut", "hut-trailer.yaml")
    with Desk(tmp_path) as desk:
        state = desk.state("hut")
        drawn = glb_nodes(desk.get("/api/p/hut/scene.glb").content)
        pieces = [node for node in drawn if "part" in node.get("extras", {})]
        assert len(pieces) == state["summary"]["pieces"]
        assert {node["extras"]["part"] for node in pieces} == {part["id"] for part in state["parts"]}
        lifted = glb_nodes(desk.get("/api/p/hut/scene.glb?position=cot:lifted off&position=hood:down").content)
        cot = next(node for node in lifted if node["name"] == "cot")
        assert cot["matrix"][12:15] == pytest.approx([0, 0.4, 0]), "400 mm up, in the axes of glTF"
        hood = next(a for a in state["assemblies"] if a["name"] == "hood")
        assert [position["name"] for position in hood["positions"]] == ["up", "down"]
        for wrong in ("cot:flying", "sledge:up", "cot"):
            assert desk.get("/api/p/hut/scene.glb", params={"position": wrong}).status_code == 404


def test_a_part_tells_its_card_and_its_sheets(desk: Desk) -> None:
    part = desk.get("/api/p/cart/part/frame-hoop?units=3").json()
    assert part["pieces"] == 3 * part["quantity"]
    assert [bend["number"] for bend in part["bends"]] == [1, 2]
    assert "bender" in [sheet["station"] for sheet in part["sheets"]]
    assert desk.get("/api/p/cart/part/nothing").status_code == 404


def test_limits_are_values_that_were_tried(desk: Desk) -> None:
    told = desk.get("/api/p/cart/limits/bed_width").json()
    assert told["low"]["value"] < 600 <= told["high"]["value"] <= 900
    if told["low"]["why"]:
        answer = desk.set(1, "bed_width", f"{told['low']['value']:.6g}").json()
        assert answer["state"]["workable"], "the least good value is good"
        below = told["low"]["value"] - 600 * 0.5 / 6 / 2**4 * 1.01
        assert not desk.set(2, "bed_width", f"{below:.6g}").json()["state"]["workable"]


# ------------------------------------------------------------------------------------------------ work
def awaited(desk: Desk, name: str) -> dict[str, Any]:
    for _ in range(2400):
        told: dict[str, Any] = desk.get(f"/api/p/cart/under-way/{name}").json()
        if told["stage"] != "running":
            return told
        time.sleep(0.05)
    raise AssertionError("the work never ended")


def test_chosen_sheets_are_written_beside_the_server_and_handed_out(desk: Desk) -> None:
    begun = desk.post("/api/p/cart/under-way", {"kind": "pack", "units": 2, "options": {"station": "lists"}})
    assert begun.status_code == 202
    told = awaited(desk, begun.json()["id"])
    assert (told["stage"], told["files"]) == ("done", ["pack-station-lists.pdf"]), told
    sheet = desk.get("/api/p/cart/files/pack-station-lists.pdf")
    assert sheet.content.startswith(b"%PDF-") and sheet.headers["content-type"] == "application/pdf"


def test_a_cutting_plan_worked_out_beside_the_server_is_taken_over(desk: Desk) -> None:
    assert not desk.get("/api/p/cart/state?units=40").json()["summary"]["price_known"]
    told = awaited(desk, desk.post("/api/p/cart/under-way", {"kind": "cutting", "units": 40}).json()["id"])
    assert told["stage"] == "done"
    assert desk.get("/api/p/cart/state?units=40").json()["summary"]["price_known"]


def test_work_can_be_stopped_and_leaves_nothing_behind(desk: Desk) -> None:
    begun = desk.post("/api/p/cart/under-way", {"kind": "folder", "units": 2}).json()
    assert desk.post("/api/p/cart/under-way", {"kind": "folder", "units": 2}).status_code == 409
    assert desk.post(f"/api/p/cart/under-way/{begun['id']}/cancel", {}).json()["stage"] == "cancelled"
    assert awaited(desk, begun["id"])["stage"] == "cancelled"
    for _ in range(200):
        left = [path.name for path in (desk.root / "cart").iterdir() if path.name.startswith(".sheets-")]
        if not left:
            break
        time.sleep(0.05)
    assert left == [] and not (desk.root / "cart" / "sheets").exists()
    assert desk.get("/api/p/cart/under-way/other").status_code == 404


def test_work_on_a_design_that_does_not_hold_says_why(desk: Desk) -> None:
    desk.set(1, "bed_width", "60")
    told = awaited(desk, desk.post("/api/p/cart/under-way", {"kind": "pack", "options": {}}).json()["id"])
    assert told["stage"] == "failed" and told["findings"][0]["severity"] == "error"


def test_a_sheet_that_there_is_not_is_refused_with_its_reason(desk: Desk) -> None:
    begun = desk.post("/api/p/cart/under-way", {"kind": "pack", "options": {"part": "nothing"}}).json()
    told = awaited(desk, begun["id"])
    assert told["stage"] == "failed" and told["findings"][0]["code"] == "not-written"


# ------------------------------------------------------------------------------------------------ live
def test_a_listener_hears_of_changes_by_others_and_of_an_editor(desk: Desk) -> None:
    with desk.client.websocket_connect("/ws/p/cart", headers={"origin": HERE, "host": HOST}) as socket:
        assert socket.receive_json() == {"kind": "state", "number": 1, "client": ""}
        desk.set(1, "bed_width", "650")
        assert socket.receive_json() == {"kind": "state", "number": 2, "client": "tab"}
        path = desk.root / "cart" / "design.yaml"
        path.write_text(path.read_text() + "# by hand\n")
        assert socket.receive_json() == {"kind": "state", "number": 3, "client": ""}


# ------------------------------------------------------------------------------------------------ without scripts
def test_saved_states_are_brought_back_by_a_form(desk: Desk) -> None:
    before = design(desk)
    desk.set(1, "bed_width", "650")
    text = desk.get("/p/cart/versions").text
    assert "bed_width: 600, now 650" in text
    answer = desk.form("/p/cart/versions", number=1)
    assert (answer.status_code, answer.headers["location"]) == (303, "/p/cart/?since=2")
    assert design(desk) == before


def test_a_size_is_set_by_a_form_and_the_way_back_leads_to_what_differs(desk: Desk) -> None:
    answer = desk.form("/p/cart/size", base=1, name="bed_width", text="650")
    assert (answer.status_code, answer.headers["location"]) == (303, "/p/cart/?since=1")
    assert "650" in design(desk)
