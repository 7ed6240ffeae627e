"""Jig sheets: a fixture for each welded assembly, spacing rods, boards to check bent parts on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from handbarrow.drawings.dxf import dxf, metric
from handbarrow.drawings.jigs import board_plan, fixture_view, form_plan, form_view, jig_holes, part_number, rod_view
from handbarrow.drawings.svg import svg
from handbarrow.job.jig_pins import SUPPORT
from handbarrow.job.jig_values import Fixture, FormBoard, JigMember, Jigs, JigSpot, SpacingRod
from handbarrow.job.jigs import build_jigs, clearance_by_rule
from handbarrow.job.values import Job
from handbarrow.laws.geometry.path import Vec2
from handbarrow.laws.units.shown import Shown
from handbarrow.sheets.blocks import Block, Cell, picture, strong, table
from handbarrow.sheets.shown import soft, title_of
from handbarrow.sheets.signs import JIG_CAUTION_SIGNS
from handbarrow.sheets.words_jigs import CAUTION_NAMES, CAUTIONS, JIGS, KINDS, STEPS

__all__ = ["jig_files", "jig_pages"]

MOST_VIEW, BESIDE_VIEW = 150.0, 106.0
"""Height of a board's picture, and of its words and cautions on the same sheet at most [mm]; steps may go overleaf."""
FORM_BESIDE, MOST_FORM = 98.0, 84.0
"""The same for check boards, of which two stand on a sheet [mm]."""
PLYWOOD = 18.0
"""Least thickness of a wooden board [mm]. Common practice, no source."""
USUAL = 258.0
"""Room down an A4 sheet [mm]: on a larger one, pictures are larger."""
FILE_BOX = (400.0, 280.0)
"""Box of a board's drawing as a file [mm]."""


def jig_pages(job: Job, width: float, height: float, jigs: Jigs | None = None) -> list[Block]:
    """Return the jig sheets.

    Args:
        job: The job.
        width: Room across the sheet [mm].
        height: Room down the sheet [mm].
        jigs: The job's jigs; None: as `build_jigs` makes them.
    """
    made = build_jigs(job) if jigs is None else jigs
    larger = max(1.0, height / USUAL)
    box = (width, min(MOST_VIEW * larger, height - BESIDE_VIEW))
    out = [_fixture(job, fixture, box) for fixture in made.fixtures]
    out += [_rod(job, rod, width, first=i == 0) for i, rod in enumerate(made.rods)]
    if made.boards:
        limit = job.workshop.shown.length(job.workshop.limits.bent_part)
        lead = JIGS["boards_lead"].format(limit=limit)
        out.append(_page(JIGS["boards"], lead=lead, code="+check-boards-for-bent-parts"))
    box = (width, min(MOST_FORM * larger, (height - FORM_BESIDE) / 2))
    out += [_board(job, board, box) for board in made.boards]
    return out


def _page(title: str, *, level: int = 1, lead: str = "", **more: object) -> Block:
    return {
        "title": title, "level": level, "lead": lead, "own": "", "line": "", "facts": [], "facts2": [], "view": None,
        "tables": [], "steps": [], "cautions": [], "remarks": [], **more,
    }  # fmt: skip


# ------------------------------------------------------------------------------------------------ fixtures
def _fixture(job: Job, fixture: Fixture, box: Vec2) -> Block:
    shown = job.workshop.shown
    remarks = []
    loose = dict.fromkeys(title_of(job, m.part) for m in fixture.members if m.lies == "flat" and not m.held)
    if loose:
        remarks.append(JIGS["not_held"].format(parts=", ".join(loose)))
    if fixture.later:
        said = (
            JIGS["later_below" if one.below else "later_other"].format(part=title_of(job, one.part), count=one.count)
            for one in fixture.later
        )
        remarks.append(JIGS["later"].format(parts=", ".join(said)))
    return _page(
        JIGS["fixture"].format(assembly=fixture.assembly),
        lead=JIGS["lead"],
        facts=_board_facts(fixture, shown),
        facts2=_rule_facts(job, fixture),
        view=picture(fixture_view(job, fixture, box)),
        steps=list(STEPS.values()),
        cautions=_cautions(),
        remarks=remarks,
        tables=[_members(job, fixture), _spots(job, fixture)],
        assembly=fixture.assembly,
    )


