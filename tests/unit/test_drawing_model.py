"""Strokes, texts and dimensions on paper: how they are measured, stacked and written as SVG."""

import math
import xml.etree.ElementTree as ET
from importlib.resources import files
from itertools import pairwise

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from handbarrow.drawings.boxes import outside, overlaps, quads_overlap, text_box
from handbarrow.drawings.dimensions import dimension_strokes, dimension_text, lanes, text_span
from handbarrow.drawings.model import Dimension, Drawing, Stroke, Text
from handbarrow.drawings.placing import Room, spread
from handbarrow.drawings.shapes import hatched, scale_rule
from handbarrow.drawings.svg import svg
from handbarrow.drawings.widths import text_width

SVG = "{http://www.w3.org/2000/svg}"


def test_text_widths_are_those_of_the_font_that_prints_them() -> None:
    """Closed form: advance widths of Noto Sans, read here from the installed font."""
    with files("fontpkg_noto_sans").joinpath("files/NotoSans[wdth,wght].ttf").open("rb") as file:
        font = TTFont(file)
        names, widths, em = font.getBestCmap(), font["hmtx"].metrics, font["head"].unitsPerEm
    for sign in [chr(i) for i in range(32, 127)] + list("°±×–—·…Øø½‘’“”"):
        assert text_width(sign, 1.0) == pytest.approx(widths[names[ord(sign)]][0] / em, abs=1e-9), sign


def test_a_turned_text_fills_a_turned_box() -> None:
    flat = text_box(Text(x=0, y=0, string="HHH", size=10.0))
    up = text_box(Text(x=0, y=0, string="HHH", size=10.0, rotation_rad=-math.pi / 2))
    width = text_width("HHH", 10.0)
    assert flat[1] == pytest.approx((width, -7.14))
    assert min(y for _, y in up) == pytest.approx(-width)  # reads from the bottom up: it runs towards smaller y
    assert min(x for x, _ in up) == pytest.approx(-7.14)


def test_texts_that_touch_do_not_overlap_but_those_that_cover_each_other_do() -> None:
    square = ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0))
    beside = tuple((x + 2.0, y) for x, y in square)
    diamond = ((3.0, 1.0), (4.0, 2.0), (3.0, 3.0), (2.0, 2.0))
    assert not quads_overlap(square, beside)
    assert not quads_overlap(square, diamond)
    assert quads_overlap(square, tuple((x - 1.2, y - 0.6) for x, y in diamond))
    one, two = Text(x=1, y=5, string="outer hoop"), Text(x=8, y=6, string="front beam")
    drawing = Drawing(width=40, height=10, words=(one, two), alt="two names")
    assert overlaps(drawing) == [(one, two)]
    assert outside(drawing) == []
    assert outside(Drawing(width=12, height=10, words=(one,), alt="too narrow")) == [one]


def test_a_dimension_measures_along_its_own_direction() -> None:
    slanted = Dimension(p1=(0, 0), p2=(30, 40), line=(0, -10), value=30.0, text="30")
    assert slanted.on_paper == pytest.approx(30.0)
    assert slanted.ends == (pytest.approx((0, -10)), pytest.approx((30, -10)))
    upright = Dimension(p1=(0, 0), p2=(30, 40), line=(-8, 0), value=40.0, text="40", direction_rad=math.pi / 2)
    assert upright.on_paper == pytest.approx(40.0)
    text = dimension_text(upright)
    assert text.rotation_rad == pytest.approx(-math.pi / 2)  # read from the right-hand side of the sheet
    assert text.x < -8  # to the left of its line: above it, for who reads it
    assert text.y == pytest.approx(20.0)


def test_a_short_dimension_puts_its_arrows_and_its_number_outside() -> None:
    short = Dimension(p1=(10, 0), p2=(12, 0), line=(10, -8), value=2.0, text="413.5")
    text = dimension_text(short)
    left = min(x for x, _ in text_box(text))
    assert left > 12.0
    line = max((s for s in dimension_strokes(short) if s.fill == "none"), key=lambda s: s.points[-1][0])
    assert line.points[-1][0] >= max(x for x, _ in text_box(text)) - 0.1  # the line runs on below the number
    low, high = text_span(short.text, 10.0, 12.0)
    assert low < 10.0 and high >= max(x for x, _ in text_box(text))


@given(st.lists(st.tuples(st.floats(0, 200), st.floats(0.5, 80)), max_size=12))
def test_stacked_dimensions_never_share_a_stretch_of_their_lane(items: list[tuple[float, float]]) -> None:
    spans = [(low, low + size) for low, size in items]
    given_lanes = lanes(spans)
    for i, (a, b) in enumerate(spans):
        for j in range(i):
            if given_lanes[i] == given_lanes[j]:
                assert b < spans[j][0] or spans[j][1] < a


