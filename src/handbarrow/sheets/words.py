"""Every word that the pack and the tables print, in one place, so that it can be said in another language."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = [
    "CAUTIONS",
    "CAUTION_NAMES",
    "COUNTED",
    "DRILLED",
    "FEED",
    "NOT_CHECKED",
    "SEVERITY",
    "SIDES",
    "TOUCHES",
    "WORDS",
]

WORDS = Words(
    "pack",
    {
        # every page
        "sheet": "Sheet {n} of {m}",
        "revision": "Revision {revision}",
        "digest": "digest {design} / {workshop}",
        "batch": "{units} units",
        "batch_one": "1 unit",
        "old": "{date}. Sheets with another revision or digest are out of date: throw them away.",
        "code": "Code of this sheet: {code}",
        "code_alt": "Square code of this sheet: {text}",
        # cover
        "cover_about": "Shop pack for {units} at {shop}",
        "made_on": "Date",
        "design_digest": "Design digest",
        "revision_fact": "Revision",
        "shop_digest": "Workshop digest",
        "mass_one": "Mass of one unit",
        "mass_partly": "{mass} as far as known",
        "mass_unknown": "not known",
        "price_batch": "Materials for the batch",
        "price_partly": "{price} as far as known",
        "price_unknown": "not known",
        "warnings": "Warnings",
        "warnings_some": "{count}: see the last sheet before you cut",
        "warnings_none": "none",
        "units_read": "Lengths in {length}, angles in degrees, masses in {mass}. Print at 100 %, never “fit to page”.",
        "unit_stamp": "lengths in {length}",
        "plain_value": "{value} (mm, if a length)",
        "results": "Sizes to come out",
        "cautions": "Before you start",
        "contacts": "that bought parts touch what they are fixed to ({parts})",
        "and_more": " and {count} more",
        "checks_fact": "Checks",
        "checks_made": "{fails} fail, {doubtful} doubtful, {holds} hold",
        "not_proven_lead": "What was reckoned is not proven: only the load test tries it. Not checked:",
        "not_checked_lead": "Nothing here says that it holds. Not checked:",
        # parts list
        "parts": "Parts",
        "parts_lead": "Numbers as on the cover’s view.",
        "number": "No.",
        "mark": "Write on it",
        "part": "Part",
        "stock": "From",
        "length": "Cut length",
        "per_unit": "A unit",
        "in_batch": "Batch",
        "mass_each": "{unit} each",
        "masses": "Mass and its centre, one unit",
        "assembly": "Assembly",
        "centre": "Centre x, y, z ({unit}) from the drawing’s zero and the ground",
        "whole": "whole unit",
        "mass_missing": "Not in the sum, mass not known: {parts}.",
        "mass_unplaced": "In the sum but not in the centre, place not known: {parts}.",
        # bend cards
        "card": "Bend card {number}: {title}",
        "card_checks": "Check {number}: {title}",
        "pieces": "Pieces",
        "pieces_plain": "{count} in the batch",
        "pieces_hands": "{plain} as drawn + {mirrored} mirrored",
        "cut_length": "Cut length",
        "tape": "{length} (tape {tape})",
        "seam": "Weld seam",
        "seam_crown": "on the crown line",
        "seam_turned": "{turn}° {sense} from the crown line, seen from the start",
        "seam_clear": "; neutral in every bend",
        "seam_taken": "; bend {bends} gets it on its {side}",
        "crown_tip": "Draw the crown line along the whole tube first. Marks count from the longest point of the start cut; check sizes run to the cuts’ longest points.",
        "tape_tip": "Small numbers in the columns Mark and Stop: the nearest sixteenth, for a tape.",
        "mirrored_tip": (
            "Mirrored pieces: same marks, stops and set angles, every turn the other way round. Start with the crown line "
            "{crown}."
        ),
        "mirrored_sides": "Mirrored pieces: weld seam and holes the other way round from the crown line.",
        "crown_up_tip": "No turns: keep the crown line up in every bend; seen from the held end, the free end swings left.",
        "turn_tip": (
            "Turn first: turn the tube so far since the bend made before. Crown line: where it then stands, from up. "
            "Both as seen along the tube from the held end; the free end swings left."
        ),
        "swap_tip": "Where the held end changes: swap the tube end for end with the same side up, then turn it.",
        "crown": "Crown line",
        "crown_up": "up",
        "crown_down": "down",
        "crown_at": "{turn}° {sense} from up",
        "clockwise": "clockwise",
        "anticlockwise": "anticlockwise",
        "order": "Do",
        "bend": "Bend",
        "hold": "Hold",
        "set_mark": "Mark",
        "stop": "Stop",
        "die": "Die",
        "turn": "Turn first",
        "set_angle": "Set angle",
        "angle": "Finished",
        "stop_none": "to the mark",
        "guess": (
            "Die {die}: no test bends yet. The set angles are a first guess (finished = {a} × set - {b}°). "
            "Make test bends before you bend the batch."
        ),
        "measured_law": "Die {die}: finished = {a} × set - {b}°, from {count} test bends{date}.",
        "law_date": " of {date}",
        "flat": "flat",
        "checks": "Check after bending ({unit}, °)",
        "check": "What",
        "wanted": "Wanted",
        "least": "Least",
        "most": "Most",
        "found": "Found",
        "good": "Good",
        "no_checks": "No check sizes for this part.",
        "fact_start": "Start end",
        "fact_end": "Far end",
        "note": "Note",
        "end_start": "start",
        "end_end": "end",
        "end_square": "{end}: square",
        "end_plane": "{end}: straight cut, {angle}° from square",
        "end_cope": "{end}: mitre round {against}, {angle}°{offset}",
        "end_double": "{end}: mitre against {against}",
        "end_offset": ", axes pass {offset} apart",
        "end_bevel": "file inside {bevel}",
        "end_unchecked": "outside what the mitre rule was checked for: try on a scrap first",
        # straight pieces
        "straight": "Straight pieces",
        "start_cut": "Start cut",
        "end_cut": "End cut",
        "holes": "Holes",
        "holes_mirrored": "mirrored: left is right",
        "holes_mirrored_angle": "mirrored: count from the far end",
        "of_them_mirrored": "{mirrored} mirrored",
        "hole": "{diameter} at {x}",
        "slot": "{diameter} × {length} at {x}",
        "hole_face": ", {face}",
        "hole_across": ", across {y}",
        "hole_through": ", through",
        "hole_angle": ", turned {angle}°",
        "hole_open": ", open",
        "plates": "Plates",
        "plate_holes": "Holes: see Drill and slot",
        "see_drilling": "see Drill and slot",
        "plate_size": "Size",
        # drilling
        "drilling": "Drill and slot, true size",
        "drilling_lead": (
            "Check the rule first. Mark from the heavy edges; numbers run from there. Slots: drill the round ends, saw out "
            "the rest. Break all edges."
        ),
        "drilling_caution": (
            "Punch each centre before you drill. Clamp the work. Eye protection on. No gloves, no loose sleeves, long hair "
            "tied back at the drill."
        ),
        "drill_long": ", {length} long",
        "drill_tally": "done so far:",
        "drill_hands": "Mirrored pieces: the same from the far end.",
        "drill_large": "Too large for this sheet: {parts}. Full size in templates.pdf.",
        "drill_tubes": "Holes along tubes and bars",
        "drill_tubes_lead": (
            "On the straight tube, before it is bent. Where round it: looking from the start to the far end, crown line up."
        ),
        "drill_at": "From start",
        "drill_face": "Where round it",
        "drill_size": "Hole",
        "drill_walls": "Walls",
        "drill_through": "through both",
        "drill_one": "this one only",
        "drill_slot": "slot {size}",
        "drill_open": "open slot {size}",
        "face_height leg": "height leg",
        "face_width leg": "width leg",
        "drill_slot_across": ", slot across the tube",
        "face_crown": "on the crown line",
        "face_right": "right, 90° from the crown line",
        "face_left": "left, 90° from the crown line",
        "face_bottom": "opposite the crown line",
        # large templates
        "templates": "Templates, true size",
        "templates_lead": (
            "Print at 100 %. Check the rule on every sheet. A sheet’s letter is its row, its number its column; empty "
            "sheets are left out. Cut each along its left and upper line, lay it over its neighbours, crosses on "
            "crosses, and glue. Measure the size over all before you trust it."
        ),
        "template_title": "{part}, template {sheet}",
        "template_lead": (
            "Cut along the left and the upper line. Lay over the neighbours, crosses on crosses, and glue. "
            "Grey on the map: this sheet."
        ),
        "template_lead_one": "One sheet, nothing to glue.",
        "template_sheets": "Sheets",
        "template_span": "{first} to {last}",
        "template_count": "Count",
        "template_use": "What for",
        "template_plate": "Mark out: stick it on, punch the centres, cut along the line.",
        "template_bent": "Lay the bent part on it: it must cover its outline. Springy tube moves: do not press it flat.",
        # stops
        "stops": "Stop settings for the batch",
        "stops_lead": "Set each once, make all its bends, then set the next. Distances from the die’s reference line.",
        "stop_setting": "Stop at",
        "stop_touches": "Touches",
        "stop_bends": "Bends",
        "stop_use": "{part} bend {bend} × {pieces}",
        "done": "Done",
        # wraps
        "wraps": "Mitre wraps, true size",
        "rule": "Check rule: exactly 100 mm from end mark to end mark. If it is not, do not use this sheet.",
        "rule_inch": "Check rules: exactly 100 mm and 4 in from end mark to end mark. If not, do not use this sheet.",
        "end": "End",
        "wrap_for": "for {section}",
        "wrap_hands": "{plain} printed side out, {mirrored} printed side in (mirrored)",
        "wrap_bevel": "file the inner edge back up to {bevel}",
        "wrap_unchecked": "not checked for this wall or angle: try on scrap",
        "wrap_tile": "strip {n} of {m}: lay it {glue} over the strip before, lines on lines, and glue",
        "wraps_lead": (
            "Cut out. Wrap round the tube printed side out, both edges on the tube’s crown line, dotted line on the sawn "
            "end. Mark and cut along the heavy line: what lies above it is waste. Dashed: edge inside the wall."
        ),
        "wraps_saw": "Chain lines: straight cuts for a hacksaw, see the sheet “Straight cuts instead of a curve”.",
        "hacksaw": "Straight cuts instead of a curve",
        "hacksaw_lead": (
            "For a hacksaw. Where: from the crown line round the tube, right-handed looking from start to end. "
            "For mirrored pieces the other way round. Saw at the angle from square, then file to the wrap’s line."
        ),
        "cuts": "Cuts",
        "cut_of": "{number} of {count}",
        "cut_where": "Where round",
        "cut_angle": "Angle",
        "cut_at": "Centre at",
        "cut_gap": "Gap left",
        "cut_file": "File away",
        # cutting
        "cutting": "Cutting plan",
        "cutting_lead": (
            "Numbers above a bar: saw there, {unit} from its left end, with the blade on the far side of the mark "
            "(kerf {kerf}).{trim} Tick each bar when it is cut. Hatched with its length: keep it; hatched without: waste."
        ),
        "cutting_trim": " The first cut trims {trim} off.",
        "bar": "Pattern {number}",
        "bar_count": "{count} × {length}",
        "bar_rack": "{count} × {length} from the rack",
        "bar_left": "for the rack: {left}",
        "bar_tally": "cut so far:",
        "bound_proven": "Bars: {bars}. Cost: {used}. Proven best, no plan costs less.",
        "bound_gap": "Bars: {bars}. Cost: {used}, at most {gap} % above the best possible.",
        "bound_bars_proven": "Bars: {bars}. Proven best, no plan needs fewer.",
        "bound_bars_gap": "Bars: {bars}, at most {gap} % above the best possible.",
        # materials
        "materials": "Materials to buy",
        "item": "Item",
        "standard": "Standard",
        "quantity": "Quantity",
        "unit": "Unit",
        "supplier": "Supplier",
        "mass": "Mass",
        "price": "Price",
        "price_sum": "Sum",
        "used_up_sum": "Used up, as estimated below",
        "used_up": "Used up in the batch: estimate",
        "used_up_lead": "Reckoned from welds, cuts and surfaces of the design; what is ordered is rounded up to packs. "
        "Write down what the batch really takes.",
        "needed": "Needed",
        "to_buy": "To buy",
        "how_reckoned": "How it was reckoned",
        "price_missing": "Lines without a price: {count}. The sum leaves them out.",
        "not_known": "not known",
        "rack": "Rack after the batch",
        "rack_none": "No useful off-cuts are left.",
        "how_many": "How many",
        "length_plain": "Length",
        # findings
        "findings": "Findings",
        "finding_where": "Where",
        "finding_wrong": "What",
        "finding_expected": "Expected",
        "finding_fix": "Mend it",
        "none": "none",
    },
)

CAUTIONS = Words(
    "caution",
    {
        "welding": "Arc light blinds, fume harms. Mask, gloves, leather; screen off; fresh air; fire bucket ready.",
        "zinc": "Zinc fume makes you ill. Grind the zinc off 50 mm (2 in) round each weld; weld outdoors.",
        "sawing": "Eye and ear protection. Guard on. Clamp the work. Sparks away from people and fuel.",
        "bending": "Keep fingers off die and stop. The free end swings: clear its way first.",
        "load test": "Test every unit with dead load, step by step, low over the ground, nobody on, under or beside it.",
        "law": "Local road and building codes come first. A licensed engineer must approve anything that carries people.",
    },
)
CAUTION_NAMES = Words(
    "caution name",
    {
        "welding": "Welding",
        "zinc": "Galvanised tube",
        "sawing": "Sawing, grinding",
        "bending": "Bending",
        "load test": "Load test",
        "law": "Law",
    },
)

NOT_CHECKED = Words(
    "not checked",
    {
        "tubes": "strength of tubes",
        "welds": "strength of welds",
        "fatigue": "fatigue",
        "wheels": "wheels and axles",
        "balance": "balance and tipping",
        "brakes": "brakes and downhill runs",
        "heat": "heat of brakes on long slopes",
        "hitch": "hitch and its lock",
        "road": "lights and road law",
        "corrosion": "corrosion",
    },
)

DRILLED = Words(
    "drilled side",
    {
        "crown": "crown",
        "left": "left",
        "bottom": "bottom",
        "right": "right",
        "width leg": "width leg",
        "height leg": "height leg",
    },
)
COUNTED = Words("counted in", {"bar": "bar", "sheet": "sheet", "piece": "piece"})
SIDES = Words("bent side", {"neutral": "neutral side", "inside": "inside", "outside": "outside"})
FEED = Words("held end", {"start": "start", "end": "far end"})
TOUCHES = Words("stop touches", {"end": "tube end", "leg": "bent leg", "none": ""})
SEVERITY = Words("finding", {"error": "Error", "warning": "Warning", "note": "Note"})
