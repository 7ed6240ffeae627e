"""Words on holes, drills, fasteners and the hitch on the printed sheets."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["FASTENERS", "FITS", "HITCH", "HOLES", "WELD_ON"]

HOLES = Words(
    "holes",
    {
        "title": "Drills and taps",
        "lead": "All round holes of the batch by drill: lay these ready. A hole through both walls counts once.",
        "drill": "Drill",
        "what_for": "What for",
        "count": "Holes in batch",
        "where": "Where",
        "where_one": "{part}: {count}",
        "goes_through": "{screw} goes through ({fit})",
        "tap": "tap {screw}: drill first, then cut the thread",
        "drilled_out": "nut drilled out so that it turns on {screw}",
        "plain": "",
        "drilled_to": "drilled out to Ø{hole} for {screw}",
        "note_for": " for {screw}",
        "note_tapped": ", tap {screw}",
        "for_screw": "{hole} for {screw}",
        "tapped": "{hole}, tap {screw}",
        "source": "Clearance holes: ISO 273, tap drills for cut threads: read at second hand.",
        "nut_caution": "Hold the nut in a vice, never by hand.",
    },
)
FITS = Words("room of a screw", {"fine": "fine", "medium": "medium", "coarse": "coarse", "tapped": "tapped"})

FASTENERS = Words(
    "fasteners",
    {
        "title": "Fasteners and bought parts by step",
        "lead": "Lay these ready before each step. Bolt lengths follow from what they clamp.",
        "step": "Step",
        "item": "Item",
        "one": "One unit",
        "batch": "Batch",
        "clamps": "Clamps",
        "count": "{count} × {item}",
        "through": "from the head: {stack}",
        "layer": "{part} {thickness}",
        "room": "room {size}",
        "grip": "Clamps {grip}; {showing} of thread shows.",
        "welded": "Weld the nut on first, bolt in place.",
        "packing": "Beside the hub: {washers}.",
    },
)

WELD_ON = Words(
    "welded on",
    {
        "title": "Nuts and bolts to weld on",
        "lead": "Bought parts that are welded, each with what it sits on.",
        "what": "What",
        "on": "On",
        "one": "One",
        "batch": "Batch",
        "note": "Note",
        "thread": "Grind zinc off first. Turn a spare bolt into each nut while you weld, so that the thread stays whole and "
        "square; short welds, let it cool.",
        "not_counted": "These welds are not in the list of welds, not in what the batch uses up, and not strength-checked.",
        "drilled": "Drilled out to {hole} first.",
    },
)

HITCH = Words(
    "hitch",
    {
        "title": "Hitch",
        "lead": "Try every way by hand on each unit, slowly, with the strap off: nothing may touch before the angle that is "
        "needed.",
        "caution": "A hitch that lets go throws people. Lock nuts new, safety strap on, look at welds before each ride.",
        "way": "Way",
        "needs": "Needed",
        "one_way": "One way",
        "other_way": "Other way",
        "touches": "Then touches",
        "holds": "Verdict",
        "free": "free",
        "angle": "{angle}°",
        "pair": "{one} and {other}",
        "nothing": "nothing",
        "tried": "Tried by hand",
        "bolts": "Bolts of the hitch",
        "bolt": "Bolt (No.)",
        "note": "Note",
        "bought": "Bolt, washers, nut",
        "stack": "From the head to the nut",
        "left_out": "Bolts as thick as their corners; other bought parts and the bicycle are left out: try it on the bicycle.",
        "sideways": "sideways",
        "up and down": "up and down",
        "leaning": "leaning",
    },
)
