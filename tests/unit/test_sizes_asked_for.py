"""Sizes that are asked for by a result. Expectations: closed forms (computed here)."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import pytest

from handbarrow.design.find import solve
from handbarrow.design.values import Corner, Design, Find, Part, Result, Run, Size
from invented import Drawn, codes, deg, design, die_80, height, only, run, wheel

TYRE_RADIUS = (559 + 2 * 53) / 2


def asked(name: str, result: str, equals: float, low: float, high: float, unit: str = "mm") -> Size:
    return Size(name=name, value=low, unit=unit, find=Find(result=result, equals=equals, low=low, high=high))


def bar(riser: float, angle: float = math.pi / 2) -> Part:
    """A drawbar that rises `riser` along a slope."""
    return run("drawbar", (0, 0, 0), (600, 0, 0), (600 + riser * math.cos(angle), 0, riser * math.sin(angle)))


def one(size: Size, angle: float = deg(70)) -> Drawn:
    def draw(values: Mapping[str, float]) -> Design:
        return design(
            bar(values[size.name], angle),
            wheel("wheel", (0, 0, -20)),
            results=[height("eye", "drawbar", "end")],
            sizes=[size],
        )

    return Drawn([size], draw)


def test_the_riser_that_brings_the_eye_to_780_mm() -> None:
    # ground is TYRE_RADIUS below the hub, the hub 20 below the drawbar: 780 = TYRE_RADIUS + 20 + riser sin 70
    source = one(asked("riser", "eye", 780, 200, 900))
    found, product, findings = solve(source, die_80)
    assert found is not None
    assert product is not None
    assert product.results["eye"] == pytest.approx(780, abs=1e-6)
    riser = product.members["drawbar"].centreline.points
    assert math.dist(riser[1], riser[2]) == pytest.approx((780 - TYRE_RADIUS - 20) / math.sin(deg(70)))
    assert codes(findings) == ["part-meets-nothing"] * 2
    assert source.calls <= 4, "a straight relation needs two points and their chord"


def test_where_there_is_no_such_value_both_ends_are_told() -> None:
    found, product, findings = solve(one(asked("riser", "eye", 780, 100, 200), deg(90)), die_80)
    assert found is not None
    assert product is None
    told = only(findings, "no-such-value")
    assert told.where == "sizes.riser"
    assert "no such value between 100 mm and 200 mm: eye at 100 mm: 452.5, at 200 mm: 552.5; 780 is" in told.wrong


def test_a_value_inside_an_interval_whose_ends_lie_on_one_side_is_found() -> None:
    def draw(values: Mapping[str, float]) -> Design:
        lean = values["lean"]
        return design(
            run("mast", (0, 0, 0), (500 * math.sin(lean), 0, 500 * math.cos(lean))),
            results=[height("top", "mast", "end")],
            sizes=[size],
        )

    size = asked("lean", "top", 499, deg(-20), deg(20), "deg")
    _, product, _ = solve(Drawn([size], draw), die_80)
    assert product is not None
    assert product.results["top"] == pytest.approx(499, abs=1e-6)


def test_a_result_that_jumps_over_its_target_is_told_with_the_place() -> None:
    def draw(values: Mapping[str, float]) -> Design:
        return design(
            run("post", (0, 0, 0), (0, 0, 100 if values["step"] < 3 else 200)),
            results=[height("top", "post", "end")],
            sizes=[size],
        )

    size = asked("step", "top", 150, 1, 4)
    told = only(solve(Drawn([size], draw), die_80)[2], "no-such-value")
    assert "top jumps past 150 where step is 3 mm" in told.wrong


def test_where_the_design_makes_no_sense_at_an_end_it_is_said() -> None:
    def draw(values: Mapping[str, float]) -> Design | None:
        if values["span"] > 300:
            return None
        return design(
            run("post", (0, 0, 0), (0, 0, values["span"])), results=[height("top", "post", "end")], sizes=[size]
        )

    size = asked("span", "top", 400, 100, 500)
    told = only(solve(Drawn([size], draw), die_80)[2], "no-such-value")
    assert "top at 100 mm: 100, at 500 mm: cannot be told" in told.wrong


def test_several_sizes_are_found_in_the_order_in_which_they_depend() -> None:
    # the rail's height depends on the post alone, the mast's on both; the mast stands first in the file
    sizes = [asked("mast", "top", 1000, 100, 900), asked("post", "deck", 400, 100, 900)]

    def draw(values: Mapping[str, float]) -> Design:
        post, mast = values["post"], values["mast"]
        return design(
            run("post", (0, 0, 0), (0, 0, post)),
            run("mast", (0, 0, post), (0, 0, post + mast)),
            results=[height("deck", "post", "end"), height("top", "mast", "end")],
            sizes=sizes,
        )

    source = Drawn(sizes, draw)
    _, product, _ = solve(source, die_80)
    assert product is not None
    assert product.results == pytest.approx({"deck": 400, "top": 1000})
    assert source.calls <= 16


def test_sizes_that_depend_on_each_other_settle_in_rounds() -> None:
    # a + b / 4 = 100, b + a / 4 = 200: a = 160 / 3, b = 560 / 3
    sizes = [asked("a", "first", 100, 0, 500), asked("b", "second", 200, 0, 500)]

    def draw(values: Mapping[str, float]) -> Design:
        a, b = values["a"], values["b"]
        return design(
            run("post", (0, 0, 0), (0, 0, 100)),
            results=[
                Result(name="first", kind="value", value=a + b / 4),
                Result(name="second", kind="value", value=b + a / 4),
            ],
            sizes=[Size(name="a", value=a, find=sizes[0].find), Size(name="b", value=b, find=sizes[1].find)],
        )

    found, product, _ = solve(Drawn(sizes, draw), die_80)
    assert found is not None
    assert product is not None
    assert [size.value for size in found.sizes] == pytest.approx([160 / 3, 560 / 3], abs=1e-3)


def test_sizes_that_push_each_other_about_are_told() -> None:
    # a + 1.3 b solved for a, b + 1.3 a for b: every round moves them 1.69 times further off
    sizes = [replace(asked(*row, -1e9, 1e9), value=0.0) for row in (("a", "first", 1000), ("b", "second", 900))]

    def draw(values: Mapping[str, float]) -> Design:
        a, b = values["a"], values["b"]
        return design(
            run("post", (0, 0, 0), (0, 0, 100)),
            results=[
                Result(name="first", kind="value", value=a + 1.3 * b),
                Result(name="second", kind="value", value=b + 1.3 * a),
            ],
            sizes=sizes,
        )

    _, product, findings = solve(Drawn(sizes, draw), die_80)
    assert product is None
    assert "sizes-do-not-settle" in codes(findings)


def test_an_unknown_result_is_told_with_the_nearest_name() -> None:
    _, product, findings = solve(one(asked("riser", "eyes", 780, 40, 400)), die_80)
    assert product is None
    told = only(findings, "unknown-result")
    assert "`eye`" in told.fix + told.expected
    assert told.where == "sizes.riser.find"


def test_one_result_cannot_ask_for_two_sizes() -> None:
    sizes = [asked("a", "top", 100, 0, 500), asked("b", "top", 100, 0, 500)]

    def draw(values: Mapping[str, float]) -> Design:
        return design(
            run("post", (0, 0, 0), (0, 0, 10 + values["a"])), results=[height("top", "post", "end")], sizes=sizes
        )

    assert codes(solve(Drawn(sizes, draw), die_80)[2]) == ["result-asked-twice"]


def test_a_design_that_asks_for_nothing_is_resolved_as_it_is() -> None:
    def draw(values: Mapping[str, float]) -> Design:
        return design(run("post", (0, 0, 0), (0, 0, 100)))

    source = Drawn([], draw)
    _, product, findings = solve(source, die_80)
    assert product is not None
    assert findings == []
    assert source.calls == 1


def test_a_size_may_be_asked_for_by_a_developed_length() -> None:
    # two legs of L with one right bend of 80: 2 (L - 80) + 80 pi / 2 = 1000
    size = asked("leg", "long", 1000, 200, 900)

    def draw(values: Mapping[str, float]) -> Design:
        leg = values["leg"]
        hook = Run(stock="main", corners=(Corner(at=(0, 0, 0)), Corner(at=(leg, 0, 0)), Corner(at=(leg, leg, 0))))
        return design(
            run("hook", *(c.at for c in hook.corners)),
            results=[Result(name="long", kind="length", part="hook")],
            sizes=[size],
        )

    _, product, _ = solve(Drawn([size], draw), die_80)
    assert product is not None
    assert product.members["hook"].centreline.points[1][0] == pytest.approx((1000 - 40 * math.pi) / 2 + 80)
