"""The blank DXF file as ezdxf writes it. `python tests/blank_dxf.py` writes the one that is shipped."""

import io
import re
from pathlib import Path

import ezdxf

from handbarrow.drawings.dimensions import ABOVE, BEYOND, GAP
from handbarrow.drawings.dxf_document import STYLE
from handbarrow.drawings.ink import ARROW, NUMBER
from handbarrow.drawings.widths import CAPITAL

FILE = Path(__file__).parents[1] / "src/handbarrow/drawings/blank.dxf"
SIZES = {
    "dimtxsty": STYLE, "dimtxt": CAPITAL * NUMBER, "dimasz": ARROW, "dimexo": GAP, "dimexe": BEYOND, "dimgap": ABOVE,
    "dimtad": 1, "dimtih": 0, "dimtoh": 0, "dimdec": 1, "dimzin": 8, "dimdsep": 46, "dimlfac": 1.0,
}  # fmt: skip
"""The style of dimensions: text, arrows, gaps as the drawings room draws them [mm on paper]."""
MARK = "999\n{}\n"
"""A comment of the format: says what is put in there."""


def blank_dxf() -> str:
    """Return an empty file with our styles, and marks where layers, line types, blocks and entities go."""
    ezdxf.options.write_fixed_meta_data_for_testing = True  # type: ignore[attr-defined]
    try:
        document = ezdxf.new("R2010", setup=False)  # type: ignore[attr-defined]
        document.units = ezdxf.units.MM
        document.styles.add(STYLE, font="NotoSans-Regular.ttf")
        style = document.dimstyles.new(STYLE)
        for name, value in SIZES.items():
            setattr(style.dxf, name, value)
        for name in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(name)  # else written in the order of a set
        stream = io.StringIO()
        document.write(stream)
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = False  # type: ignore[attr-defined]
    return _marked(stream.getvalue())


def _marked(text: str) -> str:
    for table, mark in (("LTYPE", "line types"), ("LAYER", "layers"), ("BLOCK_RECORD", "block records")):
        text = _put(text, rf"  0\nTABLE\n  2\n{table}\n.*?", "", r"  0\nENDTAB\n", mark)
    for section in ("BLOCKS", "ENTITIES"):
        text = _put(text, rf"  0\nSECTION\n  2\n{section}\n.*?", "", r"  0\nENDSEC\n", section.lower())
    text = _put(text, r"\$HANDSEED\n", r"  5\n\w+\n", "", "next handle")
    return _put(text, rf"  2\n{STYLE}\n 70\n0\n", r" 40\n1\.0\n", r" 41\n", "dimension scale")


def _put(text: str, before: str, instead_of: str, after: str, mark: str) -> str:
    return re.sub(f"({before}){instead_of}({after})", rf"\g<1>{MARK.format(mark)}\g<2>", text, count=1, flags=re.S)


if __name__ == "__main__":
    FILE.write_text(blank_dxf(), encoding="utf-8")
