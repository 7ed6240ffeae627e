"""Words of the sheet on balance and ride, and of the test ride's numbers."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["RIDE_SHEET", "TRIED"]

RIDE_SHEET = Words(
    "balance and ride",
    {
        "title": "Balance and ride",
        "lead": (
            "What stands on what, from the masses of the parts and of what is carried. Level; up and down the steepest path "
            "({rise} in 1 m). N: 10 N is about 1 kg."
        ),
        "caution": (
            "Levers and slopes only: a bump, a swing or a load that slides changes all of it. Walk it first. The test ride "
            "decides."
        ),
        "scope": (
            "No standard covers an adult who lies behind a bicycle: standards for bicycle trailers carry two children or "
            "goods (scopes read)."
        ),
        "loads": "Loads in N",
        "carried": "Carried",
        "empty": "empty",
        "lying": "{name}, {lying}",
        "mass": "All, {unit}",
        "hitch": "Hitch level / up / down",
        "hands": "Hands level / up / down",
        "wheel": "Each wheel",
        "rear": "Rear axle",
        "front": "Front axle, up",
        "three": "{level} / {up} / {down}",
        "lifts": "Below 0 the hitch lifts.",
        "lifts_hands": "Below 0 hands press it down.",
        "shift": "May shift back / ahead, {unit}",
        "shift_value": "{back} / {ahead}",
        "nowhere": "nowhere",
        "bars": "Where each load may lie",
        "bars_lead": (
            "Stroke: its middle as drawn. Grey: with its middle there the hitch carries {least} to {most} N, level. Chain lines: "
            "axle and hitch."
        ),
        "bars_alt": "{name} from its right side; under it, for each load, how far its middle may lie",
        "paths": "Paths",
        "path": "Path",
        "ridden": "Ridden, km/h",
        "tips": "Tips in its turn from, km/h",
        "turn": "{speed} (R {radius})",
        "against": "Against the way, steepest, N",
        "push": "People who push",
        "stops": "Stops within",
        "stops_value": "{distance} m",
        "not_held": "not held",
        "not_told": "–",
        "paths_lead_hands": "The heaviest load; tipping with the worst.",
        "paths_lead": (
            "The heaviest load; tipping with the worst. Stopping: one second until the brakes take hold, dry. Half that speed "
            "when it is wet."
        ),
    },
)

TRIED = Words(
    "test ride numbers",
    {
        "title": "Reckoned beforehand. Measured far off: stop, find out why",
        "what": "What",
        "reckoned": "Reckoned",
        "found": "Found",
        "hitch_empty": "Hitch on a scale, empty, level",
        "hitch_loaded": "Hitch on a scale, with {load}",
        "handle_empty": "Handle on a scale, empty, level",
        "handle_loaded": "Handle on a scale, with {load}",
        "kilograms": "{mass}",
        "speed": "{path}, turn of {radius} radius: tips from",
        "speed_value": "{tips} km/h; ride {ridden} km/h",
        "slope": "Steepest path: who push beside the rider",
        "slope_by_hand": "Steepest path: who push",
        "slope_value": "{people}; {force} N",
        "stop": "{path}, from {speed} km/h: stops within",
        "stop_value": "{distance} m",
        "tilt": "Side slope at which it tips: stay far below",
        "tilt_value": "{angle}°",
        "load": "Load of the second ride: dead load, {mass}, no person",
        "caution": (
            "Stop at once when anything cracks, rubs, sways or comes loose. Downhill brake before the turn, never in it."
        ),
    },
)
