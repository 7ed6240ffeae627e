"""Words that the modules in the browser say; they are written into the page in its language."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["CLIENT"]

CLIENT = Words(
    "browser",
    {
        # The connection.
        "gap": "The workbench does not answer. What you typed is kept here and sent when it is back.",
        "gap_part": "The workbench does not answer. Choose the part again when it is back.",
        "gap_work": "The workbench does not answer. Nothing was begun; try again when it is back.",
        # Sizes.
        "finding": "{wrong}. Expected: {expected}. To mend it: {fix}.",
        "refused": "This was not taken.",
        "both_changed": "Somebody else made this {theirs} while you wrote {yours}. Which one is right?",
        "use_yours": "Use {text}",
        "use_theirs": "Leave {text}",
        "no_value": "-",
        "how_far": "How far can it go?",
        "looking": "Trying values on both sides.",
        "limits": "From {low} to {high} {unit} nothing stands against it, everything else as it is.",
        "limits_low": "Just below: {wrong}.",
        "limits_high": "Just above: {wrong}.",
        "limits_open": "Farther than half of the value nothing was tried.",
        # Differences.
        "no_difference": "No part changed.",
        "finding_gone": "No longer so: {wrong}.",
        "was_now": "{what}: {was}, now {now}",
        "checks_moved": "Checks whose value moved: {count}",
        "checks_same": "No check came out otherwise than before.",
        "checks_looking": "Price and checks are being worked out.",
        "mass": "Mass of one unit",
        "price": "Materials",
        "parts_changed": "Parts changed: {parts}. Bend cards changed: {cards}. Cuts changed: {cuts}.",
        "parts_moved": "Only moved: {parts}.",
        "batch_changed": "For the whole batch: {what}.",
        # The picture.
        "canvas": "The product in three dimensions",
        "canvas_keys": (
            "Arrows turn it, with Shift they move it; plus and minus go nearer and farther; 0 to 3 are views; n and p go "
            "from part to part; Escape lets go of a part."
        ),
        "no_3d": "This browser shows no 3-D picture. Everything else on this page works.",
        "scene_old": "This is the product before the last change: as it stands now it does not work out.",
        "scene_lost": "The picture was lost; it comes back by itself, or when the page is read again.",
        "views": "Views",
        "view_corner": "Whole",
        "view_front": "Front",
        "view_side": "Side",
        "view_top": "Top",
        "more": "Look inside",
        "section": "Cut open",
        "cut_none": "no",
        "cut_across": "across",
        "cut_along": "lengthwise",
        "cut_level": "level",
        "cut_at": "Where it is cut open",
        "apart": "Pull apart",
        "assemblies": "Assemblies",
        "position": "{assembly} is",
        "as_drawn": "as drawn",
        "part": "Part",
        "part_none": "none chosen",
        "part_page": "The page of this part",
        "close": "Close",
        # Work in the background.
        "progress": "How far it is",
        "stop": "Stop",
        "work_running": "At work",
        "work_done": "Done.",
        "work_failed": "It could not be done.",
        "work_cancelled": "Stopped. Nothing was written.",
        # At the bench.
        "measure_inside": "within the limits",
        "measure_outside": "outside the limits",
        "bench_shut": "Kept on this device: {count}. This page is too old to send it: read the page again.",
        "bench_waiting": "Kept on this device, not sent yet: {count}",
    },
)
