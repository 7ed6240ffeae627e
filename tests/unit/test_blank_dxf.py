"""The file that all DXF files grow from, made anew with ezdxf; and dimensions drawn in their blocks as on paper."""

import io

import ezdxf
import pytest

from blank_dxf import FILE, blank_dxf
from handbarrow.drawings.dimensions import dimension_strokes
from handbarrow.drawings.dxf import dxf
from handbarrow.drawings.model import Dimension, Drawing


def test_the_blank_file_is_what_the_library_writes_today() -> None:
    assert FILE.read_text(encoding="utf-8") == blank_dxf()


@pytest.mark.parametrize("scale", [1.0, 0.1])
def test_a_dimension_looks_in_the_file_as_on_paper(scale: float) -> None:
    dimension = Dimension(p1=(5, 5), p2=(65, 5), line=(5, 20), value=60 / scale, text=f"{60 / scale:g}", text_at=0.35)
    drawing = Drawing(width=80, height=30, alt="a width", scale=scale, dimensions=(dimension,))
    document = ezdxf.read(io.StringIO(dxf(drawing).decode("utf-8")))  # type: ignore[attr-defined]
    (entity,) = document.modelspace().query("DIMENSION")
    block = document.blocks.get(entity.dxf.geometry)
    drawn = [(e.dxf.start, e.dxf.end) for e in block.query("LINE")]
    wanted = [s.points for s in dimension_strokes(dimension) if s.fill == "none"]
    assert len(drawn) == len(wanted) == 3
    for (a, b), (p, q) in zip(drawn, wanted, strict=True):
        for end, point in ((a, p), (b, q)):
            assert (end.x * scale, 30 - end.y * scale) == pytest.approx(point, abs=1e-8)
    assert len(block.query("SOLID")) == 2  # its arrows
    (text,) = block.query("TEXT")
    assert (text.dxf.text, text.dxf.height * scale) == (dimension.text, pytest.approx(0.714 * 4.2))
    assert document.dimstyles.get(entity.dxf.dimstyle).dxf.dimscale == pytest.approx(1 / scale)


def test_every_handle_of_a_file_is_used_once_and_lies_below_the_seed() -> None:
    dimension = Dimension(p1=(5, 5), p2=(65, 5), line=(5, 20), value=60.0, text="60")
    lines = (
        dxf(Drawing(width=80, height=30, alt="a width", scale=1.0, dimensions=(dimension,) * 3)).decode().split("\n")
    )
    groups = list(zip(lines[::2], lines[1::2], strict=False))
    seed = int(groups[next(i for i, g in enumerate(groups) if g[1] == "$HANDSEED") + 1][1], 16)
    handles = [int(value, 16) for code, value in groups if code.strip() in ("5", "105")]
    handles.remove(seed)
    assert len(handles) == len(set(handles)) > 60
    assert max(handles) < seed
