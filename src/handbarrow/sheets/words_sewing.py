"""Words of the sewing station's sheets."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["SEAM_WORDS", "SEWING"]

SEWING = Words(
    "sewing",
    {
        "roll_title": "Cloth on the roll",
        "roll_lead": (
            "Roll the cloth out flat and without pull. Draw all pieces before the first cut, the numbers from the start of "
            "the roll and from one selvedge. Write part and named end on each piece."
        ),
        "roll_proven": "{stock}: {length} of roll, {used} % of it is pieces; no layout is shorter.",
        "roll_bound": "{stock}: {length} of roll, {used} % of it is pieces; no layout is shorter than {bound}.",
        "panel_lead": (
            "Solid: cut. Long dashes: fold. Short dashes: stitch. All numbers count from the cut edge at the end that is "
            "marked and from the left edge. Which end is which is written on the cloth, as the places are not the same."
        ),
        "shaped": "Shaped: cut it by the drawing in the folder cloth, or set it out by the numbers.",
        "finished": "Finished",
        "cut": "Cut",
        "edges": "Edges",
        "edge_raw": "{side}: raw",
        "edge_hem": "{side}: hem {width}",
        "edge_double hem": "{side}: double hem {width}, turned under {under}",
        "edge_seam": "{side}: seam {width}",
        "all_round": "all round",
        "head": "named end",
        "foot": "far end",
        "left": "left",
        "right": "right",
        "twist": "Lies flat?",
        "twist_says": "turns {angle}° from bow to bow: try it on the frame before the last seam",
        "order_title": "{part}: in this order",
        "step": "Step",
        "what": "What",
        "length": "One row",
        "rows": "Rows",
        "places": "Places on the finished edge",
        "done": "Done",
        "mark_cut": "Mark and cut; write “{named}” on it",
        "machine": "At the machine, one piece: {minutes} min, {thread} m of thread. Batch: {all_minutes} h.",
        "set_up": "Needle {needle}, stitch {stitch}, thread {thread}",
        "guess": "The workshop file does not say how the shop sews: needle, times and thread are not known.",
        "straps_title": "Webbing, cord and elastic",
        "straps_lead": (
            "Cut square; melt or whip the ends that are not folded. The gauge is the length from the finished edge of the "
            "cloth to the axis of the tube: make a loop gauge of that size and sew every loop over it."
        ),
        "number": "No.",
        "size": "Along × across the roll",
        "part": "Part",
        "cut_to": "Cut to",
        "count": "Pieces",
        "gauge": "Loop gauge",
        "ends": "Ends and knots",
        "edge": "Edge",
        "ends_loop": "loop round {around}, sewn {sewn}",
        "ends_folded": "folded {sewn}",
        "ends_knots": "{knots} knots",
        "one_knot": "1 knot",
        "knot": "A knot takes {knot}",
        "knot_guess": "A knot takes {knot}: guessed, try it",
        "no_knot": "No knots",
        "caution": (
            "People lie on this. Pull every loop by hand before the cloth is hung. Cloth and webbing lose strength in sun; "
            "look at seams and loops before each use, and throw away what is worn."
        ),
        "needle_caution": "Fingers away from the needle; stop the machine before you thread it.",
    },
)
SEAM_WORDS = Words(
    "seams",
    {
        "hem": "Hem, {on}",
        "seam": "Seam to the next panel, {on}",
        "pocket": "Pocket {on}",
        "window": "Window {on}",
        "patch": "Patch {on}",
        "row": "Row {on}",
        "strap": "Box and cross, {on}",
    },
)
