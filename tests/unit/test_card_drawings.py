"""Cards, strips, bars and the product view: what they show of the small job."""

import math
from dataclasses import replace

import numpy as np
import pytest

from factories import job_with, make_job, random_tube
from handbarrow.drawings.bars import cutting_bar
from handbarrow.drawings.card import card_view, check_letters
from handbarrow.drawings.faces import scale_words
from handbarrow.drawings.model import Drawing, Text
from handbarrow.drawings.product import assembly_members, hole_outline, product_view, rounded_corners
from handbarrow.drawings.strip import tube_strip
from handbarrow.job.values import CutBar, CutPiece, Job

JOB = make_job()


def said(drawing: Drawing) -> list[str]:
    return [t.string for t in drawing.texts]


def test_a_flat_hoop_is_drawn_in_true_view_with_leg_sizes_and_lettered_check_sizes() -> None:
    drawing = card_view(JOB, "outer-hoop", (184.0, 110.0))
    assert drawing.scale == pytest.approx(0.1) and "1:10" in said(drawing)
    values = sorted(d.text for d in drawing.dimensions)
    assert values == ["1500", "1500", "560", "A  586.9", "B  586.9"]
    assert said(drawing).count("START") == 1 and said(drawing).count("END") == 1
    assert {"1", "2"} <= set(said(drawing))


def test_letters_follow_the_order_of_the_card() -> None:
    card = JOB.part("outer-hoop").card
    assert card is not None
    assert check_letters(card) == {"leg-2": "A", "width-ends": "B", "flatness": "C"}


def test_a_tube_bent_in_two_planes_gets_three_views_and_an_isometric_one() -> None:
    drawing = card_view(JOB, "drawbar", (184.0, 120.0))
    assert {"from above", "from the front", "from the side", "isometric"} <= set(said(drawing))
    texts = [d.text for d in drawing.dimensions]
    assert texts.count("420") == 1  # a leg that is true in two views is measured in one
    assert "439.1" in texts and "346.6" in texts


def test_the_outline_on_a_card_is_as_wide_as_the_tube() -> None:
    """Closed form: on a 1:10 card a 26.9 mm tube is 2.69 mm wide, its corner-to-corner legs 26.9 / 2 inside."""
    drawing = card_view(JOB, "outer-hoop", (184.0, 110.0))
    points = np.array([p for s in drawing.strokes if s.layer == "outline" for p in s.points])
    size = points.max(axis=0) - points.min(axis=0)
    # along: from the longest points at the working points' line to the outside of leg 2; across: over both legs
    assert sorted(size) == pytest.approx([58.69, 151.345], abs=1e-6)


def test_a_small_box_says_how_many_sizes_it_leaves_out() -> None:
    part = random_tube([300, 200, 250, 220, 310], [90, 45, 30, 90], [0, 90, 37, 120])
    drawing = card_view(job_with(part), part.id, (90.0, 40.0))
    left_out = [t for t in said(drawing) if "not drawn: see the list" in t]
    large = card_view(job_with(part), part.id, (400.0, 300.0))
    assert len(left_out) == 1 and len(drawing.dimensions) < len(large.dimensions)


def test_a_straight_part_has_no_card() -> None:
    with pytest.raises(ValueError, match="front-beam is not bent"):
        card_view(JOB, "front-beam", (184.0, 110.0))


def test_scales_are_said_as_on_a_drawing() -> None:
    assert [scale_words(s) for s in (1.0, 0.4, 2 / 15, 0.05)] == ["1:1", "1:2.5", "1:7.5", "1:20"]


# ------------------------------------------------------------------------------------------------ strip, bar
def places(drawing: Drawing, layer: str) -> list[tuple[float, str]]:
    """(x of the middle, words) of the numbers of a layer, level or upright, left to right."""
    found = [t for t in drawing.words if t.layer == layer]
    return sorted((t.x - (0.714 * t.size / 2 if t.rotation_rad < -1 else 0.0), t.string) for t in found)


