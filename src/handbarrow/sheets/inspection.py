"""Final inspection, load test and test ride: what is looked at, measured and tried on every unit, with boxes for it.

Nothing here is a proof: what was not computed says so; loads are proposed, a competent person decides them.
"""

from __future__ import annotations

from collections.abc import Sequence

from handbarrow.job.values import Job
from handbarrow.language import spoken
from handbarrow.laws.units.shown import short_text
from handbarrow.sheets.blocks import Block, Cell, section, strong, table, tight
from handbarrow.sheets.proof import BACK, MINUTES, heaviest
from handbarrow.sheets.release import FinalSize, final_sizes, fitted, heights, welded
from handbarrow.sheets.ride_tried import tried_rows
from handbarrow.sheets.shown import batch, soft
from handbarrow.sheets.words_release import LOAD, RELEASE, RIDE, RIDE_STEPS, WELD_FAULTS
from handbarrow.sheets.words_ride import TRIED

__all__ = ["boxes", "inspection_pages", "mark", "write"]


# ------------------------------------------------------------------------------------------------ boxes
def mark(name: str, says: str) -> Block:
    """A box to tick; `name` and `says` (what is ticked) are for the fillable copy."""
    return {"kind": "mark", "name": name, "says": says}


def write(name: str, says: str, height: float = 7.0) -> Block:
    """A place to write in, as wide as its column [mm high]."""
    return {"kind": "write", "name": name, "says": says, "h": height}


def boxes(*lines: Sequence[tuple[str, str, float]], height: float = 9.0) -> Block:
    """Lines of labelled boxes: (label, name, share of the width). A label in a line of its own stands to the left."""
    rows = [[{"label": label, "name": name, "share": share} for label, name, share in line] for line in lines]
    return {**section("", level=2), "boxes": rows, "box_height": height}


def _verdict(prefix: str, words: tuple[str, str, str]) -> Block:
    """The end of a sheet: good or not, why, by whom and when."""
    good, bad, who = words
    return {
        **section(RELEASE["result"], level=2),
        "verdict": {
            "good": {"name": f"{prefix}-good", "says": good},
            "bad": {"name": f"{prefix}-bad", "says": bad},
            "why": f"{prefix}-why",
            "who": {"name": f"{prefix}-who", "says": who},
        },
    }


# ------------------------------------------------------------------------------------------------ the sheets
def inspection_pages(job: Job) -> list[Block]:
    """Return the sheets that every unit passes: final inspection, load test, test ride."""
    return [*_final(job), *_load_test(job), *_ride(job)]


def _final(job: Job) -> list[Block]:
    shown = job.workshop.shown
    lead = RELEASE["lead"].format(units=batch(job))
    limit = shown.length(job.workshop.limits.assembled, with_unit=True)
    return [
        section(RELEASE["title"], lead=lead, remarks=[RELEASE["caution"]], code="+final-inspection"),
        boxes([(RELEASE["serial"], "serial", 1.0), (RELEASE["date"], "date", 0.8), (RELEASE["who"], "inspector", 1.6)]),
        section(RELEASE["welds"], tight(_welds(job)), level=2),
        section(
            RELEASE["sizes"].format(unit=shown.length_unit), tight(_sizes(job)), level=2,
            lead=RELEASE["sizes_lead"].format(limit=limit),
        ),
        section(RELEASE["fitted"], tight(_fitted(job)), level=2),
        _verdict("inspection", (RELEASE["released"], RELEASE["held"], RELEASE["sign"])),
    ]  # fmt: skip


def _welds(job: Job) -> Block:
    columns = [(RELEASE["assembly"], 1.2, "l"), *((fault, 1.0, "c") for fault in WELD_FAULTS.values())]
    rows: list[list[Cell]] = []
    for name in welded(job):
        title = name or RELEASE["whole"]
        rows.append(
            [
                strong(title),
                *(mark(f"weld-{name}-{i}", f"{title}: {said}") for i, said in enumerate(WELD_FAULTS.values())),
            ]
        )
    return table(columns, rows)


def _sizes(job: Job) -> Block:
    columns = [
        (RELEASE["size"], 5.4, "l"),
        (RELEASE["wanted"], 1, "r"),
        (RELEASE["least"], 1, "r"),
        (RELEASE["most"], 1, "r"),
        (RELEASE["found"], 1.3, "l"),
        (RELEASE["good"], 0, "c"),
    ]
    return table(columns, [_size_cells(job, size) for size in final_sizes(job)])


def _size_cells(job: Job, size: FinalSize) -> list[Cell]:
    shown, limit = job.workshop.shown, job.workshop.limits.assembled
    found, good = write(f"size-{size.id}", spoken(size.title), 6), mark(f"good-{size.id}", spoken(size.title))
    if size.plain:
        says = {"plain": soft(size.title), "sub": RELEASE["value_sub"]}
        return [says, short_text(size.value), RELEASE["no_limit"], RELEASE["no_limit"], found, ""]
    least, most = shown.column(size.value - limit), shown.column(size.value + limit)
    says = {"plain": soft(size.title), "sub": soft(size.how)}
    return [says, shown.column(size.value), strong(least), strong(most), found, good]


def _fitted(job: Job) -> Block:
    columns = [
        (RELEASE["item"], 2.21, "l"),
        (RELEASE["count"], 0, "c"),
        (RELEASE["where"], 2.17, "l"),
        (RELEASE["look"], 2.62, "l"),
        (RELEASE["good"], 0, "c"),
    ]
    rows: list[list[Cell]] = [
        [soft(one.name), strong(str(one.count)), soft(one.where), one.look, mark(f"fitted-{one.id}", one.name)]
        for one in fitted(job)
    ]
    rows.append([RELEASE["whole"], "", "", RELEASE["finish"], mark("finish", RELEASE["finish"])])
    return table(columns, rows)


