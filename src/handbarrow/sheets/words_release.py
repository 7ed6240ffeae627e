"""The words of the bender station, the inspection, load test and test ride sheets, and the use-and-care sheet."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = [
    "BENDER", "CARE", "LOAD", "LOOK_FOR", "MOVES", "RELEASE", "RIDE", "RIDE_STEPS", "WELD_FAULTS",
]  # fmt: skip

BENDER = Words(
    "bender",
    {
        "title": "Bender station",
        "nth_1": "1st",
        "nth_2": "2nd",
        "nth_3": "3rd",
        "nth": "{order}th",
        "lead": (
            "Top to bottom: set the stop once, make all its bends, tick each piece, go on. Pictures: the tube just before "
            "the bend, seen from behind the held end. A gap: it is longer than drawn. Chain line: crown line."
        ),
        "caution": (
            "Fingers off die and stop. The free end swings along the arrow: clear its way, nobody stands there. First "
            "piece of each part: check it against its bend card before the others."
        ),
        "setting": "Stop {number}:  die {die},  set to {stop},  touches {touches}",
        "tape": "{stop} (tape {tape})",
        "to_mark": "No stop:  die {die},  set to the mark",
        "hand": "as drawn",
        "mirrored": "mirrored",
        "bend": "Bend",
        "bend_value": "{bend} of {count}, {order} to be made",
        "set": "Set angle",
        "hold": "Hold",
        "mark": "Mark",
        "first": "Turn first",
        "crown": "Crown line",
        "no_turn": "not turned",
        "swap": "swap end for end, then {turn}",
        "swap_only": "swap end for end",
        "turn": "{turn}° {sense}",
        "half_turn": "180°",
        "guess": "Set angles marked * are a first guess: make test bends first.",
        "of": "tally, of {count}",
    },
)

RELEASE = Words(
    "inspection",
    {
        "title": "Final inspection",
        "lead": "One copy for each unit ({units}). A box that is not ticked: the unit stays in the shop.",
        "caution": (
            "Looked at and measured is not proven strong: what was reckoned of tubes and welds stands on other sheets, "
            "and only the load test tries it."
        ),
        "serial": "Serial number",
        "date": "Date",
        "who": "Inspected by",
        "welds": "Welds, by eye",
        "assembly": "Assembly",
        "whole": "whole unit",
        "sizes": "Sizes, on level ground ({unit})",
        "sizes_lead": (
            "Least and most: the shop’s own limit for whole units, ± {limit}; not computed from the limits of the parts. "
            "Overall sizes are over tubes, plates and tyres, as drawn."
        ),
        "size": "What",
        "wanted": "Wanted",
        "least": "Least",
        "most": "Most",
        "found": "Found",
        "good": "Good",
        "no_limit": "–",
        "value_sub": "unit as in the design; no limit is given",
        "fitted": "Bought parts, and what moves",
        "item": "Part",
        "count": "A unit",
        "where": "On",
        "look": "Look for",
        "assembly_row": "assembly {name}",
        "wheel_nuts": "{look}; axle nuts tight",
        "moves": "goes into every position ({positions}): free, pinches nobody, stays",
        "finish": "Finish: no sharp edge, burr or spatter where a hand goes; tube ends closed; paint whole",
        "result": "Result",
        "released": "released for the load test",
        "held": "held back, because:",
        "sign": "Name, signature",
        "height": "height of {point} above the ground",
        "distance": "{first} to {second}",
        "along_x": ", along the unit",
        "along_y": ", across the unit",
        "along_z": ", upright",
        "at_start": "the start of {part}, middle of the tube",
        "at_end": "the end of {part}, middle of the tube",
        "at_middle": "the middle of {part}, middle of the tube",
        "at_centre": "the centre of {part}",
        "at_corner": "corner {corner} of {part}, where the middle lines meet",
        "copy": "{part} (copy {copy})",
        "overall_x": "{name}, overall length",
        "overall_y": "{name}, overall width",
        "overall_z": "{name}, overall height",
        "track": "track, middle of tyre to middle of tyre on the ground",
    },
)

WELD_FAULTS = Words(
    "weld fault",
    {
        "length": "all welded, full length",
        "crack": "no crack",
        "hole": "no hole, no gap",
        "undercut": "no undercut",
        "ends": "ends filled",
    },
)

LOOK_FOR = Words(
    "look for",
    {
        "split pin": "through, both legs bent open",
        "cotter": "through, both legs bent open",
        "pin": "goes in fully, cannot fall out",
        "u-bolt": "both nuts tight, seated all round",
        "lock nut": "tight, thread shows beyond it",
        "nut": "tight, thread shows beyond it",
        "bolt": "size as listed, tight",
        "screw": "size as listed, tight",
        "washer": "there, flat",
        "reflector": "fixed, clean, faces out",
        "strap": "fixed, seams and buckle whole",
        "plug": "in, cannot be pulled out by hand",
        "grip": "cannot be turned or pulled off",
        "bush": "seated, turns free, no play",
        "brake": "works, holds the unit",
        "lamp": "works, faces out",
        "light": "works, faces out",
        "bell": "works",
    },
)
"""What to look for on a bought part, by a word of its name; the first that fits."""

MOVES = Words(
    "moving part",
    {
        "wheel": "spins free, runs true, no side play, tyre seated",
        "any": "there, fixed as drawn",
        "fixed": "nothing loose, no play",
    },
)

LOAD = Words(
    "load test",
    {
        "title": "Load test",
        "lead": "Dead load only (sand, water), low over level ground. Nobody on, under or beside the unit.",
        "caution": (
            "This sheet gives no load and no limit: the design does not say what it carries. A competent person decides "
            "them, in writing, before the test."
        ),
        "caution_proposed": (
            "Load, time and limit are the proposal of the sheet “Loads and checks” (common practice, no source). A competent "
            "person decides them, in writing, before the test."
        ),
        "decide": "To be decided by a competent person",
        "test_load": "Test load: not computed here",
        "test_load_proposed": "Test load; proposed: {mass}",
        "held_for_proposed": "How long it stays on; proposed: {minutes}",
        "may_sink_proposed": "Most lasting change of a height; proposed: {back}",
        "placed": "Where it lies, how it is held",
        "held_for": "How long it stays on",
        "may_sink": "Most lasting change of a height",
        "rated": "Load the owner may carry (goes on the use-and-care sheet)",
        "decided_by": "Decided by: name, trade, signature, date",
        "steps": "Steps",
        "step": "Step",
        "ok": "Good",
        "saw": "Seen, heard",
        "1": "A quarter of the load on: stop, look at every weld, bend and wheel",
        "2": "Half on: stop, look",
        "3": "Three quarters on: stop, look",
        "4": "All on: leave it as long as decided",
        "5": "Take it off: look at every weld with a lamp; wheels spin free and true",
        "heights": "Heights before and after ({unit})",
        "before": "Before",
        "under": "Under load",
        "after": "After",
        "result": "Result",
        "passed": "nothing cracked, nothing bent, changes within what was decided",
        "failed": "scrap or mend, test again, because:",
        "tested_by": "Tested by: name, signature, date",
        "minutes": "min",
    },
)

RIDE = Words(
    "test ride",
    {
        "title": "Test ride",
        "lead": (
            "After the load test. First without load, then with load. Walk first, then the speed it is made for. Closed "
            "ground, helmet, a second person watches."
        ),
        "caution": "Stop at once when anything cracks, rubs, sways or comes loose. Braking and downhill: not computed.",
        "load": "Load of the second ride: not computed, see load test",
        "step": "Step",
        "empty": "Unloaded",
        "loaded": "Loaded",
        "note": "Seen, heard",
        "ridden_by": "Ridden by: name, date",
        "watched_by": "Watched by: name, date",
        "result": "Result",
        "passed": "ready for its owner",
        "failed": "back to the shop, because:",
    },
)

RIDE_STEPS = Words(
    "ride step",
    {
        "push": "Push and pull it 50 steps on the flat: runs straight, nothing rubs or rattles",
        "turn": "Tightest turn to the left, then to the right: nothing touches, nothing lifts",
        "stop": "Stop short from a walk: nothing slides, nothing opens",
        "kerb": "Slowly over a kerb edge, one wheel, then both: nothing jumps out",
        "across": "Across a slope, both ways: stays on all its wheels",
        "slope": "Up and down a slope at a walk: can be held with the hands alone",
        "speed": "At the speed it is made for, flat, straight and in wide turns: no sway",
        "after": "Afterwards: every pin, nut and strap as before; no new crack, no new gap",
    },
)

CARE = Words(
    "care",
    {
        "title": "Use and care",
        "for_owner": "For the owner. Keep it with the {name}.",
        "serial": "Serial number",
        "most": "Most load",
        "most_sub": "Filled in by the shop after the load test. Empty: do not use.",
        "load": "Load",
        "load_1": "Heaviest things lowest, over the axle. Both sides alike.",
        "load_plain": "Heaviest things lowest, in the middle. Both sides alike.",
        "load_2": "Tie everything down. Nothing hangs out, nothing near the wheels.",
        "load_3": "Never more than the most load. Nobody rides on it unless it was approved for that.",
        "before": "Before each ride",
        "before_tyres": "Tyres: pressure as on the tyre’s side wall, no cuts.",
        "before_wheels": "Wheels: tight, no wobble.",
        "before_pins": "In and locked: {names}.",
        "before_straps": "Whole and closed: {names}.",
        "before_seen": "Clean and fixed: {names}.",
        "before_moves": "In place and fixed: {names}.",
        "before_welds": "Tubes and welds: no crack, no dent, no rust line. A crack: stop, do not use, bring it back.",
        "way": "On the way",
        "way_1": "Slower than without it. Slower still in turns, downhill and on rough ground.",
        "way_2": "It takes longer to stop. Try it where nothing can happen.",
        "way_3": "Local road rules come first: lights, brakes, passengers.",
        "later": "Later",
        "later_1": "After the first 50 km: tighten every nut and bolt again. Then every season.",
        "later_2": "Paint damaged: sand bright, prime, paint the same week.",
        "later_3": "Bent tube: do not straighten. The shop replaces it.",
        "store": "Store it dry, unloaded, tyres off the ground or pumped up; out of the sun if it has straps or cloth.",
        "store_plain": "Store it dry and unloaded.",
        "shop": "Made by {shop}, revision {revision}",
    },
)
