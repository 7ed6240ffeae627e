"""Whatever is sent to the forms of the workbench: never a fault of the program, and the files stay whole."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from desk import HERE, Desk, project_folder
from handbarrow.workshop.reader import read_shop

KEYS = [
    "name",
    "stock",
    "dies",
    "saw",
    "limits",
    "prices",
    "kerf",
    "lengths",
    "off-cuts",
    "tube%2026.9x2.3",
    "#0",
    "#1",
    "#99",
    "price",
    "length",
    "wheel%2047-406",
    "set angle",
    "a",
    "",
    "..",
    "handbarrow",
    "a/b",
    "%00",
    "#-1",
]
STEPS = st.lists(st.sampled_from(KEYS), max_size=6)
NAMES = st.builds(lambda kind, steps: kind + "/".join(steps), st.sampled_from(["v:", "n:", ""]), STEPS)
ODD = [
    "1",
    "-1",
    "1e999",
    "{",
    "&a",
    "*a",
    "!!python/name:os.system",
    "'",
    '"',
    "\u2028",
    "\ufeff",
    "null",
    "~",
    "<b>",
    "#x",
]
VALUES = st.one_of(
    st.text(max_size=30).filter(lambda text: not any("\ud800" <= sign <= "\udfff" for sign in text)),
    st.sampled_from([*ODD, "[1, 2", "a: b", "- x", "# x", "tube 20x2"]),
)


@pytest.fixture(scope="module")
def desk() -> Iterator[Desk]:
    with tempfile.TemporaryDirectory() as folder:
        project_folder(Path(folder))
        with Desk(Path(folder)) as out:
            yield out


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(fields=st.dictionaries(NAMES, VALUES, max_size=4), remove=st.one_of(st.just(""), NAMES), base=st.integers(0, 3))
def test_any_form_of_the_workshop_leaves_a_file_that_can_be_read(
    desk: Desk, fields: dict[str, str], remove: str, base: int
) -> None:
    file = desk.root / "cart" / "workshop.yaml"
    data = {**fields, "token": desk.token, "base": str(base), "block": "shop", "remove": remove}
    answer = desk.client.post("/p/cart/workshop", data=data, headers={"origin": HERE}, follow_redirects=False)
    assert answer.status_code in (303, 404, 409, 422)
    assert read_shop(file.read_bytes(), "w.yaml").shop is not None
    assert file.read_text().startswith("# The workshop of the mountain-hut co-operative")


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    path=st.sampled_from(["new", "p/cart/role", "p/cart/units", "p/cart/workshop/law", "p/cart/workshop/prices/take",
                          "p/cart/bench/saw/1?task=x", "p/cart/bench/check/1?task=y", "p/cart/bench/%00/1?task=y",
                          "p/%2e%2e/role", "p/.versions/role", "bring"]),
    fields=st.dictionaries(
        st.sampled_from(["like", "title", "wheel", "tube", "bed_width", "role", "text", "base", "units", "die", "bends",
                         "take", "field", "done-1", "count", "m-leg-1-1", "boxes", "at", "shop", "design"]),
        st.one_of(VALUES, st.sampled_from(["handcart", "0", "1", "9999999999999999999", '[["name", "x"]]', "of:cart",
                                           "of:../..", "90 88\n45 44"])), max_size=6),
)  # fmt: skip
def test_any_other_form_is_answered(desk: Desk, path: str, fields: dict[str, str]) -> None:
    data = {**fields, "token": desk.token}
    answer = desk.client.post(f"/{path}", data=data, headers={"origin": HERE}, follow_redirects=False)
    assert answer.status_code < 500
    assert {one.name for one in desk.root.parent.iterdir()} >= {desk.root.name}
    names = {one.name for one in (desk.root / "cart").iterdir()}
    assert names <= {"design.yaml", "workshop.yaml", ".versions", "bench.jsonl", "sheets"}
