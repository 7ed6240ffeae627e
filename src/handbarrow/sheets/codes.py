"""What the square code of a sheet says, and the short form of it that a person can type.

Long form, in the square code: `HANDBARROW/design/sheet/revision/design digest/workshop digest/units`. Short form,
printed beside it: `sheet/units/design digest/workshop digest/check`. `sheet` is the id of a part where the sheet is
that part's own, otherwise the sheet's name behind a `+`, as `+cutting`. Capitals do not count.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from handbarrow.job.values import Job

__all__ = ["PACK", "SheetCode", "code_of", "long_form", "read_code", "short_form", "slug"]

MARK = "HANDBARROW"
SHEET = "+"
"""First sign of the name of a sheet that is no part's own."""
PACK = f"{SHEET}pack"
"""Name of a sheet that has none of its own."""
LONG, SHORT = 8, 6
"""Signs of a digest in the long form (as printed at the head of every sheet) and in the short one."""
LONGEST, LONGEST_REVISION = 24, 16
SIGNS = "0123456789abcdefghjkmnpqrstvwxyz"
"""Check signs: no letter that reads like a figure."""
PRIME, STEP = 1021, 37


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetCode:
    """What a code says. `design` and `revision` are empty where it was the short form."""

    sheet: str
    design_digest: str
    workshop_digest: str
    units: int
    design: str = ""
    revision: str = ""

    @property
    def part(self) -> str:
        """The part whose own sheet it is; empty for other sheets."""
        return "" if self.sheet.startswith(SHEET) else self.sheet


def slug(text: str, longest: int = LONGEST) -> str:
    """Return a text as small letters, figures and single `-`.

    >>> slug("Hut trailer 2, Ünit"), slug("B.1")
    ('hut-trailer-2-unit', 'b-1')
    """
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain)[:longest].strip("-") or "x"


def code_of(job: Job, sheet: str) -> SheetCode:
    """Return the code of a sheet of a job: the id of a part, or a sheet's name with its `+`."""
    return SheetCode(
        sheet=sheet,
        design=slug(job.design.name),
        revision=slug(job.design.revision, LONGEST_REVISION),
        design_digest=job.design.digest[:LONG].lower(),
        workshop_digest=job.workshop.digest[:LONG].lower(),
        units=job.units,
    )


def long_form(code: SheetCode) -> str:
    """Return the text in the square code, in capitals: so the squares are fewer and larger."""
    fields = (MARK, code.design, code.sheet, code.revision, code.design_digest, code.workshop_digest, str(code.units))
    return "/".join(fields).upper()


def short_form(code: SheetCode) -> str:
    """Return the code that a person types; its last two signs find every sign mistyped and every two swapped."""
    fields = (code.sheet, str(code.units), code.design_digest[:SHORT], code.workshop_digest[:SHORT])
    body = "/".join(fields).lower()
    return f"{body}/{_check(body)}"


def read_code(text: str) -> SheetCode | None:
    """Read either form; None if it is neither, or was mistyped."""
    fields = text.strip().lower().split("/")
    if len(fields) == 7 and fields[0] == MARK.lower():
        _, design, sheet, revision, design_digest, workshop_digest, units = fields
    elif len(fields) == 5 and _agrees(fields):
        sheet, units, design_digest, workshop_digest, _ = fields
        design = revision = ""
    else:
        return None
    good = re.fullmatch(r"\+?[a-z0-9._-]+", sheet) and re.fullmatch(r"[1-9][0-9]{0,5}", units, re.ASCII)
    if not good or not all(re.fullmatch(r"[0-9a-f]{4,64}", d) for d in (design_digest, workshop_digest)):
        return None
    return SheetCode(
        sheet=sheet,
        design=design,
        revision=revision,
        design_digest=design_digest,
        workshop_digest=workshop_digest,
        units=int(units),
    )


def _check(body: str) -> str:
    """Two signs of a sum in which a sign's place counts; as the divisor is prime, no single slip leaves it."""
    total = 0
    for sign in body:
        total = (total * STEP + ord(sign)) % PRIME
    return SIGNS[total // 32] + SIGNS[total % 32]


def _agrees(fields: list[str]) -> bool:
    typed = fields[-1].translate(str.maketrans("ilo", "110"))
    return typed == _check("/".join(fields[:-1]))