def _load_test(job: Job) -> list[Block]:
    shown, mass, most = job.workshop.shown, job.workshop.show_mass, heaviest(job)
    test_load, held_for, may_sink = LOAD["test_load"], LOAD["held_for"], LOAD["may_sink"]
    if most is not None:
        heavy = shown.mass(most.proof_kg, with_unit=True)
        test_load = LOAD["test_load_proposed"].format(mass=heavy)
        held_for = LOAD["held_for_proposed"].format(minutes=MINUTES)
        may_sink = LOAD["may_sink_proposed"].format(back=shown.length(BACK, with_unit=True))
    decide: list[list[Cell]] = [
        [soft(test_load), write("load-test", test_load), mass],
        [LOAD["placed"], write("load-placed", LOAD["placed"]), ""],
        [held_for, write("load-time", held_for), LOAD["minutes"]],
        [may_sink, write("load-sink", may_sink), shown.length_unit],
        [LOAD["rated"], write("load-rated", LOAD["rated"]), mass],
        [LOAD["decided_by"], write("load-decided", LOAD["decided_by"], 10), ""],
    ]
    steps: list[list[Cell]] = [
        [strong(str(n)), LOAD[str(n)], write(f"load-step-{n}", LOAD["saw"], 8), mark(f"load-good-{n}", LOAD[str(n)])]
        for n in range(1, 6)
    ]
    step_columns = [("", 0, "c"), (LOAD["step"], 1.6, "l"), (LOAD["saw"], 1.4, "l"), (LOAD["ok"], 0, "c")]
    return [
        section(
            LOAD["title"],
            lead=LOAD["lead"],
            remarks=[LOAD["caution" if most is None else "caution_proposed"]],
            code="+load-test",
        ),
        boxes([(RELEASE["serial"], "load-serial", 1.0), (RELEASE["date"], "load-date", 1.0)]),
        section(LOAD["decide"], tight(table([("", 1.5, "l"), ("", 1.4, "l"), ("", 0, "l")], decide)), level=2),
        section(LOAD["steps"], tight(table(step_columns, steps)), level=2),
        section(LOAD["heights"].format(unit=shown.length_unit), tight(_heights(job)), level=2),
        _verdict("load", (LOAD["passed"], LOAD["failed"], LOAD["tested_by"])),
    ]


def _heights(job: Job) -> Block:
    places = ("before", "under", "after")
    columns = [(RELEASE["size"], 2, "l"), *((LOAD[place], 1.0, "l") for place in places)]
    rows: list[list[Cell]] = [
        [
            {"plain": soft(size.title), "sub": soft(size.how)},
            *(write(f"height-{place}-{size.id}", f"{spoken(size.title)}, {LOAD[place]}") for place in places),
        ]
        for size in heights(job)
    ]
    return table(columns, rows)


def _ride(job: Job) -> list[Block]:
    reckoned, most = tried_rows(job), heaviest(job)
    rows: list[list[Cell]] = [
        [
            strong(str(n)),
            says,
            mark(f"ride-empty-{n}", f"{RIDE['empty']}: {says}"),
            mark(f"ride-loaded-{n}", f"{RIDE['loaded']}: {says}"),
            write(f"ride-note-{n}", f"{RIDE['note']}, {n}", 8 if reckoned else 10),
        ]
        for n, says in enumerate(RIDE_STEPS.values(), start=1)
    ]
    columns = [
        ("", 0, "c"),
        (RIDE["step"], 2, "l"),
        (RIDE["empty"], 0, "c"),
        (RIDE["loaded"], 0, "c"),
        (RIDE["note"], 1.3, "l"),
    ]
    load, low = RIDE["load"], 7.5 if reckoned else 9.0
    if most is not None:
        load = TRIED["load"].format(mass=job.workshop.shown.mass(most.mass_kg, with_unit=True))
    return [
        section(
            RIDE["title"], lead=RIDE["lead"], remarks=[TRIED["caution"] if reckoned else RIDE["caution"]],
            code="+test-ride",
        ),
        boxes(
            [(RELEASE["serial"], "ride-serial", 1.0), (f"{load} ({job.workshop.show_mass})", "ride-load", 1.6)],
            height=low,
        ),
        section(RIDE["step"], tight(table(columns, rows)) if reckoned else table(columns, rows), level=2),
        *_reckoned(reckoned),
        boxes([(RIDE["ridden_by"], "ride-by", 1.0), (RIDE["watched_by"], "ride-watch", 1.0)], height=low),
        _verdict("ride", (RIDE["passed"], RIDE["failed"], RELEASE["sign"])),
    ]  # fmt: skip


def _reckoned(rows: Sequence[tuple[str, str, str]]) -> list[Block]:
    """What was reckoned of the ride, to be measured."""
    if not rows:
        return []
    columns = [(TRIED["what"], 2.0, "l"), (TRIED["reckoned"], 1.6, "l"), (TRIED["found"], 0.8, "l")]
    cells: list[list[Cell]] = [
        [soft(what), strong(value), write(f"ride-found-{name}", f"{TRIED['found']}: {what}", 4)]
        for name, what, value in rows
    ]
    return [section(TRIED["title"], tight(table(columns, cells)), level=2)]
