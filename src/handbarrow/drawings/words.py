"""The words that stand in drawings, and what is said of drawings to those who cannot see them."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["ALT", "DRAWN", "FACES", "USED"]

DRAWN = Words(
    "drawn",
    {
        # a chart of tubes
        "choices_mass": "mass of one unit, kg",
        "choices_margin": "least margin of stress",
        "choices_holds": "holds from here up",
        "choices_fails": "fails from here down",
        "choices_none": "nothing that can be made and was checked",
        # a blank
        "fold_up": "{number} up {angle:g}°",
        "fold_down": "{number} down {angle:g}°",
        # a former
        "former_start": "START of the curve",
        "former_face": "{part}: FACE R {radius}",
        "former_stop": "PULL TO HERE: {angle}°",
        # ends of a tube
        "start": "START",
        "end": "END",
        "start_datum": "START = datum end",
        # at the bender
        "mark": "mark {mark}",
        "stop": "stop {stop}",
        "crown_line": "crown line",
        # strips
        "set": "set {angle}°",
        "strip": "crown line up; grey: bent; arrow: the side that is swept",
        "strip_unscaled": "crown line up; grey: bent; arrow: the side that is swept; not to scale, numbers true",
        "strip_straight": "crown line up",
        "strip_straight_unscaled": "crown line up; not to scale, numbers true",
        "strip_short": "grey: bent",
        "strip_short_unscaled": "grey: bent; not to scale, numbers true",
        "unscaled": "not to scale, numbers true",
        # cards
        "above": "from above",
        "front": "from the front",
        "side": "from the side",
        "isometric": "isometric",
        "card": "Sizes in {unit}. Plain sizes: centreline to centreline. With a letter: check sizes. Chain line: crown line.",
        "card_short": "Sizes in {unit}. Plain: centreline. Letter: check size. Chain line: crown.",
        "card_letter": "Sizes in {unit}. Letter: check size.",
        "card_unit": "Sizes in {unit}.",
        "undrawn_one": "1 size not drawn: see the list. {rest}",
        "undrawn": "{count} sizes not drawn: see the list. {rest}",
        # bars
        "test_piece": "test piece, die {die}",
        "also_at": "{piece} {size}: also at {cuts}",
        "not_named": "not named above: {pieces}",
        # holes
        "slot": "slot {width} × {length}",
        "open_slot": "open slot {width}",
        # templates and boards
        "bend": "bend {number}: {angle}°, R{radius}",
        "board": "{scale}, from above",
        "rule": "measure: this rule must be {length} mm",
        "rule_inch": "and this one 4 in",
        # wraps
        "waste": "waste",
        "tube": "tube",
        "crown": "crown",
        "leg_width": "width",
        "leg_height": "height",
        "meets": "meets {part}",
        "meets_two": "meets {one} and {other}",
        "piece": "1 piece",
        "pieces": "{count} pieces",
        "wrap_angle": "Printed side out. Fold on the chain line and lay the fold on the heel.",
        "wrap_left": "Printed side out. Both edges meet on the crown line; degrees count to the left.",
        "wrap_right": "Printed side out. Both edges meet on the crown line; degrees count to the right.",
        "wrap_cut": "Dotted line on the sawn end. Cut off what lies above the heavy line.",
        "wrap_paper": "For {stock}, paper {paper} thick: {width} wide.",
        "wrap_mirrored": "{count} of the pieces are mirrored: printed side to the tube.",
        "wrap_inner": "Dashed: edge inside the wall. File the inside back, {depth} at most.",
        "wrap_unchecked": "NOT CHECKED for this wall and angle: try it on scrap first.",
        "saw_square": "square",
        "saw_turned": "{angle}° off square, deepest at {where}°",
        "saw_one": "Hacksaw: chain line, {cut}. Then file {depth} at most.",
        "saw_two": "Hacksaw: chain lines, {one} and {other}. Then file {depth} at most.",
    },
)

FACES = Words(
    "face",
    {
        "round crown": "crown line in the middle",
        "round left": "left side",
        "round bottom": "bottom side",
        "round right": "right side",
        "crown": "crown face, its left side above",
        "left": "left face, its bottom side above",
        "bottom": "bottom face, its right side above",
        "right": "right face, its crown side above",
        "width leg": "width leg",
        "height leg": "height leg",
    },
)
"""Sides of a bar that are drilled."""

ALT = Words(
    "shows",
    {
        "nothing": "{what}: nothing to draw",
        "choices": "Chart: {count} combinations of tubes, mass across, margin up; {best} that no other one beats are filled",
        "former": "Former for {part}, full size: a board whose face has a radius of {radius}; pull to {angle} degrees",
        "titled": "{titles}. {drawing}",
        "bent_true": "{part} bent, true view, scale {scale}; sizes {sizes}",
        "bent": "{part} bent, three views and isometric, scale {scale}; sizes {sizes}",
        "at_bender": (
            "{part}, in the bender before bend {number}: seen from behind the held end, {made} of {bends} bends made; "
            "long straights drawn short"
        ),
        "at_bender_mirrored": (
            "{part}, mirrored, in the bender before bend {number}: seen from behind the held end, {made} of {bends} "
            "bends made; long straights drawn short"
        ),
        "strip": "Straight tube for {part}, {length} long, with its marks from the datum end: {marks}",
        "bar": "Bar of {stock}, {length}: {pieces}, left {left}",
        "drilled": "{part} at true size, {faces}: {holes}",
        "from_start": "{x} from the start",
        "sheet_layout": "Sheet {size} cut into: {parts}",
        "fold_sketch": "Blank of {part} with its fold lines: {folds}",
        "blank": "Blank of {part} at true size, {size}; fold lines: {folds}",
        "plate": "Plate {part} at true size, {size}: {holes}",
        "wrap": "Mitre wrap at 1:1 for the start of {part}: {width} mm wide, cut along the curve",
        "wrap_end": "Mitre wrap at 1:1 for the end of {part}: {width} mm wide, cut along the curve",
        "rule": "A rule of {length} mm to check that the page was printed at 1:1",
        "rule_inch": "A rule of {length} mm and one of 4 in to check that the page was printed at 1:1",
        "template": "{part} bent, full size {width} × {height}",
        "tile": "Sheet {name} of: {drawing}",
        "map": "Map of the sheets {names}",
        "map_here": "Map of the sheets {names}; this is {here}",
        "isometric": "{what}: isometric view, hidden lines left out",
        "front": "{what}: front view, hidden lines left out",
        "side": "{what}: side view, hidden lines left out",
        "top": "{what}: top view, hidden lines left out",
        "isometric_dashed": "{what}: isometric view, hidden lines dashed",
        "front_dashed": "{what}: front view, hidden lines dashed",
        "side_dashed": "{what}: side view, hidden lines dashed",
        "top_dashed": "{what}: top view, hidden lines dashed",
        "step": "{assembly}, step {number}: {part} is added, drawn heavy",
        "detail": "{assembly}, step {number}: {part} enlarged",
        "points": "{assembly} from above with the points {points} to measure between",
        "where": "Where these go, drawn heavy or as dots: {parts}",
        "fillet": "Symbol: fillet weld, size {size}",
        "fillet_round": "Symbol: fillet weld all round, size {size}",
        "fillet_both": "Symbol: fillet weld on both sides, size {size}",
        "fillet_round_both": "Symbol: fillet weld all round on both sides, size {size}",
        "butt": "Symbol: square butt weld, size {size}",
        "butt_round": "Symbol: square butt weld all round, size {size}",
        "butt_both": "Symbol: square butt weld on both sides, size {size}",
        "butt_round_both": "Symbol: square butt weld all round on both sides, size {size}",
        "fixture": (
            "Fixture board for {assembly}, {width} by {height} mm, from above, with {count} numbered pins, stops and "
            "supports; their places are in the table"
        ),
        "fixture_plan": "Fixture board for {assembly} at 1:1",
        "form": (
            "Board to check {part} on, from above: its outline, arc centres and tangent points; their places are in the "
            "table"
        ),
        "form_plan": "Board to check {part} on, at 1:1",
        "rod": "Spacing rod {length} mm long between two slotted plates, not to scale",
        "rod_true": "Spacing rod {length} mm long between two slotted plates, at 1:1",
    },
)

USED = Words(
    "used",
    {
        "alt": "{what}: how hard each part is used at the worst, in percent of what it may bear; heavier lines are used harder"
    },
)