def _board_facts(fixture: Fixture, shown: Shown) -> list[tuple[str, str]]:
    pin, pins = fixture.pin, [s for s in fixture.spots if s.kind != "support"]
    supports = len(fixture.spots) - len(pins)
    wide, high = shown.length(fixture.width), shown.length(fixture.height)
    size = JIGS["board_size"].format(width=wide, height=high, thick=shown.length(PLYWOOD, with_unit=True))
    hole, tap = shown.length(pin.clearance_hole, "fine"), shown.length(pin.tap_drill, "fine")
    height = shown.length(max((s.height for s in pins), default=0.0))
    out = [
        (JIGS["board"], size),
        (JIGS["pins"], JIGS["pins_words"].format(count=len(pins), pin=pin.name, height=height)),
        (JIGS["drill"], JIGS["drill_words"].format(hole=hole, tap=tap, pin=pin.name)),
        (JIGS["strips"], JIGS["strips_words"].format(bed=shown.length(fixture.bed))),
    ]
    if supports:
        words = JIGS["supports_words"].format(count=supports, size=shown.length(2 * SUPPORT))
        out.append((JIGS["supports"], words))
    return out


def _rule_facts(job: Job, fixture: Fixture) -> list[tuple[str, str]]:
    shown = job.workshop.shown
    by_rule = abs(fixture.clearance - clearance_by_rule(job)) < 1e-9
    near = any(spot.near_weld for spot in fixture.spots)
    keep = JIGS["keep_out_words"].format(keep_out=shown.length(fixture.keep_out))
    why = JIGS["why_rule" if by_rule else "why_given"]
    return [
        (JIGS["lies"], JIGS["lies_over" if fixture.turned_over else "lies_up"]),
        (JIGS["clearance"], JIGS["clearance_words"].format(clearance=shown.length(fixture.clearance), why=why)),
        (JIGS["keep_out"], keep + (JIGS["keep_out_near"] if near else "")),
        (JIGS["lift"], JIGS["lift_holds" if fixture.lifts_off else "lift_fails"]),
    ]


def _members(job: Job, fixture: Fixture) -> Block:
    """What is put in: alike copies in one row."""
    shown = job.workshop.shown
    supported = {(spot.part, spot.copy) for spot in fixture.spots if spot.kind == "support"}
    groups: dict[tuple[str, str, str], int] = {}
    for member in fixture.members:
        key = (member.part, _put_in(member, shown), _held(member, (member.part, member.copy) in supported))
        groups[key] = groups.get(key, 0) + 1
    rows: list[list[Cell]] = [
        [str(part_number(job, part)), soft(title_of(job, part)), strong(str(count)), put_in, held]
        for (part, put_in, held), count in groups.items()
    ]
    columns = [
        (JIGS["number"], 0, "r"),
        (JIGS["part"], 1.5, "l"),
        (JIGS["count"], 0, "r"),
        (JIGS["put_in"], 2, "l"),
        (JIGS["held"], 2, "l"),
    ]
    return table(columns, rows)


def _put_in(member: JigMember, shown: Shown) -> str:
    if member.lies == "flat":
        return JIGS["in_flat"].format(packing=shown.length(member.packing))
    return JIGS["in_above"].format(top=shown.length(member.top))


def _held(member: JigMember, supported: bool) -> str:
    if member.lies == "flat":
        return JIGS["held_pins" if member.held else "held_not"]
    return JIGS["held_supports" if supported else "held_hand"]


def _spots(job: Job, fixture: Fixture) -> Block:
    unit = job.workshop.show_length
    columns = [
        (JIGS["number"], 0, "r"),
        (f"x ({unit})", 1, "r"),
        (f"y ({unit})", 1, "r"),
        (f"{JIGS['drill']} ({unit})", 0.8, "r"),
        (JIGS["kind"], 1.2, "l"),
        (f"{JIGS['height']} ({unit})", 0.8, "r"),
        (JIGS["holds"], 2, "l"),
    ]
    many = {m.part for m in fixture.members if m.copy > 1}
    return table(columns, [_spot_cells(job, fixture, spot, many) for spot in fixture.spots])


def _spot_cells(job: Job, fixture: Fixture, spot: JigSpot, many: set[str]) -> list[Cell]:
    shown = job.workshop.shown
    title = title_of(job, spot.part)
    number = f"{spot.number}{JIGS['near'] if spot.near_weld else ''}"
    return [
        {"strong": number, "sub": ""},
        shown.column(spot.x),
        shown.column(spot.y),
        "" if spot.kind == "support" else shown.length(fixture.pin.clearance_hole, "fine"),
        KINDS[spot.kind].format(pin=fixture.pin.name),
        shown.column(spot.height),
        soft(JIGS["copy"].format(part=title, copy=spot.copy) if spot.part in many else title),
    ]