@given(st.lists(st.floats(0, 100), max_size=15), st.floats(1, 9))
def test_marks_moved_apart_keep_their_order_their_gap_and_the_strip(places: list[float], gap: float) -> None:
    places.sort()
    out = spread(places, gap, 0.0, 100.0)
    room = min(gap, 100.0 / max(len(places) - 1, 1))
    assert all(b - a >= room - 1e-9 for a, b in pairwise(out))
    assert all(-1e-9 <= x <= 100.0 + 1e-9 for x in out)
    if all(b - a >= gap for a, b in pairwise(places)):
        assert out == pytest.approx(places)


def test_a_text_is_only_put_where_no_line_and_no_text_is() -> None:
    room = Room(60, 30)
    room.block([Stroke(points=((0, 10), (60, 10)))])
    text = Text(x=0, y=0, string="1500", size=4.2)
    first = room.put(text, [(5, 11.0), (5, 9.0)])
    assert first is not None and first.y == 9.0
    assert room.put(text, [(6, 9.0), (70, 5.0)]) is None


def test_svg_without_texts_holds_geometry_only_and_true_millimetres() -> None:
    rule = scale_rule(100.0)
    root = ET.fromstring(svg(rule))  # noqa: S314 - our own text
    assert root.get("width") == "108mm" and root.get("viewBox", "").startswith("0 0 108 ")
    assert not list(root.iter(f"{SVG}text"))
    assert root.findtext(f"{SVG}title") == rule.alt
    (first, last), *_ = lines_of(root)
    assert last[0] - first[0] == pytest.approx(100.0, abs=1e-9)


def lines_of(root: ET.Element) -> list[list[tuple[float, float]]]:
    """Every polyline of an SVG in painting order, in mm."""
    out = []
    for group in root.iter(f"{SVG}g"):
        scale = float(group.get("transform", "scale(1)").removeprefix("scale(").rstrip(")"))
        for path in group.iter(f"{SVG}path"):
            for line in path.get("d", "").replace("Z", "").split("M")[1:]:
                points = (point.split() for point in line.split("L"))
                out.append([(float(x) * scale, float(y) * scale) for x, y in points])
    return out


def test_svg_joins_lines_of_one_look_and_loses_none_of_them() -> None:
    rule = scale_rule(100.0)
    root = ET.fromstring(svg(rule))  # noqa: S314 - our own text
    drawn = sorted(tuple(p) for line in lines_of(root) for p in line)
    given = sorted(tuple(p) for stroke in rule.all_strokes for p in stroke.points)
    assert drawn == [pytest.approx(p, abs=0.0006) for p in given]
    looks = {(s.weight, s.dash, s.fill) for s in rule.all_strokes}
    assert len(list(root.iter(f"{SVG}path"))) == len(looks) < len(rule.all_strokes)


def test_svg_paints_what_is_white_over_the_lines_before_it_and_under_those_after_it() -> None:
    strokes = (
        Stroke(points=((0, 0), (1, 0))),
        Stroke(points=((0, 1), (1, 1), (1, 2)), fill="black", closed=True),
        Stroke(points=((0, 0), (9, 0), (9, 9)), fill="white", closed=True),
        Stroke(points=((2, 0), (3, 0))),
        Stroke(points=((4, 0), (5, 0)), dash=(2.0, 1.2)),
        Stroke(points=((6, 0), (7, 0))),
    )
    root = ET.fromstring(svg(Drawing(width=9, height=9, alt="x", strokes=strokes)))  # noqa: S314 - our own text
    paths = [(p.get("fill"), p.get("d")) for p in root.iter(f"{SVG}path")]
    assert paths == [
        (None, "M0 0L1000 0"),
        ("#000", "M0 1000L1000 1000L1000 2000Z"),
        ("#fff", "M0 0L9000 0L9000 9000Z"),
        (None, "M2000 0L3000 0M6000 0L7000 0"),
        (None, "M4000 0L5000 0"),
    ]


def test_svg_with_texts_says_every_word_and_escapes_what_xml_forbids() -> None:
    drawing = Drawing(
        width=50, height=20, alt='<"odd"> & name', words=(Text(x=1, y=9, string="a < b & c", rotation_rad=0.5),),
        dimensions=(Dimension(p1=(5, 5), p2=(45, 5), line=(5, 15), value=400.0, text="400"),),
    )  # fmt: skip
    root = ET.fromstring(svg(drawing, texts=True))  # noqa: S314 - our own text
    assert [t.text for t in root.iter(f"{SVG}text")] == ["a < b & c", "400"]
    assert root.findtext(f"{SVG}title") == '<"odd"> & name'


def test_hatching_stays_within_its_rectangle() -> None:
    lines = hatched((10.0, 20.0), (47.3, 29.0))
    assert len(lines) > 15
    for line in lines:
        (x0, y0), (x1, y1) = line.points
        assert all(10.0 - 1e-9 <= x <= 47.3 + 1e-9 for x in (x0, x1))
        assert all(20.0 - 1e-9 <= y <= 29.0 + 1e-9 for y in (y0, y1))
        assert x1 - x0 == pytest.approx(y0 - y1)
