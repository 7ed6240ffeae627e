"""What is said of a printed sheet whose code was given."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["ANSWER", "BATCH_CHANGES", "CHANGES", "PLACES"]

ANSWER = Words(
    "answer",
    {
        "sheet": "{sheet}, printed for {stamp}",
        "stamp": "revision {revision}, digest {design} / {workshop}, {units} units",
        "stamp_short": "digest {design} / {workshop}, {units} units",
        "current": "CURRENT: made from these files, and the numbers are the same.",
        "superseded": "SUPERSEDED. Throw this sheet away; print it anew for {stamp}.",
        "program": "SUPERSEDED. Same files, but this version of the program gives other numbers: print it anew.",
        "still_right": "SUPERSEDED by {stamp}, but only other parts changed: this sheet is still right.",
        "nothing": "SUPERSEDED by {stamp}, but nothing on this sheet changed: it is still right.",
        "not_compared": (
            "SUPERSEDED. No number of its parts changed, but not all of this sheet was compared: throw it away, print it "
            "anew for {stamp}."
        ),
        "unknown": "SUPERSEDED; what changed is not known. Throw this sheet away; print it anew for {stamp}.",
        "why_unknown": "{folder} does not hold the job data that the sheet was printed from.",
        "none": "NO SHEET OF THIS DESIGN: {design} has no such sheet. Is it the right design file?",
        "changed": "Changed on it:",
        "others": "Other parts that changed: {parts}.",
        "line": "{what}: {was}, now {now}",
        "line_new": "{what}: now {now}",
        "line_gone": "{what}: {was}, now none",
        "line_plain": "{what}",
        "unreadable": (
            "{code!r} is not the code of a sheet. Give the text of its square code, or type the code at its head; "
            "the last two signs find a sign mistyped."
        ),
    },
)

CHANGES = Words(
    "change",
    {
        "new": "this part is new",
        "gone": "this part is no longer made",
        "number": "number on the parts list",
        "name": "name, assembly, note or standard",
        "quantity": "pieces in the batch",
        "hands": "mirrored pieces in the batch",
        "stock": "stock it is made from",
        "cut length": "cut length",
        "marks": "mark",
        "stops": "stop",
        "order": "bending order",
        "angles": "finished angle",
        "set angles": "set angle",
        "turns": "turn",
        "dies": "die or radius",
        "straights": "straights between the bends",
        "seam": "place of the weld seam",
        "wraps": "cut or wrap",
        "holes": "holes",
        "outline": "outline",
        "check sizes": "check size",
        "place": "where it sits",
    },
)

BATCH_CHANGES = Words(
    "change of batch",
    {
        "cutting": "cutting plan",
        "stops": "stop settings",
        "materials": "materials to buy",
        "masses": "masses",
        "results": "sizes to come out",
        "findings": "findings",
    },
)

PLACES = Words("change at", {"start": "start end", "end": "far end"})
