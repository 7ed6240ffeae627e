"""Words of the sheets on sheet metal: shears, folder, rolling."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["SHEETMETAL"]

SHEETMETAL = Words(
    "sheet metal",
    {
        "shears": "Cutting sheets",
        "shears_lead": (
            "Each picture is a sheet as it is cut, seen from above. Cut in the order of the numbers, each cut from edge to "
            "edge of the piece that it parts. Sizes are those of the blanks; cut corners and holes out after."
        ),
        "disc_lead": (
            "Each picture is a sheet as it is cut, seen from above. Cut in the order of the numbers, on the waste side of "
            "the line (kerf {kerf}), each cut from edge to edge of the piece that it parts."
        ),
        "caution_shears": (
            "Gloves: edges of sheet are sharp. Fingers off the blade; only the one who cuts works the lever. Break the "
            "edges of each blank with a file before it goes on."
        ),
        "sheet": "Sheet {number}",
        "count": "{count} × {length} × {width}",
        "used": "{share} % used",
        "proven": "No plan needs less: {used}.",
        "gap": "{used}; at most {gap} % less could do.",
        "sheets": "{count} sheets",
        "cut": "Cut",
        "way": "Runs",
        "across": "across",
        "along": "along",
        "at": "{unit} from the left edge, or from the lower",
        "folder": "Folding sheet",
        "folder_lead": (
            "The marked face is the one with the fold lines on it. Dashed lines are folded up, dashed and dotted ones down: "
            "then the marked face lies below. Set each line under the edge of the clamp so that half of what the fold uses "
            "lies on each side. Fold in the order given; check each side before the next."
        ),
        "caution_folder": "Hands clear of clamp and beam; one person lifts the beam. Gloves: edges of sheet are sharp.",
        "guess": (
            "* By the standard's line. Fold one strip first: if the sides come out too long or too short, write the test fold "
            "into the workshop file and print this sheet anew."
        ),
        "order": "Step",
        "fold": "Fold",
        "face_up": "Marked face",
        "up": "up",
        "down": "down",
        "angle": "Angle",
        "radius": "Inside R",
        "uses": "Uses",
        "check": "Side, outside",
        "hem_closed": "hem: fold as far as it goes, then press flat",
        "hem_open": "hem: fold round {gap}",
        "by_hand": "by hand",
        "done": "Done",
        "blank": "Blank {length} × {width}",
        "rolled": "Then roll it",
        "roll_to": "Inside radius",
        "roll_chord": "Straight between its ends, inside",
        "roll_rise": "From that to the middle, inside",
        "roll_tape": "Tape over the outside, end to end",
        "template_use": "Blank: mark out, cut, then fold by the folding sheet.",
    },
)