def test_a_strip_carries_true_running_numbers_at_places_to_scale() -> None:
    drawing = tube_strip(JOB, "outer-hoop", 184.0)
    part = JOB.part("outer-hoop")
    assert part.card is not None and part.cut_length is not None
    marks = [0.0, *(row.mark for row in part.card.rows), part.cut_length]
    numbers = places(drawing, "running")
    assert [text for _, text in numbers] == ["0", "1410.6", "1936.1", "3491"]
    heavy = sorted({s.points[0][0] for s in drawing.strokes if s.layer == "marks" and s.weight == 0.5})
    assert drawing.scale is not None
    left = min(p[0] for s in drawing.strokes if s.layer == "tube" for p in s.points)
    assert [(x - left) / drawing.scale for x in heavy] == pytest.approx(marks[1:3], abs=1e-6)


def test_marks_too_close_to_print_are_moved_apart_and_the_strip_says_so() -> None:
    part = random_tube([2000, 25, 30, 2000], [20, 20, 20], [0, 0, 0])
    drawing = tube_strip(job_with(part), part.id, 184.0)
    assert part.card is not None
    assert drawing.scale is None
    assert any("not to scale" in t for t in said(drawing))
    numbers = [float(text) for _, text in places(drawing, "running")]
    assert numbers[1:4] == pytest.approx([round(row.mark, 1) for row in part.card.rows], abs=0.051)


def test_a_bend_held_at_the_far_end_has_its_arrow_and_its_bent_stretch_towards_the_start() -> None:
    part = JOB.part("outer-hoop")
    assert part.card is not None
    rows = tuple(replace(row, feed="end") for row in part.card.rows)  # type: ignore[arg-type]
    job = job_with(replace(part, id="other-hoop", card=replace(part.card, rows=rows)))
    for name, sign in (("outer-hoop", 1), ("other-hoop", -1)):
        drawing = tube_strip(job, name, 184.0)
        marks = sorted({s.points[0][0] for s in drawing.strokes if s.layer == "marks" and s.weight == 0.5})
        bent = sorted(np.mean([p[0] for p in s.points]) for s in drawing.strokes if s.layer == "bent")
        assert all((b - m) * sign > 0 for m, b in zip(marks, bent, strict=True))


def test_a_bar_shows_each_cut_where_the_saw_goes() -> None:
    bar = JOB.cutting.bars[0]
    drawing = cutting_bar(JOB, bar, 184.0)
    numbers = places(drawing, "running")
    assert [t for _, t in numbers] == ["5", "3496", "4178", "4740"]  # from the trimmed end, kerf between the pieces
    assert drawing.scale == pytest.approx(176.0 / 6000.0)
    first = next(s for s in drawing.strokes if s.layer == "pieces")
    wide = max(p[0] for p in first.points) - min(p[0] for p in first.points)
    assert wide / drawing.scale == pytest.approx(bar.pieces[0].length)
    assert {"outer hoop  3491", "front beam  680", "cross tube  560", "1253"} <= set(said(drawing))


def bar_of(lengths: list[tuple[str, float]], length: float = 6000.0) -> CutBar:
    """A bar with pieces of these parts and lengths one after the other."""
    at, pieces = 5.0, []
    for copy, (part, size) in enumerate(lengths):
        pieces.append(CutPiece(part=part, copy=copy, at=at, length=size))
        at += size + 2.0
    return CutBar(
        stock="tube 26.9x2.3", source="shop", length=length, count=1, pieces=tuple(pieces), left=0.0, price=None
    )


def test_equal_neighbours_share_one_name_and_every_cut_keeps_its_mark() -> None:
    drawing = cutting_bar(JOB, bar_of([("cross-tube", 120.0)] * 32 + [("front-beam", 680.0)]), 184.0)
    assert [t for t in said(drawing) if "cross tube" in t and "at" not in t] == ["32 × cross tube  120"]
    ticks = [s for s in drawing.strokes if s.layer == "pieces" and len(s.points) == 2]
    assert len(ticks) == 31
    words = " ".join(said(drawing))
    for number in range(1, 33):  # closed form: 5 mm of trim, then piece and kerf in turn
        assert f" {5 + 120 * number + 2 * (number - 1)}" in f" {words}"


def test_pieces_with_room_have_their_number_at_the_cut_and_nothing_in_words() -> None:
    drawing = cutting_bar(JOB, bar_of([("drawbar", 900.0)] * 4 + [("cross-tube", 560.0)] * 2), 184.0)
    assert [t for _, t in places(drawing, "running")] == ["5", "905", "1807", "2709", "3611", "4173", "4735"]
    assert not any("also at" in t for t in said(drawing))


