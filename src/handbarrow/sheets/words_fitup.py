"""The words of the fit-up, weld and assembly sheets."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["ASSEMBLY", "ENDS", "FIT", "HOW", "SIDES", "WAYS"]

FIT = Words(
    "fit-up",
    {
        "title": "Fit up and weld: {assembly}",
        "title_more": "Fit up and weld: {assembly}, {number}",
        "lead": (
            "Tack all first, check, then weld. Begin with the {base} (No. {number}). Left, right, front and rear as the "
            "product stands and travels."
        ),
        "parts": "Pieces for one {assembly}",
        "number": "No.",
        "part": "Part",
        "one": "One",
        "batch": "Batch",
        "steps": "Step by step",
        "steps_lead": (
            "Heavy: what is added. Light: what is there. Mark the near side on the tube with the tape, set the piece to "
            "the mark. Numbers in {unit}."
        ),
        "picture": "Picture",
        "do": "Do",
        "step": "{step}. {part} × {count} (No. {number})",
        "step_one": "{step}. {part} (No. {number})",
        "base": "Lay it down first; the rest is set to it.",
        "threaded": "First slide {part} × {count} (No. {number}) on the {over}. It cannot be put on afterwards.",
        "note": "Note: {note}",
        "both": "{one} and {other}",
        "sided": "{sides} {part}",
        "both_ends": "both ends",
        "each": "each",
        "whole": "whole length",
        "what": "{end} on the {to}{where}",
        "what_of": "takes {end} of the {piece}",
        "what_takes": "takes the {piece}{where}",
        "what_lies": "lies on the {to}{where}",
        "what_stands": "stands on the {to}{where}",
        "end_of": "the {side} end ({end})",
        "start": "start",
        "end": "end",
        "leg": "{sides} leg",
        "legs": "{sides} legs",
        "leg_number": "straight {number}",
        "on_bend": "on bend {bend}, {centre} along its middle line from where it begins",
        "side": "{side}",
        "own": "on itself {where}: middle {centre}",
        "own_edges": "on the {piece} from the nearer of its edges, each way, to the middle: {centre} and {across}",
        "lean": "{side}, {lean}° towards {towards}",
        "reach": "reaches {one} {one_side} and {other} {other_side} of the tube’s middle",
        "reach_same": "middle of the tube, {one} each way",
        "inner": "inner side",
        "outer": "outer side",
        "from_end": "from its {side} end",
        "from_ends": "from its {side} ends",
        "from_bend": "from the outside of its {side} bend",
        "from_bends": "from the outsides of its {side} bends",
        "from_plain_bend": "from the outside of the bend",
        "from_edges": "from the nearer of the plate’s edges, each way, to the middle",
        "end_to_end": "end to end",
        "near": "near side {near}",
        "middle": "middle {centre}",
        "far": "far side {far}",
        "from_to": "from {near} to {far}",
        "edges": "{centre} and {across}",
        "angle": "{angle}° to it",
        "square": "square on",
        "along": "along it",
        "offset": "axes {offset} apart",
        "tacks": "{tacks} tacks",
        "times": "× {count}",
        "checks": "Check after tacking, before welding ({unit}, °)",
        "checks_lead": "Letters: middle of a joint, as in the picture. If a size is out, break a tack and set it again.",
        "check": "What",
        "wanted": "Wanted",
        "least": "Least",
        "most": "Most",
        "found": "Found",
        "good": "Good",
        "check_width": "width over the outsides at {a} and {b}",
        "check_diagonals": "diagonals {a}–{b} and {c}–{d}: both the same",
        "check_over": "over the outsides of both: {part}",
        "check_between": "gap between both: {part}",
        "check_height": "top of the {part} over the top of the {base}",
        "check_height_below": "top of the {part} under the top of the {base}",
        "check_level": "{part}: flat on the bench, gap",
        "check_level_ends": "{part}: level, one end to the other",
        "check_angle": "{part} to the {to}",
        "no_checks": "No sizes follow from the design for this one: hold it to the drawing.",
        "welds": "Welds",
        "where": "Where",
        "symbol": "Symbol",
        "weld": "Weld",
        "size": "a ({unit})",
        "weld_length": "Length each ({unit})",
        "welds_one": "One",
        "weld_between": "{piece} – {to}",
        "fillet": "fillet",
        "butt": "butt, square",
        "all_round": "all round",
        "both_sides": "both sides",
        "length_unknown": "where they touch",
        "around": (
            "In place: the {outer} of this one lies round the {inner} of the {assembly}. Fit up and weld it there."
        ),
        "check_far": "{a} and {b} to the middle of the {part} {c}: both the same",
        "turns": (
            "Weld in turns: one joint left, one right, one front, one rear; let it cool between. Check the diagonals again "
            "when it is cold."
        ),
        "size_rule": (
            "a = throat of the weld = 0.7 × the thinner wall: a starting value of common practice. Strength-checked only "
            "where the sheet “Loads and checks” names the weld, and with the verdict there; the others are not. Weld a "
            "test piece, break it, and look."
        ),
        "assumed": (
            "Taken as welded: all that touches within this assembly, unless a bought part goes through it, it stands in a "
            "hole or it turns round a tube. The design says no more."
        ),
        "caution": (
            "Arc light blinds, fume harms: mask, gloves, leather, screen, fresh air. Galvanised: grind the zinc off 50 mm "
            "(2 in) round the weld, weld outdoors. Fire: clear the floor, water and bucket ready, look again after half an "
            "hour. Never close a tube all round: hot air in it must get out."
        ),
        "step_label": "{step}{letter}",
    },
)

ASSEMBLY = Words(
    "assembly",
    {
        "title": "Put together",
        "lead": "Not welded: bolted, pinned, slid on or set down. Top to bottom. Numbers as in the parts list.",
        "within": "{number}. On the {assembly}",
        "onto": "{number}. The {assembly} onto the {to}",
        "product": "product",
        "do": "Do",
        "on": "Put on",
        "part": "What (No.)",
        "one": "One",
        "batch": "Batch",
        "how": "How",
        "note": "Note",
        "bolt_later": "Its bolt comes in step {step}.",
        "done": "Done",
        "positions": "Positions",
        "positions_lead": "Positions that the design knows. Try each one by hand on the first unit.",
        "assembly": "Assembly",
        "position": "Position",
        "motion": "From as drawn",
        "moved": "moved {amount} {way}",
        "turned": "turned {angle}°: {way}",
        "up": "up",
        "down": "down",
        "towards": "to the {way}",
        "about": "about its pivot",
        "front_up": "what lies ahead of the pivot goes up, what lies behind goes down",
        "rear_up": "what lies behind the pivot goes up, what lies ahead goes down",
        "as_drawn": "as drawn",
        "exploded": "All parts pulled apart",
        "fasteners": (
            "Tightness of bolts, grease, glue and paint are not in the design: ask the lead before you go on."
        ),
        "and": " and ",
    },
)

HOW = Words(
    "joined",
    {
        "bolt": "bolt through",
        "hole": "into the hole",
        "sleeve": "turns on it",
        "rests": "put on",
        "bought": "fit",
    },
)
SIDES = Words(
    "on which side",
    {
        "front": "front",
        "rear": "rear",
        "left": "left",
        "right": "right",
        "top": "top",
        "bottom": "under side",
    },
)
ENDS = Words(
    "which one",
    {
        "front": "front",
        "rear": "rear",
        "left": "left",
        "right": "right",
        "top": "upper",
        "bottom": "lower",
    },
)
WAYS = Words(
    "which way",
    {
        "front": "ahead",
        "rear": "behind",
        "left": "to the left",
        "right": "to the right",
        "top": "above",
        "bottom": "below",
    },
)