# ------------------------------------------------------------------------------------------------ spacing rods
def _rod(job: Job, rod: SpacingRod, width: float, *, first: bool) -> Block:
    shown = job.workshop.shown
    view = rod_view(job, rod, width)
    one, other = (title_of(job, part) for part in rod.parts)
    stud = JIGS["rod_stud_none"] if rod.stud is None else JIGS["rod_stud_words"].format(stud=rod.stud.name)
    length = shown.length(rod.length, "fine", with_unit=True)
    facts = [
        (JIGS["rod_length"], JIGS["rod_length_words"].format(length=length)),
        (JIGS["rod_parts"], JIGS["rod_parts_words"].format(one=one, other=other, wheel=title_of(job, rod.wheel))),
        (JIGS["rod_pairs"], JIGS["rod_pairs_words"].format(pairs=rod.pairs)),
        (JIGS["rod_slot"], JIGS["rod_slot_words"].format(width=shown.length(rod.slot_width, "fine", with_unit=True))),
        (JIGS["rod_stud"], stud),
    ]
    return _page(
        JIGS["rods"] if first else "",
        level=1 if first else 2,
        lead=JIGS["rods_lead"] if first else "",
        facts=facts,
        view=picture(view),
        steps=[JIGS["rod_true" if view.scale == 1.0 else "rod_to_scale"], JIGS["rod_use"]],
        cautions=_cautions(without="fire") if first else [],
        assembly=job.part(rod.parts[0]).assembly,
    )


# ------------------------------------------------------------------------------------------------ check boards
def _board(job: Job, board: FormBoard, box: Vec2) -> Block:
    shown = job.workshop.shown
    line = JIGS["form_line"].format(
        width=shown.length(board.width), height=shown.length(board.height), start=_point(board.start, shown),
        end=_point(board.end, shown), half=shown.length(board.outer, "fine"),
    )  # fmt: skip
    unit = shown.length_unit
    columns = [
        (JIGS["bend"], 0, "r"),
        (f"{JIGS['starts']} ({unit})", 1.5, "r"),
        (f"{JIGS['centre']} ({unit})", 1.5, "r"),
        (f"{JIGS['ends']} ({unit})", 1.5, "r"),
        (JIGS["radius"], 1, "r"),
        (JIGS["radius_out"], 1, "r"),
        (JIGS["radius_in"], 1, "r"),
    ]
    rows: list[list[Cell]] = [
        [
            str(bend.number),
            *(_point(place, shown) for place in (bend.start, bend.centre, bend.end)),
            *(shown.column(bend.radius + more) for more in (0.0, board.outer, -board.outer)),
        ]
        for bend in board.bends
    ]
    title = JIGS["form_title"].format(number=part_number(job, board.part), title=title_of(job, board.part))
    return _page(
        "",
        level=2,
        own=title,
        line=line,
        view=picture(form_view(job, board, box)),
        tables=[table(columns, rows)],
        part=board.part,
        assembly=job.part(board.part).assembly,
    )


def _point(place: Vec2, shown: Shown) -> str:
    return JIGS["point"].format(x=shown.length(place[0]), y=shown.length(place[1]))


# ------------------------------------------------------------------------------------------------ files
def jig_files(job: Job) -> Iterator[tuple[str, str, Callable[[str], bytes]]]:
    """Yield (folder, name, form -> bytes) of the boards: SVG as on the sheets, DXF at 1:1 with holes to drill.

    The DXF counts in mm from the board's lower left corner.
    """
    made = build_jigs(job)
    for fixture in made.fixtures:
        yield "jigs", fixture.id, partial(_fixture_file, job, fixture)
    for board in made.boards:
        yield "jigs", f"form-{board.part}", partial(_form_file, job, board)


def _fixture_file(job: Job, fixture: Fixture, form: str) -> bytes:
    if form == "svg":
        return svg(fixture_view(job, fixture, FILE_BOX), texts=True).encode()
    return dxf(board_plan(metric(job), fixture), jig_holes(fixture))


def _form_file(job: Job, board: FormBoard, form: str) -> bytes:
    if form == "svg":
        return svg(form_view(job, board, FILE_BOX), texts=True).encode()
    return dxf(form_plan(metric(job), board))


def _cautions(*, without: str = "") -> list[tuple[tuple[str, ...], str, str]]:
    return [(JIG_CAUTION_SIGNS[key], CAUTION_NAMES[key], said) for key, said in CAUTIONS.items() if key != without]
