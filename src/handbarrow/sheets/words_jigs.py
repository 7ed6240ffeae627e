"""The words of the jig sheets: fixtures, spacing rods, boards to check bent parts on."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["CAUTIONS", "CAUTION_NAMES", "JIGS", "KINDS", "STEPS"]

JIGS = Words(
    "jig",
    {
        "fixture": "Jig: {assembly}",
        "lead": (
            "Seen from above. Thick edges: datum; x counts from the left edge, y from the lower edge. Numbers in circles: "
            "parts as on the parts list."
        ),
        "board": "Board",
        "board_size": "{width} × {height}, plywood {thick} or thicker, or steel",
        "lies": "Lies",
        "lies_up": "product’s top up",
        "lies_over": "turned over: product’s top down",
        "pins": "Pins",
        "pins_words": "{count} × {pin}, tops {height} above the board",
        "drill": "Drill",
        "drill_words": "{hole} (bolt and nut), or {tap} and tap {pin} (steel board)",
        "strips": "Strips",
        "strips_words": "{bed} high under the tubes: clear of nuts",
        "clearance": "Clearance",
        "clearance_words": "{clearance} pin to tube as drawn: {why}",
        "why_rule": "half of what a bent part may be off",
        "why_given": "as asked for",
        "keep_out": "Welds",
        "keep_out_words": "no pin nearer than {keep_out} to a joint",
        "keep_out_near": "; those marked * are nearer, there is no other place",
        "supports": "Supports",
        "supports_words": "{count} blocks {size} wide, tops as in the table",
        "lift": "Lifting off",
        "lift_holds": "straight up; nothing that is put in lies under a pin or in its way (checked as drawn)",
        "lift_fails": "NOT straight up: a pin stands in the way",
        "number": "No.",
        "part": "Part",
        "count": "Pieces",
        "put_in": "Put in",
        "held": "Held by",
        "in_flat": "flat, on strips {packing}",
        "in_above": "stands on it, top {top} above the board",
        "held_pins": "pins",
        "held_not": "NOT by pins alone: clamp it",
        "held_supports": "supports, set to length and square",
        "held_hand": "its mitres: set with a square, clamp",
        "kind": "What",
        "height": "Top",
        "holds": "Holds",
        "copy": "{part} {copy}",
        "near": "*",
        "later": "Fitted after it has left the jig: {parts}.",
        "later_below": "{part} × {count} (reaches under the board)",
        "later_other": "{part} × {count}",
        "not_held": "Pins alone do not hold: {parts}. Clamp before you tack.",
        # spacing rods
        "rods": "Spacing rods",
        "rods_lead": "Keep two slotted plates apart at the wheel’s hub while they are tacked and welded.",
        "rod_length": "Length",
        "rod_length_words": "{length} between the plates’ inner faces, as designed: hub and its play",
        "rod_slot": "Slots",
        "rod_slot_words": "{width} wide",
        "rod_stud": "Stud",
        "rod_stud_words": "{stud} through the rod, a nut outside each plate",
        "rod_stud_none": "no screw goes through: make a pin to fit the slots",
        "rod_parts": "Between",
        "rod_parts_words": "{one} and {other}, for {wheel}",
        "rod_pairs": "Pairs",
        "rod_pairs_words": "{pairs} a unit",
        "rod_to_scale": "Not to scale: measure the length, do not trace it.",
        "rod_true": "True size if the check rule measures 100 mm.",
        "rod_use": (
            "Cut tube or bar to the length, ends square and flat, measure with a calliper. Stud to the closed end of both "
            "slots, nuts finger tight, tack, check with a wheel, weld, let it cool, take the rod out."
        ),
        # form boards
        "boards": "Check boards for bent parts",
        "boards_lead": (
            "To lay a bent part on and see whether it is right, not to bend on. x from the left edge, y from the lower "
            "edge. Outside within ± {limit} of the line all round: good. Mirrored parts: lay them on turned over."
        ),
        "form_title": "Check board {number}: {title}",
        "form_line": (
            "Board {width} × {height}. Ends of the centreline: S at {start}, E at {end}. Outside {half} either side of it. "
            "A: the bend starts, C: its centre, B: it ends."
        ),
        "bend": "Bend",
        "centre": "C: x, y",
        "radius": "R centre",
        "radius_out": "R outside",
        "radius_in": "R inside",
        "starts": "A: x, y",
        "ends": "B: x, y",
        "point": "{x}, {y}",
    },
)

KINDS = Words("jig block", {"pin": "pin {pin}", "end stop": "end stop {pin}", "support": "support"})

STEPS = Words(
    "jig step",
    {
        "datum": "Plane or mark two edges square: the datum. Measure every place from them, never from pin to pin.",
        "drill": "Drill at each number. Bolts from below, nuts on top; centre each bolt in its hole, then tighten.",
        "strips": "Lay the strips under the tubes beside the joints, not under the welds.",
        "drop in": "Drop in the flat parts, then what stands on them. Too tight: check the part on its board. Never hammer it in.",
        "clamp": "Clamp. Measure both diagonals. Tack every joint, opposite corners in turn.",
        "lift": "Lift straight up, check flatness and diagonals. Weld out of the jig, short runs on alternate sides.",
        "cold": "Measure the first one cold. If it has drawn in, move the pins and note it here.",
    },
)

CAUTION_NAMES = Words(
    "jig caution name",
    {
        "arc": "Arc and fume",
        "fire": "Fire",
        "hot": "Hot metal",
        "not checked": "Not checked",
    },
)

CAUTIONS = Words(
    "jig caution",
    {
        "arc": "Mask, gloves, leather; screen off; fresh air. Grind zinc off 50 mm (2 in) round each weld: its fume harms.",
        "fire": "Plywood burns: steel sheet under each tack, water beside it, look again after half an hour.",
        "hot": "Tubes, pins and strips stay hot. Tongs and gloves; two people lift.",
        "not checked": "strength of this jig, shrinkage of welds, size and strength of welds.",
    },
)
