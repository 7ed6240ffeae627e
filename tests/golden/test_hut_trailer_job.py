"""The hut trailer's job data judged from outside: nothing here imports the program's geometry.

Everything is worked out again from the JSON document alone, with a few lines of vector algebra, as a program that reads
the document would. Source of the relations: the conventions in docs/nomenclature.md (plane geometry); the shared
assumption about the reference line is the workshop file's `reference offset`, repeated in each bend.
"""

from __future__ import annotations

import itertools
import json
import math
import subprocess
import sys
from collections import Counter
from pathlib import Path
from typing import Any

import numpy as np
import pytest

ROOT = Path(__file__).parents[2]
UNITS = 8
Json = dict[str, Any]
CONTRACT = [
    *("schema", "design", "workshop", "units", "sizes", "parts", "placements"),
    *("cutting", "cutting_bounds", "materials", "findings"),
]


@pytest.fixture(scope="module")
def job() -> Json:
    done = subprocess.run(
        [
            *(sys.executable, "-m", "handbarrow.cli", "data", "examples/hut-trailer.yaml"),
            *("--workshop", "examples/ridge-workshop.yaml", "--units", str(UNITS)),
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    out: Json = json.loads(done.stdout)
    return out


def unit(v: np.ndarray) -> np.ndarray:
    return v / np.linalg.norm(v)


def turned(v: np.ndarray, axis: np.ndarray, angle: float) -> np.ndarray:
    """Rodrigues, written out once more."""
    return v * math.cos(angle) + np.cross(axis, v) * math.sin(angle) + axis * (axis @ v) * (1 - math.cos(angle))


def bent(job: Json) -> list[Json]:
    return [p for p in job["parts"] if p.get("bends")]


def runs(job: Json) -> list[Json]:
    return [p for p in job["parts"] if p["kind"] in ("tube", "bar")]


def test_the_document_holds_what_the_contract_names(job: Json) -> None:
    for key in CONTRACT:
        assert key in job
    assert job["units"] == UNITS
    assert job["findings"] == []
    assert len(bent(job)) >= 7
    for absent in ("loads", "checks", "schedule", "cost", "inspection"):
        assert absent not in job, "a key that no feature has reached yet is absent, never faked"


def test_straights_angles_and_turns_follow_from_the_corner_points(job: Json) -> None:
    for part in bent(job):
        points = np.array(part["centreline"]["points"])
        radii = np.array(part["centreline"]["radii"])
        t = [unit(b - a) for a, b in itertools.pairwise(points)]
        angles = [math.acos(np.clip(a @ b, -1, 1)) for a, b in itertools.pairwise(t)]
        normals = [unit(np.cross(a, b)) for a, b in itertools.pairwise(t)]
        back = [0.0, *(r * math.tan(a / 2) for r, a in zip(radii, angles, strict=True)), 0.0]
        legs = np.linalg.norm(np.diff(points, axis=0), axis=1)
        straights = [leg - b0 - b1 for leg, b0, b1 in zip(legs, back[:-1], back[1:], strict=True)]
        assert part["straights"] == pytest.approx(straights, abs=1e-4), part["id"]
        assert min(straights) > 0
        for i, bend in enumerate(part["bends"]):
            assert bend["angle"] == pytest.approx(math.degrees(angles[i]), abs=1e-4)
            assert bend["radius"] == pytest.approx(radii[i], abs=1e-4)
            turn = 0.0
            if i:
                n0, n1 = normals[i - 1], normals[i]
                turn = math.degrees(math.atan2(np.cross(n0, n1) @ t[i], n0 @ n1))
            assert abs((bend["turn"] - turn + 180) % 360 - 180) < 1e-4, (part["id"], i)
        assert np.array(part["crown"]) == pytest.approx(normals[0], abs=1e-6), "the crown lies along n_1"


def test_a_bend_as_made_is_not_the_die(job: Json) -> None:
    assert {part["id"] for part in bent(job) if "pull" in part} == {"foot-rail"}
    for part in (part for part in bent(job) if "pull" not in part):
        for bend in part["bends"]:
            law = bend["law"]
            assert law["a"] * bend["set_angle"] - law["b"] == pytest.approx(bend["angle"], abs=1e-5)
            assert bend["radius"] == pytest.approx(bend["die_radius"] * bend["set_angle"] / bend["angle"], rel=1e-6)
            assert 1.0 < bend["radius"] / bend["die_radius"] < 1.08


def test_a_rail_that_is_pulled_keeps_the_length_of_its_arc(job: Json) -> None:
    (rail,) = (part for part in bent(job) if "pull" in part)
    for bend, pulled in zip(rail["bends"], rail["pull"]["bends"], strict=True):
        assert pulled["on_former"] * pulled["pulled"] == pytest.approx(bend["radius"] * bend["angle"], rel=1e-6)
        assert pulled["on_former"] < bend["radius"], "it springs open"


def test_lengths_and_marks_add_up(job: Json) -> None:
    for part in bent(job):
        bends = part["bends"]
        used = sum(b["uses"] for b in bends)
        assert part["developed_length"] == pytest.approx(sum(part["straights"]) + used, abs=1e-4)
        # Where the bend starts on the straight tube, from its mark; fed from the end, the mark is on the other side.
        begins = [
            b["mark"] + b["reference_offset"] if b["feed"] == "start" else b["mark"] - b["reference_offset"] - b["uses"]
            for b in bends
        ]
        assert begins[0] == pytest.approx(part["straights"][0] - part["datum_shift"], abs=1e-4)
        for i in range(1, len(bends)):
            straight = begins[i] - begins[i - 1] - bends[i - 1]["uses"]
            assert straight == pytest.approx(part["straights"][i], abs=1e-4)
    for part in runs(job):
        shortest = [part["ends"][e]["shortest"] for e in ("start", "end")]
        assert part["cut_length"] == pytest.approx(part["developed_length"] - sum(shortest), abs=1e-4)
        for end in ("start", "end"):
            wrap = part["ends"][end]["wrap"]
            if wrap:
                assert min(h for _, h in wrap) == pytest.approx(part["ends"][end]["shortest"], abs=2e-4)
    assert any(part["datum_shift"] > 1 for part in bent(job)), "at least one bent tube starts with a cope"


def rebuilt(part: Json) -> np.ndarray:
    """Bend a straight tube by nothing but the card: marks, set angles, turns, die law."""
    at, t, n = np.zeros(3), np.array([1.0, 0, 0]), np.array([0.0, 0, 1])
    at = at - t * part["datum_shift"] * -1.0
    done, points, back = 0.0, [np.zeros(3)], 0.0
    position = np.zeros(3)
    for bend in part["bends"]:
        law = bend["law"]
        angle = math.radians(law["a"] * bend["set_angle"] - law["b"])
        radius = bend["die_radius"] * bend["set_angle"] / math.degrees(angle)
        offset = bend["reference_offset"]
        begin = bend["mark"] + offset if bend["feed"] == "start" else bend["mark"] - offset - bend["uses"]
        straight = begin - done + (part["datum_shift"] if done == 0.0 else 0.0)
        here = radius * math.tan(angle / 2)
        position = position + t * (back + straight + here)
        points.append(position)
        n = turned(n, t, math.radians(bend["turn"]))
        t = turned(t, n, angle)
        back, done = here, begin + bend["uses"]
    rest = part["cut_length"] - done + part["ends"]["end"]["shortest"]
    points.append(position + t * (back + rest))
    return np.array(points)


def test_bending_by_the_card_alone_gives_back_the_designed_tube(job: Json) -> None:
    for part in bent(job):
        made, wanted = rebuilt(part), np.array(part["centreline"]["points"])

        def distances(p: np.ndarray) -> np.ndarray:
            return np.linalg.norm(p[:, None] - p[None, :], axis=2)

        assert np.abs(distances(made) - distances(wanted)).max() < 0.01, part["id"]
        legs_made, legs_wanted = np.diff(made, axis=0), np.diff(wanted, axis=0)
        for i in range(len(legs_made) - 2):  # the same hand, not the mirror image
            a, b = (float(np.linalg.det(x[i : i + 3])) for x in (legs_made, legs_wanted))
            scale = np.prod(np.linalg.norm(legs_wanted[i : i + 3], axis=1))
            assert a / scale == pytest.approx(b / scale, abs=1e-6), part["id"]


def crown_at_end(part: Json) -> tuple[np.ndarray, np.ndarray]:
    """Carry the crown through the bends without twisting; return crown and direction on the last straight."""
    points = np.array(part["centreline"]["points"])
    t = [unit(b - a) for a, b in itertools.pairwise(points)]
    crown = np.array(part["crown"])
    for a, b in itertools.pairwise(t):
        if np.linalg.norm(np.cross(a, b)) > 1e-9:
            crown = turned(crown, unit(np.cross(a, b)), math.acos(np.clip(a @ b, -1, 1)))
    return crown, t[-1]


def to_centreline(part: Json, p: np.ndarray) -> float:
    """Distance of a point from a part's finished centreline (straights and arcs)."""
    points, radii = np.array(part["centreline"]["points"]), part["centreline"]["radii"]
    best, at = math.inf, points[0]
    for k in range(len(points) - 1):
        t = unit(points[k + 1] - points[k])
        stop, bend = points[k + 1], None
        if k < len(radii):
            t2 = unit(points[k + 2] - points[k + 1])
            angle = math.acos(np.clip(t @ t2, -1, 1))
            back = radii[k] * math.tan(angle / 2)
            stop = points[k + 1] - t * back
            bend = (unit(np.cross(t, t2)), angle, back, t2)
        along = np.clip((p - at) @ t, 0, np.linalg.norm(stop - at))
        best = min(best, float(np.linalg.norm(p - at - t * along)))
        at = stop
        if bend is not None:
            n, angle, back, t2 = bend
            centre = stop + np.cross(n, t) * radii[k]
            flat = (p - centre) - n * ((p - centre) @ n)
            e1 = unit(stop - centre)
            where = math.atan2(flat @ np.cross(n, e1), flat @ e1)
            if 0 <= where <= angle:
                ring = centre + radii[k] * unit(flat)
                best = min(best, float(np.linalg.norm(p - ring)))
            at = points[k + 1] + t2 * back
    return best


def placed(job: Json, part_id: str, copy: int) -> Json:
    part = next(p for p in job["parts"] if p["id"] == part_id)
    m = np.array(next(p["transform"] for p in job["placements"] if p["part"] == part_id and p["copy"] == copy))
    points = np.array(part["centreline"]["points"]) @ m[:3, :3].T + m[:3, 3]
    return part | {"centreline": {"points": points.tolist(), "radii": part["centreline"]["radii"]}}


def test_every_coped_edge_lies_on_the_tube_that_it_meets(job: Json) -> None:
    seen = 0
    for part in runs(job):
        if part["section"]["shape"] != "round tube":
            continue
        radius = part["section"]["outside"] / 2
        points = np.array(part["centreline"]["points"])
        for end in ("start", "end"):
            cut = part["ends"][end]
            if cut["kind"] != "cope":
                continue
            receiver = placed(job, cut["against"], cut.get("against_copy", 1))
            if receiver["section"]["shape"] != "round tube":
                continue
            if end == "start":
                crown, t, work, into = np.array(part["crown"]), unit(points[1] - points[0]), points[0], 1.0
            else:
                crown, t = crown_at_end(part)
                work, into = points[-1], -1.0
            assert abs(crown @ t) < 1e-6
            for s, h in cut["wrap"][::12]:
                phi = s / radius
                edge = work + into * t * h + radius * (math.cos(phi) * crown + math.sin(phi) * np.cross(t, crown))
                off = to_centreline(receiver, edge) - receiver["section"]["outside"] / 2
                assert abs(off) < 0.01, (part["id"], end, s, off)
                seen += 1
    assert seen > 300


def test_every_piece_is_cut_once_and_no_bar_is_overfilled(job: Json) -> None:
    cut: Counter[str] = Counter()
    lengths = {p["id"]: p["cut_length"] for p in runs(job)}
    for bar in (one for one in job["cutting"] if one["form"] == "bar"):
        at = bar["trim"]
        for piece in bar["layout"]:
            assert piece["at"] >= at - 1e-5  # numbers of the document are rounded to a millionth
            at = piece["at"] + piece["length"] + bar["kerf"]
            if piece["part"]:
                cut[piece["part"]] += bar["count"]
                assert piece["length"] >= lengths[piece["part"]] - 1e-5
        assert at - bar["kerf"] <= bar["length"] - bar["trim"] + 1e-5
    assert cut == {p["id"]: p["quantity"] * UNITS for p in runs(job)}
    assert all(b["proven"] for b in job["cutting_bounds"] if b["stock"] in {p["stock"] for p in runs(job)})


def test_each_copy_stands_somewhere_and_wheels_stand_on_the_ground(job: Json) -> None:
    copies = Counter(p["part"] for p in job["placements"])
    assert copies == {p["id"]: p["quantity"] for p in job["parts"]}
    for placement in job["placements"]:
        m = np.array(placement["transform"])
        assert m[:3, :3] @ m[:3, :3].T == pytest.approx(np.eye(3), abs=1e-9)
        assert np.linalg.det(m[:3, :3]) == pytest.approx(-1 if placement["mirrored"] else 1)
    wheel = next(p for p in job["parts"] if p["id"] == "wheel")
    assert wheel["centre_of_mass"][2] == pytest.approx((406 + 2 * 47) / 2)
    assert job["results"]["tow_eye_height"] == pytest.approx(780, abs=1e-3)
