"""What changed between two jobs: nothing for the same one; for a changed size just the parts whose numbers changed."""

from __future__ import annotations

import copy
import itertools
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from handbarrow.design.reader import read_design
from handbarrow.job.build import build_job
from handbarrow.sheets.codes import SheetCode
from handbarrow.sheets.compare import BATCH, KINDS, LEAST, compare
from handbarrow.sheets.jobdata import job_document
from handbarrow.sheets.verdict import judge
from handbarrow.workshop.reader import read_workshop

ROOT = Path(__file__).parents[2]
Json = dict[str, Any]
ELSEWHERE = {"mass_kg", "centre_of_mass", "centreline", "crown", "developed_length", "datum_shift", "planar"}
"""Keys of a part that no sheet of its own prints as they stand: weights, product axes, steps of the reckoning."""
SKIPPED = {
    "": ELSEWHERE,
    "bends": {"uses", "reference_offset", "stop_end", "stop_leg"},
    "check_sizes": {"from", "to"},
}


@cache
def document(name: str, change: tuple[str, str] = ("", "")) -> Json:
    text = (ROOT / f"examples/{name}.yaml").read_text()
    assert change[0] in text
    source, findings = read_design(text.replace(*change, 1).encode(), name)
    shop, _, _ = read_workshop((ROOT / "examples/ridge-workshop.yaml").read_bytes(), "shop")
    assert source is not None and shop is not None, findings
    job, findings = build_job(source, shop, 4, with_cutting=False)
    assert job is not None, findings
    return job_document(job)


def leaves(value: Any, at: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], Any]]:
    """Every plain value of a document with its path: a comparison that knows nothing of kinds."""
    if isinstance(value, dict):
        for key, inner in value.items():
            skip = SKIPPED.get(at[0] if at else "", set())
            if key not in skip:
                yield from leaves(inner, (*at, key))
    elif isinstance(value, list):
        yield (*at, "length"), len(value)
        for number, inner in enumerate(value):
            yield from leaves(inner, (*at, number))
    else:
        yield at, value


def differ(one: Json, two: Json) -> bool:
    first, second = dict(leaves(one)), dict(leaves(two))
    if first.keys() != second.keys():
        return True
    for at, value in first.items():
        other = second[at]
        if isinstance(value, float | int) and isinstance(other, float | int):
            if abs(value - other) > LEAST:
                return True
        elif value != other:
            return True
    return False


@pytest.mark.parametrize("name", ["handcart", "hut-trailer"])
def test_nothing_changed_between_a_job_and_itself(name: str) -> None:
    one = document(name)
    assert compare(one, copy.deepcopy(one)).parts == {}
    assert compare(one, copy.deepcopy(one)).batch == ()
    for sheet in [part["id"] for part in one["parts"]] + ["+wraps", "+cutting", "+cover", "+parts"]:
        code = SheetCode(
            sheet=sheet, design_digest=one["design"]["digest"][:8], workshop_digest=one["workshop"]["digest"][:8],
            units=4,
        )  # fmt: skip
        for older in (one, None):
            assert judge(code, one, older).state == "current"


CHANGES = [
    ("hut-trailer", ("bed_length: 1900", "bed_length: 1870")),
    ("hut-trailer", ("bed_width: {value: 560", "bed_width: {value: 540")),
    ("handcart", ("play: {value: 3", "play: {value: 4")),
    ("handcart", ("bed_length: 1000", "bed_length: 1100")),
]


@pytest.mark.parametrize(("name", "change"), CHANGES)
def test_a_changed_size_lists_the_parts_whose_numbers_changed_and_no_other(name: str, change: tuple[str, str]) -> None:
    old, new = document(name), document(name, change)
    before, after = ({part["id"]: part for part in one["parts"]} for one in (old, new))
    assert list(before) == list(after)
    expected = {part for part in before if differ(before[part], after[part])}
    found = compare(old, new).parts
    told = {part for part, changes in found.items() if any(change.kind != "place" for change in changes)}
    assert told == expected
    assert 0 < len(told) < len(before)
    code = SheetCode(
        sheet="", design_digest=old["design"]["digest"][:8], workshop_digest=old["workshop"]["digest"][:8], units=4
    )
    for part in before:
        verdict = judge(SheetCode(**{**as_dict(code), "sheet": part}), new, old)
        assert verdict.state == "superseded"
        assert verdict.still_right == (part not in expected)
        assert (part in verdict.parts) == (part in expected)


