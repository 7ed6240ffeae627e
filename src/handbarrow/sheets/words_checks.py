"""Words of the sheets on loads, checks and the proof load."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["CHECKS", "PROOF", "UNITS", "VERDICT"]

UNITS = Words("unit of a check", {"years": "years", "times": "times"})

VERDICT = Words(
    "verdict",
    {"holds": "holds", "doubtful": "doubtful", "fails": "fails", "not checked": "not checked"},
)

CHECKS = Words(
    "checks",
    {
        "title": "Loads and checks",
        "lead": "What was reckoned, the worst first; loads and rules stand on the sheet “Load cases”.",
        "at_most": "at most {limit}",
        "at_least": "at least {limit}",
        "caution": (
            "These checks support a licensed engineer and local codes, never replace them. Nobody rides in a unit before "
            "it has passed its load test."
        ),
        "factors": (
            "No standard was found for the loads of a person lying behind a bicycle, or of handcarts: the factors are "
            "common practice without a source."
        ),
        "picture": "How hard each part is used at the worst, in percent of what it may bear. Heavy lines: two thirds and more.",
        "check": "Check",
        "value": "Came out",
        "limit": "Allowed",
        "used": "Used",
        "verdict": "Verdict",
        "worst": "{case}; copy {copy}, {along} from its start",
        "worst_bend": "{case}; copy {copy}, {along} from its start, in a bend",
        "case": "{title}, {carried}",
        "not_made": "Not checked",
        "why": "Why, and what to do",
        "cases": "Load cases",
        "cases_lead": "Forces in N along x, y, z: forward, to the left, up; what the ground and whoever holds it put on the unit.",
        "acts": "What acts",
        "wheels": "Each wheel",
        "held": "Held",
        "hands": "{count} hands, the hardest {force}",
        "loose": "not held: something moves or tips",
        "unsettled": "not solved",
        "rules": "Rules",
    },
)

PROOF = Words(
    "proof",
    {
        "title": "Proof load",
        "lead": "A proposal for the competent person who decides the load test; common practice, no source.",
        "heavy": "How heavy",
        "heavy_says": "{mass}: one and a half times {carried} ({most})",
        "where": "Where it lies",
        "where_says": "Spread over {parts}, bags of sand, low",
        "long": "How long",
        "long_says": "{minutes} minutes; then rocked by hand ten times, held at its handle or hitch",
        "measure": "What to measure",
        "measure_says": "Height of the lowest tube at the middle and at both ends: before, under load, after",
        "allowed": "What is allowed",
        "allowed_says": "Under load about {sag} deeper on stiff tyres; afterwards back to within {back}; no crack, no dent, nothing bent",
        "allowed_plain": "Afterwards every height back to within {back}; no crack, no dent, nothing bent",
        "lift": "Its grips",
        "lift_says": "Held at the grips as for “{by}”: lift it with {mass} 100 mm by a hoist or jacks, not by hand; one minute, nobody under it",
    },
)
