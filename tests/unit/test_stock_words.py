"""Stock as the trade writes it: two texts for one stock have one label, so design and workshop find each other."""

from __future__ import annotations

import pytest

from handbarrow.laws.materials.stock import Stock, StockFault, parse_stock


@pytest.mark.parametrize(
    ("text", "label", "height", "width", "wall"),
    [
        ("tube 26.9x2.3", "tube 26.9x2.3", 26.9, 26.9, 2.3),
        ("round tube 26.90 X 2.30", "tube 26.9x2.3", 26.9, 26.9, 2.3),
        ("tube 1 in x 1.5", "tube 25.4x1.5", 25.4, 25.4, 1.5),
        ("tube 1 1/4 in x 1/16 in", "tube 31.75x1.5875", 31.75, 31.75, 1.5875),
        ("square tube 15x1.5", "square tube 15x1.5", 15, 15, 1.5),
        ("square tube 15x15x1.5", "square tube 15x1.5", 15, 15, 1.5),
        ("rectangular tube 40x20x2", "rectangular tube 40x20x2", 40, 20, 2),
        ("rectangular tube 20x40x2", "rectangular tube 40x20x2", 20, 40, 2),
        ("rectangular tube 20x20x2", "square tube 20x2", 20, 20, 2),
        ("bar 8", "bar 8", 8, 8, 0),
        ("square bar 10", "square bar 10", 10, 10, 0),
        ("flat 30x5", "flat 30x5", 30, 5, 0),
        ("flat bar 5x30", "flat 30x5", 5, 30, 0),
        ("angle 30x3", "angle 30x30x3", 30, 30, 3),
        ("angle 30x30x3", "angle 30x30x3", 30, 30, 3),
        ("angle 25 x 40 x 4", "angle 40x25x4", 25, 40, 4),
    ],
)
def test_tube_and_bar_have_one_label_and_lie_as_written(
    text: str, label: str, height: float, width: float, wall: float
) -> None:
    stock = parse_stock(text)
    assert isinstance(stock, Stock)
    assert stock.label == label
    assert stock.section is not None
    assert (stock.section.height, stock.section.width, stock.section.wall) == pytest.approx((height, width, wall))
    again = parse_stock(label)
    assert isinstance(again, Stock)
    assert again.label == label


def test_plates_and_wheels() -> None:
    plate, wheel = parse_stock("plate 5.0"), parse_stock("wheel 47 - 406")
    assert isinstance(plate, Stock)
    assert (plate.label, plate.thickness) == ("plate 5", 5.0)
    assert isinstance(wheel, Stock)
    assert (wheel.label, wheel.wheel) == ("wheel 47-406", (47.0, 406.0))


@pytest.mark.parametrize("text", ["", "tube", "26.9x2.3", "tube26.9x2.3", "plate 5x3", "wheel 26", "x" * 500, "bar 8x"])
def test_other_texts_are_told_what_is_wrong(text: str) -> None:
    fault = parse_stock(text)
    assert isinstance(fault, StockFault)
    assert fault.wrong
    assert fault.expected
