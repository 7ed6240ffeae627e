"""Drawings: from the job to strokes, texts and dimensions in mm, and from these to SVG and DXF.

`product_view`, `card_view`, `tube_strip`, `wrap`, `cutting_bar` and `scale_rule` each give one `Drawing`; `svg` and
`dxf` write it. `hidden` finds which lines of a view are seen.
"""
