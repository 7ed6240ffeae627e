"""Whether a sheet still counts: its code against the job of today, and the job that it was printed from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from handbarrow.sheets.codes import SheetCode, slug
from handbarrow.sheets.compare import BATCH, KINDS, Change, Changes, compare

__all__ = ["Verdict", "judge", "matches"]

Json = Mapping[str, Any]
State = Literal["current", "superseded", "no sheet of this design"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What can be said of a sheet.

    Attributes:
        state: `current`: made from these very files, with the same numbers.
        known: Whether it is known what changed; never so if the job data of the sheet are not there.
        parts: What changed on this sheet, part by part.
        batch: What changed on it that is the whole batch's, as `cutting`.
        others: Parts that changed but not on this sheet.
        compared: Whether everything on the sheet was compared; if not, it is never called still right.
        program: The files are the same and the numbers are not: another version of the program worked them out.
    """

    state: State
    known: bool = True
    parts: Mapping[str, tuple[Change, ...]] = field(default_factory=dict)
    batch: tuple[str, ...] = ()
    others: tuple[str, ...] = ()
    compared: bool = True
    program: bool = False

    @property
    def still_right(self) -> bool:
        """Whether everything on the sheet is as it would be printed today, but for its stamp."""
        judged = self.state != "no sheet of this design" and self.known and self.compared
        return judged and not self.parts and not self.batch


EVERY = frozenset((*KINDS, "new", "gone"))
OWN = EVERY - {"place"}
"""What the sheets of one part show."""
WHOSE = frozenset({"name", "quantity", "hands", "stock", "new", "gone"})
BENDS = frozenset({"marks", "stops", "order", "angles", "set angles", "turns", "dies"})
SHOWN: Mapping[str, tuple[frozenset[str], tuple[str, ...]]] = {
    "parts": (frozenset({"number", "name", "quantity", "stock", "cut length", "new", "gone"}), ("masses",)),
    "straight": (OWN, ()),
    "plates": (OWN, ()),
    "stops": (frozenset(), ("stops",)),
    "bender-station": (WHOSE | BENDS, ("stops",)),
    "drilling": (WHOSE | {"cut length", "holes", "outline"}, ()),
    "drill_tubes": (WHOSE | {"holes"}, ()),
    "drills": (WHOSE | {"holes"}, ()),
    "hacksaw": (frozenset({"wraps", "name", "new", "gone"}), ()),
    "wraps": (frozenset({"wraps", "name", "stock", "hands", "new", "gone"}), ()),
    "cutting": (frozenset(), ("cutting",)),
    "materials": (frozenset(), ("materials", "cutting")),
    "findings": (frozenset(), ("findings",)),
    "signs": (frozenset(), ()),
}
"""What a sheet of the batch shows: kinds of changes of parts, and of the batch. Any other sheet: everything."""


def matches(code: SheetCode, document: Json) -> bool:
    """Whether a job document is of the files that a code names."""
    design, workshop = document["design"]["digest"].lower(), document["workshop"]["digest"].lower()
    return bool(design.startswith(code.design_digest) and workshop.startswith(code.workshop_digest))


def judge(code: SheetCode, now: Json, older: Json | None) -> Verdict:
    """Say whether a sheet still counts.

    Args:
        code: What the sheet's code says.
        now: The job document of today's files and batch.
        older: The job document that the sheet was printed from, as kept; None if it was not. Its batch may be of
            another size: the numbers of a part do not depend on it.
    """
    same_files = matches(code, now)
    same = same_files and code.units == now["units"]
    if older is None and same_files:
        older = now
    if older is None:
        if code.design and code.design != slug(now["design"]["name"]):
            return Verdict(state="no sheet of this design", known=False)
        if code.part and code.part not in _ids(now):
            return Verdict(state="superseded", parts={code.part: (Change(kind="gone"),)})
        return Verdict(state="superseded", known=False)
    if code.part and code.part not in _ids(now) | _ids(older):
        return Verdict(state="no sheet of this design", known=False)
    changes = compare({**older, "units": code.units}, now)
    if not code.units == older["units"] == now["units"]:
        changes = Changes(parts=changes.parts, batch=tuple(BATCH))
    mine, batch = _on_sheet(code, changes, now, older)
    if same and not mine and not batch:
        return Verdict(state="current")
    others = tuple(name for name in changes.parts if name not in mine)
    compared = _is_compared(code, now, older)
    return Verdict(state="superseded", parts=mine, batch=batch, others=others, compared=compared, program=same)


def _is_compared(code: SheetCode, now: Json, older: Json) -> bool:
    """Whether the job data hold all that a sheet says: not so for limits, cautions and words of other sheets.

    The width of wraps hangs on the shop's paper, which only its file knows.
    """
    if code.part:
        return True
    name = code.sheet.removeprefix("+")
    return name in SHOWN and (name != "wraps" or now["workshop"]["digest"] == older["workshop"]["digest"])


def _on_sheet(
    code: SheetCode, changes: Changes, now: Json, older: Json
) -> tuple[dict[str, tuple[Change, ...]], tuple[str, ...]]:
    """Changes that this sheet shows."""
    name, _, assembly = code.sheet.removeprefix("+").partition(".")
    kinds, batch = (OWN, ()) if code.part else SHOWN.get(name, (EVERY, tuple(BATCH)))
    # A name of no assembly that is known narrows nothing: rather too much is told than a change kept back.
    own = _ids(now, assembly) | _ids(older, assembly) or _ids(now) | _ids(older)
    wanted = {code.part} if code.part else own
    if assembly:
        batch = ()
    kept = {
        part: told
        for part, found in changes.parts.items()
        if part in wanted and (told := tuple(change for change in found if change.kind in kinds))
    }
    return kept, tuple(name for name in batch if name in changes.batch)


def _ids(document: Json, assembly: str = "") -> set[str]:
    parts = document["parts"]
    return {part["id"] for part in parts if not assembly or slug(part["assembly"]) == assembly}