def as_dict(code: SheetCode) -> dict[str, Any]:
    return {name: getattr(code, name) for name in ("sheet", "design_digest", "workshop_digest", "units")}


# ------------------------------------------------------------------------------------------------ one number at a time
EDITS = {
    "cut length": ("cut_length",),
    "marks": ("bends", 0, "mark"),
    "angles": ("bends", 0, "angle"),
    "set angles": ("bends", 0, "set_angle"),
    "turns": ("bends", 0, "turn"),
    "dies": ("bends", 0, "radius"),
    "straights": ("straights", 0),
    "seam": ("seam", "from_crown"),
    "wraps": ("ends", "start", "deepest"),
    "outline": ("blank", "thickness"),
    "check sizes": ("check_sizes", 0, "value"),
    "holes": ("holes", 0, "x"),
}


def inner(value: Any, path: tuple[Any, ...]) -> Any:
    for step in path:
        value = value[step]
    return value


@cache
def places() -> list[tuple[str, int, tuple[Any, ...]]]:
    out = []
    for (number, part), (kind, path) in itertools.product(enumerate(document("hut-trailer")["parts"]), EDITS.items()):
        try:
            value = inner(part, path)
        except (KeyError, IndexError):
            continue
        if isinstance(value, float | int):
            out.append((kind, number, path))
    return out


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_one_changed_number_is_one_change_of_one_part(data: st.DataObject) -> None:
    old = document("hut-trailer")
    kind, number, path = data.draw(st.sampled_from(places()))
    by = data.draw(st.floats(2 * LEAST, 50.0)) * data.draw(st.sampled_from([1, -1]))
    part = copy.deepcopy(old["parts"][number])
    inner(part, path[:-1])[path[-1]] += by
    new = {**old, "parts": [*old["parts"][:number], part, *old["parts"][number + 1 :]]}
    ((changed, changes),) = compare(old, new).parts.items()
    (change,) = changes
    assert (changed, change.kind) == (part["id"], kind)
    if change.was is not None and change.now is not None:
        assert change.now - change.was == pytest.approx(by)
    back = compare(new, old).parts[changed]
    assert [(c.kind, c.where, c.was, c.now) for c in back] == [(c.kind, c.where, c.now, c.was) for c in changes]


def test_every_kind_of_number_that_a_part_has_is_edited_above() -> None:
    assert {kind for kind, _, _ in places()} == set(EDITS)
    assert set(EDITS) | {"number", "name", "quantity", "hands", "stock", "stops", "order", "place"} == set(KINDS)


@pytest.mark.parametrize(
    ("key", "path", "kind"),
    [
        ("panel", ("cut", 0), "outline"),
        ("panel", ("stations", 0, "at"), "outline"),
        ("strap", ("pieces", 0, "cut"), "outline"),
        ("fastener", ("length",), "stock"),
        ("pull", ("saw_length",), "marks"),
    ],
)
def test_a_changed_number_of_cloth_webbing_or_a_bolt_is_a_change_of_that_part(
    key: str, path: tuple[Any, ...], kind: str
) -> None:
    old = document("hut-trailer")
    new = copy.deepcopy(old)
    part = next(part for part in new["parts"] if key in part)
    inner(part, (key, *path[:-1]))[path[-1]] += 3.0
    ((changed, changes),) = compare(old, new).parts.items()
    assert (changed, [change.kind for change in changes]) == (part["id"], [kind])


@given(st.sampled_from(["cutting", "stops", "materials", "masses", "findings"]))
def test_what_is_the_whole_batchs_is_told_apart_from_parts(name: str) -> None:
    old = document("hut-trailer")
    found = compare(old, {**old, name: [*old[name], {"place": 1, "item": "x"}]})
    assert found.parts == {}
    assert found.batch == (name,)
    assert name in BATCH
