"""What the signs say: beside each on the sheet that explains them, and to those who cannot see them."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["LEGEND", "SIGN"]

LEGEND = Words(
    "signs",
    {
        "title": "What the signs mean",
        "lead": "Hang it where everybody sees it. A black disc: wear it. A ring with a bar: do not. A triangle: this hurts.",
        "tube": "Tube, bar and plate",
        "joining": "Putting together",
        "safety": "Keeping whole",
        "alt": "Sign: {says}",
    },
)

SIGN = Words(
    "sign",
    {
        "measure": "Measure",
        "mark": "Mark",
        "saw": "Saw",
        "file": "File, take off the burr",
        "drill": "Drill",
        "slot": "Make a slot",
        "cut out": "Cut out the paper",
        "wrap": "Wrap it round the tube",
        "mitre": "Mitre: fit it round a tube",
        "crown": "Crown line up",
        "hold": "Hold it in the die",
        "turn": "Turn the tube",
        "swap": "Swap it end for end",
        "bend": "Bend",
        "check size": "Check the size",
        "lay": "Lay it down flat",
        "put in": "Put it into the jig",
        "clamp": "Clamp",
        "tack": "Tack",
        "square": "Check that it is square",
        "diagonals": "Measure both diagonals",
        "weld": "Weld",
        "lift": "Lift straight up",
        "slide on": "Slide it on first",
        "tighten": "Tighten",
        "look": "Look at it closely",
        "load": "Load it",
        "ride": "Walk, then ride with it",
        "eyes": "Protect your eyes",
        "ears": "Protect your ears",
        "gloves": "Wear gloves",
        "mask": "Mask against fume, and fresh air",
        "weld mask": "Welding shield",
        "no gloves": "No gloves",
        "keep away": "Nobody here",
        "arc light": "Light of the arc: do not look at it",
        "fire": "Fire",
        "hot": "Hot metal",
        "crush": "Fingers can be crushed",
    },
)