# ------------------------------------------------------------------------------------------------ units
def in_inches() -> Job:
    job = make_job()
    return replace(job, workshop=replace(job.workshop, show_length="in", show_mass="lb"))


def test_a_shop_that_reads_inches_gets_every_drawing_in_inches() -> None:
    # computed here: 1500 / 25.4 = 59.055, 586.9 / 25.4 = 23.106, 3491 / 25.4 = 137.44, 680 / 25.4 = 26.772
    job = in_inches()
    card = card_view(job, "outer-hoop", (184.0, 110.0))
    assert sorted(d.text for d in card.dimensions) == ["22.05", "59.06", "59.06", "A  23.11", "B  23.11"]
    assert any("Sizes in inches." in t for t in said(card))
    assert [t for _, t in places(tube_strip(job, "outer-hoop", 184.0), "running")][-1] == "137.44"
    bar = cutting_bar(job, job.cutting.bars[0], 184.0)
    assert {"front beam  26.77", "outer hoop  137.44"} <= set(said(bar))


def test_the_size_on_paper_is_the_same_whatever_the_shop_reads() -> None:
    metric, inches = (card_view(job, "drawbar", (184.0, 120.0)) for job in (JOB, in_inches()))
    values = [{round(d.value, 6) for d in drawing.dimensions} for drawing in (metric, inches)]
    assert values[0] & values[1] and all(d.on_paper / inches.scale == pytest.approx(d.value)  # type: ignore[operator]
                                         for d in inches.dimensions)  # fmt: skip


# ------------------------------------------------------------------------------------------------ product
@pytest.mark.parametrize("view", ["isometric", "front", "side", "top"])
def test_every_part_with_a_shape_is_numbered_once_in_the_order_of_the_list(view: str) -> None:
    drawing = product_view(JOB, view, (184.0, 110.0))
    assert said(drawing) == ["1", "2", "3", "4", "5", "6", "7"]  # the bolts have no place of their own
    points = np.array([p for s in drawing.strokes for p in s.points])
    assert points.min() >= 0 and (points.max(axis=0) <= (184.0, 110.0)).all()


def test_the_product_fills_its_box_and_keeps_its_proportions() -> None:
    """Closed form: from the side the whole is as long as from drawbar end to hoop outside, as high as ground to bow."""
    drawing = product_view(JOB, "side", (184.0, 110.0), numbers=False)
    points = np.array([p for s in drawing.strokes for p in s.points])
    size = points.max(axis=0) - points.min(axis=0)
    assert size[0] == pytest.approx(180.0)
    assert drawing.scale is not None
    assert size[1] / drawing.scale == pytest.approx(300 + 420 + 7.5, abs=0.1)
    assert 1513.45 + 1050 < size[0] / drawing.scale < 1513.45 + 1050 + 13.45


def test_an_assembly_brings_those_within_it() -> None:
    assert assembly_members(JOB, "frame") == {p.id for p in JOB.parts}
    assert assembly_members(JOB, "cot") == set()
    empty = product_view(JOB, assembly="cot")
    assert empty.strokes == () and "nothing to draw" in empty.alt


def test_rounded_corners_touch_the_sides_and_keep_the_radius() -> None:
    """Closed form: area of a rectangle whose corners are rounded is w h - (4 - pi) r^2; chords: a little less."""
    outline = rounded_corners([(0, 0), (60, 0), (60, 40), (0, 40)], 6.0, steps=60)
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(outline, outline[1:] + outline[:1], strict=True)) / 2
    assert area == pytest.approx(60 * 40 - (4 - math.pi) * 36, abs=0.02)
    slot = np.array(hole_outline((10, 5), 8.0, 20.0, math.pi / 2))
    assert np.ptp(slot[:, 0]) == pytest.approx(8.0, abs=1e-9) and np.ptp(slot[:, 1]) == pytest.approx(20.0, abs=1e-9)


def test_the_same_job_gives_the_same_drawings() -> None:
    def everything(job: Job) -> list[Drawing | Text]:
        return [
            card_view(job, "drawbar", (184.0, 120.0)),
            tube_strip(job, "hood-bow", 184.0),
            cutting_bar(job, job.cutting.bars[1], 184.0),
            product_view(job),
        ]

    assert everything(make_job()) == everything(make_job())
