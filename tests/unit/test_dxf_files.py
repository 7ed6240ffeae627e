"""DXF files, read back with ezdxf: sound, true to size, the same bytes each time."""

import hashlib
import io
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import ezdxf
import pytest

from factories import make_job
from handbarrow.drawings.bars import cutting_bar
from handbarrow.drawings.card import card_view
from handbarrow.drawings.dxf import dxf, metric
from handbarrow.drawings.model import Dimension, Drawing
from handbarrow.drawings.product import product_view
from handbarrow.drawings.shapes import scale_rule
from handbarrow.drawings.strip import tube_strip
from handbarrow.drawings.wraps import wrap
from handbarrow.sheets.pictures import drawing_files

JOB = make_job()
DRAWINGS = {
    "flat card": card_view(JOB, "outer-hoop", (184.0, 110.0)),
    "card in views": card_view(JOB, "drawbar", (250.0, 160.0)),
    "wrap": wrap(JOB, "hood-bow", "end"),
    "strip": tube_strip(JOB, "drawbar", 184.0),
    "bar": cutting_bar(JOB, JOB.cutting.bars[0], 184.0),
    "product": product_view(JOB, hidden=True),
}


def read(drawing: Drawing) -> "ezdxf.document.Drawing":
    return ezdxf.read(io.StringIO(dxf(drawing).decode("utf-8")))


@pytest.mark.parametrize("name", DRAWINGS)
def test_a_file_passes_the_audit_with_nothing_to_mend(name: str) -> None:
    document = read(DRAWINGS[name])
    auditor = document.audit()
    assert not auditor.errors and not auditor.fixes
    assert document.units == ezdxf.units.MM
    used = {e.dxf.layer for e in document.modelspace()}
    assert set(DRAWINGS[name].layers) <= {layer.dxf.name for layer in document.layers}
    assert used <= set(DRAWINGS[name].layers)


@pytest.mark.parametrize("name", ["flat card", "card in views"])
def test_dimensions_are_real_and_measure_what_they_say(name: str) -> None:
    drawing = DRAWINGS[name]
    document = read(drawing)
    entities = list(document.modelspace().query("DIMENSION"))
    assert len(entities) == len(drawing.dimensions) > 3
    for entity, dimension in zip(entities, drawing.dimensions, strict=True):
        assert entity.get_measurement() == pytest.approx(dimension.value, abs=1e-6)
        assert entity.dxf.text.endswith("<>")  # the file's own size is shown, not a typed one
        assert document.dimstyles.get(entity.dxf.dimstyle).dxf.dimdsep == ord(".")


def test_a_dimension_not_to_scale_keeps_its_printed_number() -> None:
    drawing = Drawing(
        width=80, height=30, alt="broken", scale=None,
        dimensions=(Dimension(p1=(5, 5), p2=(65, 5), line=(5, 20), value=3491.0, text="3491"),),
    )  # fmt: skip
    (entity,) = read(drawing).modelspace().query("DIMENSION")
    assert entity.dxf.text == "3491" and entity.get_measurement() == pytest.approx(60.0)


def test_a_wrap_is_true_to_size_in_the_file_and_stands_upright() -> None:
    drawing = DRAWINGS["wrap"]
    space = read(drawing).modelspace()
    (curve,) = [e for e in space.query("LWPOLYLINE") if e.dxf.layer == "cut"]
    points = [(x, y) for x, y, *_ in curve.get_points()]
    printed = next(s for s in drawing.strokes if s.layer == "cut").points
    for (x, y), (px, py) in zip(points, printed, strict=True):
        assert (x, drawing.height - y) == pytest.approx((px, py), abs=1e-9)


def test_a_file_counts_in_mm_also_for_a_shop_that_reads_inches() -> None:
    shop = replace(JOB, workshop=replace(JOB.workshop, show_length="in"))
    assert dxf(card_view(metric(shop), "outer-hoop", (184.0, 110.0))) == dxf(DRAWINGS["flat card"])
    assert dxf(card_view(shop, "outer-hoop", (184.0, 110.0))) != dxf(DRAWINGS["flat card"])
    forms = {name: make for folder, name, make in drawing_files(shop) if folder == "cards"}
    assert b"Sizes in mm." in forms["outer-hoop"]("dxf") and b"Sizes in inches." in forms["outer-hoop"]("svg")


def test_the_check_rule_is_100_mm_in_the_file() -> None:
    space = read(scale_rule()).modelspace()
    xs = [x for e in space.query("LWPOLYLINE") for x, *_ in e.get_points()]
    assert max(xs) - min(xs) == pytest.approx(100.0, abs=1e-9)


def test_bytes_are_equal_in_another_process_with_another_hash_seed() -> None:
    script = (
        "import hashlib, sys; sys.path.insert(0, sys.argv[1]);"
        "from factories import make_job; from handbarrow.drawings.card import card_view;"
        "from handbarrow.drawings.dxf import dxf; from handbarrow.drawings.svg import svg;"
        "d = card_view(make_job(), 'outer-hoop', (184.0, 110.0));"
        "print(hashlib.sha256(dxf(d) + svg(d, texts=True).encode()).hexdigest())"
    )
    from handbarrow.drawings.svg import svg

    drawing = DRAWINGS["flat card"]
    wanted = hashlib.sha256(dxf(drawing) + svg(drawing, texts=True).encode()).hexdigest()
    assert dxf(drawing) == dxf(drawing)
    for seed in ("0", "1", "5", "77"):
        tests = str(Path(__file__).parents[1])
        found = subprocess.run(
            [sys.executable, "-c", script, tests], env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True, text=True, check=True,
        )  # fmt: skip
        assert found.stdout.strip() == wanted
